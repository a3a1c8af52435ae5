import { describe, expect, it } from 'vitest'
import { peopleOf } from './presence.js'

const me = { clientId: 1, userId: 'u-maro', role: 'leader' } as const

describe('[SY6] presence', () => {
  it('lists a person once, however many tabs, myself first', () => {
    const people = peopleOf(
      new Map<number, unknown>([
        [3, { name: 'Tove', plays: 'tenor sax' }],
        [4, { name: 'Tove' }],
        [1, { name: 'Maro', page: 'board' }],
        [2, { name: 'Maro', page: 'charts' }],
      ]),
      {
        1: { userId: 'u-maro', name: 'Maro', role: 'leader' },
        2: { userId: 'u-maro', name: 'Maro', role: 'leader' },
        3: { userId: 'u-tove', name: 'Tove', role: 'member' },
        4: { userId: 'u-tove', name: 'Tove', role: 'member' },
      },
      me,
    )
    expect(people.map(({ name, isMe, page }) => [name, isMe, page])).toEqual([
      ['Maro', true, 'board'],
      ['Tove', false, undefined],
    ])
    expect(people[1]).toMatchObject({ plays: 'tenor sax', role: 'member' })
  })

  it('believes no shapes and no endless names', () => {
    const people = peopleOf(
      new Map<number, unknown>([
        [7, { name: 'x'.repeat(500), plays: { html: '<b>' } }],
        [8, null],
      ]),
      {},
      me,
    )
    expect(people.map((person) => person.name.length)).toEqual([0, 40])
    expect(people.every((person) => person.plays === undefined)).toBe(true)
  })
})
