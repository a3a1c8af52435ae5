import { describe, expect, it } from 'vitest'
import type { PassPlan } from '@chartloft/shared-theory'
import { readRoadmap } from '@chartloft/shared-theory/board'
import { changedIn, turnOf, withoutSolo, withSolo } from './pass-plans.js'

const ROADMAP: readonly PassPlan[] = [
  { id: 'chorus-1', kind: 'chorus', sections: ['A1', 'B1'] },
  { id: 'solo-1', kind: 'solo', sections: ['A1', 'B1'], energy: 0.5 },
  { id: 'chorus-last', kind: 'chorus', sections: ['A1', 'B1'] },
]

describe('[UI43] who plays what, when', () => {
  it('writes down what differs from the usual and nothing else, and loses nothing it does not know', () => {
    const solo = changedIn(ROADMAP, 'solo-1', {
      times: 3,
      isOpen: true,
      soloist: 'tenor-sax',
      trading: 4,
      hasBackgrounds: true,
    })
    expect(solo[1]).toEqual({
      id: 'solo-1',
      kind: 'solo',
      sections: ['A1', 'B1'],
      energy: 0.5,
      times: 3,
      open: true,
      soloist: 'tenor-sax',
      trading: 4,
      backgrounds: true,
    })
    expect(readRoadmap(solo).ok).toBe(true)
    const usual = changedIn(solo, 'solo-1', { times: 1, isOpen: false, soloist: '', trading: 0, hasBackgrounds: false })
    expect(usual).toEqual(ROADMAP)
    expect(changedIn(ROADMAP, 'chorus-last', { melody: 'piano' })[2]?.melody).toBe('piano')
  })

  it('a new solo stands after the last one, over the same sections, under a name of its own', () => {
    const two = withSolo(ROADMAP)
    expect(two.map(({ id }) => id)).toEqual(['chorus-1', 'solo-1', 'solo-2', 'chorus-last'])
    expect(two[2]?.sections).toEqual(['A1', 'B1'])
    expect(turnOf(two, two[2] as PassPlan)).toEqual([1, 2])
    expect(readRoadmap(two).ok).toBe(true)
  })

  it('takes solos away and leaves choruses alone', () => {
    expect(withoutSolo(ROADMAP, 'solo-1').map(({ id }) => id)).toEqual(['chorus-1', 'chorus-last'])
    expect(withoutSolo(ROADMAP, 'chorus-1')).toEqual(ROADMAP)
    expect(withSolo(withoutSolo(ROADMAP, 'solo-1')).map(({ id }) => id)).toEqual(['chorus-1', 'solo-1', 'chorus-last'])
  })
})
