import { describe, expect, it } from 'vitest'
import { readConfig } from './config.js'

describe('[OP2] configuration', () => {
  it('has the defaults of the contract', () => {
    expect(readConfig({})).toEqual({
      port: 8080,
      host: '127.0.0.1',
      dataDir: './data',
      secretFile: 'data/secret',
      logLevel: 'info',
      openBoardCreation: true,
      trustProxy: 0,
      maxBoards: 10_000,
      maxDataMb: 4096,
      maxLedgerRows: 20_000,
      roomIdleMs: 60_000,
      saveEveryMs: 8,
      maxSockets: 5000,
      maxSocketsPerAddress: 200,
      boardsPerMinute: 30,
      sessionsPerMinute: 600,
      socketMessagesPerSecond: 100,
      keepAliveMs: 20_000,
      metricsFrom: [],
      abusesPerMinute: 10,
      coolDownMs: 30_000,
    })
  })
  it('empty values count as absent, an address loses its slash', () => {
    expect(readConfig({ PORT: ' ', PUBLIC_URL: 'https://band.example/' })).toMatchObject({
      port: 8080,
      publicUrl: 'https://band.example',
    })
  })
  it('networks are a list', () => {
    expect(readConfig({ METRICS_FROM: ' 10.0.0.5,172.16.0.0/12 ,' }).metricsFrom).toEqual(['10.0.0.5', '172.16.0.0/12'])
  })
  it('says which variable is broken', () => {
    for (const [name, value] of Object.entries({
      PORT: '1e3',
      TRUST_PROXY: '-1',
      LOG_LEVEL: 'LOUD',
      PUBLIC_URL: 'ftp://x',
      HOST: 'a b',
      REDIS_URL: 'x',
      METRICS_FROM: '10.0.0.0/8, nowhere',
    })) {
      expect(() => readConfig({ [name]: value }), name).toThrow(name)
    }
  })
})
