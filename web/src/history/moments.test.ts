import { describe, expect, it } from 'vitest'
import { historyPath, routeOf } from '../shell/route.js'
import { isMusical, readAddress } from './moments.js'

describe('[UI52] addresses of the history', () => {
  it('name the whole of it, one entry, or two states', () => {
    expect(readAddress('')).toEqual({ kind: 'list' })
    expect(readAddress('7')).toEqual({ kind: 'one', seq: 7 })
    expect(readAddress('3-now')).toEqual({ kind: 'two', before: '3', after: 'now' })
    expect(readAddress('<b>')).toEqual({ kind: 'list' })
  })

  it('read back from the path they were made for', () => {
    expect(routeOf(historyPath('x1', '3-now'))).toMatchObject({ page: 'history', at: '3-now' })
  })

  it('links and polls change no music', () => {
    const row = (kind: string) => ({
      seq: 2,
      at: 0,
      by: { userId: 'u', name: 'Maro', role: 'leader' as const },
      command: { commandId: 'c', kind },
    })
    expect(['lock', 'setKey', 'restoreVersion'].map((kind) => isMusical(row(kind)))).toEqual([true, true, true])
    expect(['issueLink', 'openPoll', 'nameVersion'].map((kind) => isMusical(row(kind)))).toEqual([false, false, false])
  })
})
