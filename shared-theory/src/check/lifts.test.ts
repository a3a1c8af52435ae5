import { describe, expect, it } from 'vitest'
import { madeTune } from '../../../tests/fixtures/made-tunes.js'
import { chord } from '../chords/index.js'
import { compile, defaultPlan } from '../compile/index.js'
import type { Chosen, Plan, Tune } from '../contract/index.js'
import { must } from '../units/index.js'
import { keyAway } from '../units/key.js'
import { proposeOptions } from '../propose/index.js'
import { validate } from './index.js'

const choose = (plan: Plan, kind: 'lift' | 'ending', recipe: string): Chosen => {
  const option = must(
    proposeOptions(plan.tune, kind, plan).find((offered) => offered.recipe === recipe),
    recipe,
  )
  return { kind, option, ...(option.at ? { at: option.at } : {}) }
}

const moved = (plan: Plan): readonly string[] =>
  validate(compile(plan).arrangement, { plan })
    .filter(({ code }) => code === 'VA5')
    .map(({ message }) => message)

describe('[VA5] what a lift moves, in odd tunes', () => {
  const made = madeTune(4)
  it('an ending after a key change inside the tune is in the key that ended', () => {
    const later = keyAway(made.key, 3)
    const tune: Tune = { ...made, bars: made.bars.map((bar, index) => (index < 8 ? bar : { ...bar, key: later })) }
    const plan = defaultPlan(tune)
    const chosen = [choose(plan, 'lift', 'direct'), choose(plan, 'ending', 'vamp')]
    expect(moved({ ...plan, chosen })).toEqual([])
  })
  it('of two chords the lower one is the harmony of the bass', () => {
    const bars = made.bars.map((bar) => ({
      ...bar,
      melody: [],
      chords: [
        { startTick: 0, durationTicks: bar.lengthTicks, chord: chord(bar.barIndex % 2 ? 'G over F#7' : 'D over C7') },
      ],
    }))
    const plan = defaultPlan({ ...made, bars })
    const lift = choose(plan, 'lift', 'direct')
    for (const semitones of [1, 2, -1])
      expect(
        moved({
          ...plan,
          chosen: [{ ...lift, option: { ...lift.option, params: { ...lift.option.params, semitones } } }],
        }),
      ).toEqual([])
  })
  it('a pickup belongs to the lift it leads into', () => {
    const tune = madeTune(5)
    const plan = defaultPlan(tune)
    const lift = choose(plan, 'lift', 'direct')
    const chosen = ['chorus-1', 'chorus-last'].map((passId): Chosen => ({ ...lift, at: { passId, sectionId: 'A1' } }))
    expect(tune.pickupTicks).toBeGreaterThan(0)
    expect(moved({ ...plan, chosen })).toEqual([])
  })
  it('a tune with bars without chords is checked like any other', () => {
    const bars = made.bars.map((bar) =>
      bar.barIndex % 3
        ? bar
        : { ...bar, chords: [{ startTick: 0, durationTicks: bar.lengthTicks, chord: chord('N.C.') }] },
    )
    const plan = defaultPlan({ ...made, bars })
    expect(moved({ ...plan, chosen: [choose(plan, 'lift', 'direct')] })).toEqual([])
  })
})
