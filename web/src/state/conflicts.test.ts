import { writerOf, type Authors } from '@chartloft/shared-theory/board'
import { describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import { Conflicts } from './conflicts.js'

/** The server's word: id 5 is Tove's, but its edits 3 to 6 were brought in by Ivo, and edits 8 to 9 by nobody knows whom. */
const told: Authors['clients'] = {
  1: { userId: 'maro', name: 'Maro', role: 'leader' },
  5: {
    userId: 'tove',
    name: 'Tove',
    role: 'member',
    carried: [
      { from: 3, to: 7, userId: 'ivo', name: 'Ivo', role: 'member' },
      { from: 8, to: 10, userId: '', name: '', role: 'member' },
    ],
  },
}
const PATH = ['meta', 'key']

const writer = (client: number, clock = Infinity) => writerOf(told, client, clock)
const conflictsOf = (userId: string): Conflicts =>
  new Conflicts(new Y.Doc(), {
    isMine: (client, clock) => writer(client, clock)?.userId === userId,
    nameOf: (client, clock) => writer(client, clock)?.name,
  })

describe('[OF4] whose the other edit was', () => {
  it('is who brought it in, where the owner of its client id did not', () => {
    const names = [2, 3, 6, 7, 8, 10].map((clock) => writer(5, clock)?.name)
    expect(names).toEqual(['Tove', 'Ivo', 'Ivo', 'Tove', '', 'Tove'])
    expect(writer(9, 0)).toBeUndefined()
  })

  it('a conflict names that one, and an edit somebody else brought in under my own id is no edit of mine', () => {
    const stands = { value: 'E flat', client: 1, clock: 0 }
    const [maro, tove] = [conflictsOf('maro'), conflictsOf('tove')]
    maro.take([{ path: PATH, stands, lost: { value: 'F', client: 5, clock: 4 } }])
    expect(maro.open.value).toMatchObject([{ mineStands: true, other: 5, at: 4, who: 'Ivo' }])
    tove.take([{ path: PATH, stands, lost: { value: 'F', client: 5, clock: 4 } }])
    expect(tove.open.value).toEqual([])
    tove.take([{ path: PATH, stands, lost: { value: 'F', client: 5, clock: 2 } }])
    expect(tove.open.value).toMatchObject([{ mineStands: false, mine: 'F', other: 1, who: 'Maro' }])
  })
})
