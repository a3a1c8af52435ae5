import { describe, expect, it } from 'vitest'
import { isFrom, isNetwork } from './networks.js'

describe('[OP5] who may read the figures', () => {
  it('this machine always, others by address and network', () => {
    const mayRead = isFrom(['172.16.0.0/12', '10.0.0.5', 'fd00::/8'])
    const yes = ['127.0.0.1', '127.9.9.9', '::1', '::ffff:127.0.0.1', '172.16.0.1', '172.31.255.255', '10.0.0.5']
    const no = [
      '172.32.0.0',
      '10.0.0.6',
      '192.168.0.1',
      'fe80::1',
      '::ffff:10.0.0.6',
      '',
      'unknown',
      '10.0.0.5, 127.0.0.1',
    ]
    expect([...yes, '::ffff:172.20.0.9', 'fd12::1'].filter((address) => !mayRead(address))).toEqual([])
    expect(no.filter((address) => mayRead(address))).toEqual([])
    expect(isFrom([])('10.0.0.5')).toBe(false)
    expect(isFrom(['0.0.0.0/0'])('10.0.0.5')).toBe(true)
  })
  it('networks are read as they are written', () => {
    expect(['10.0.0.5', '10.0.0.0/8', '::1', 'fd00::/8', '0.0.0.0/0'].every(isNetwork)).toBe(true)
    const broken = ['', '10.0.0', '10.0.0.0/33', '10.0.0.0/x', '10.0.0.0/8/8', 'fd00::/129', 'localhost', '10.0.0.0/-1']
    expect(broken.filter(isNetwork)).toEqual([])
  })
})
