/** Tunes without chords get chords that carry them, marked as proposed, and everything else works on them as on any tune. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type DecisionKind,
  type Tune,
  compile,
  defaultPlan,
  proposeChords,
  proposeOptions,
  readTune,
  tonicOf,
  validate,
} from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'
import {
  type HarmoniseFigures,
  harmoniseFigures,
  sumOf,
  traditionalTunes,
  tuneOfAbc,
  withoutChords,
} from './harmonise-laws.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const rate = (list: readonly HarmoniseFigures[]): number => sumOf(list, 'carried') / sumOf(list, 'downbeats')
const groups: readonly (readonly [name: string, tunes: readonly Tune[]])[] = [
  ['demo tunes', DEMO_TUNES.map(({ abc }) => tuneOfAbc(abc))],
  ['traditional tunes', traditionalTunes()],
  ['generated tunes', Array.from({ length: 40 }, (_, seed) => madeTune(seed))],
]

describe('[LW14] chords proposed', () => {
  for (const [name, tunes] of groups)
    it(`${name} keep nine of ten downbeat notes on chord tones or accepted tensions`, () => {
      const found = tunes.map(harmoniseFigures)
      console.log(
        `${name}: ${(100 * rate(found)).toFixed(1)} % of ${sumOf(found, 'downbeats')} downbeats carried; roots as written ${((100 * sumOf(found, 'sameRoot')) / sumOf(found, 'compared')).toFixed(1)} %`,
      )
      expect(sumOf(found, 'downbeats')).toBeGreaterThan(50)
      expect(
        rate(found),
        found
          .flatMap((one) => one.notes)
          .slice(0, 5)
          .join('\n'),
      ).toBeGreaterThanOrEqual(0.9)
    })

  it('no chord stands unmarked, two a bar at most, and a traditional tune ends at home', () => {
    for (const tune of groups.flatMap(([, tunes]) => tunes)) {
      const bars = proposeChords(withoutChords(tune)).bars
      const placed = bars.flatMap((bar) => bar.chords)
      if (TRADITIONAL_TUNES.some(({ title }) => title === tune.title))
        expect(placed.at(-1)?.chord.root, tune.title).toBe(tonicOf(tune.key.key))
      expect(
        placed.every((one) => one.inferred === true),
        tune.title,
      ).toBe(true)
      expect(
        bars.every((bar) => bar.chords.length <= 2),
        tune.title,
      ).toBe(true)
    }
  })

  it('a tune without chords has options for all five decisions, and each compiles', () => {
    const bare = TRADITIONAL_TUNES.filter(({ title }) =>
      ['Sakura', 'Stille Nacht', "Morrison's Jig", 'Korobushka'].includes(title),
    )
    expect(bare.length).toBe(4)
    for (const { title, abc } of bare) {
      const read = readTune('abc', abc.replace(/"[^"\n]*"/g, ''))
      if (!read.ok) throw new Error(title)
      expect(
        read.issues?.some((one) => one.message.includes('proposed')),
        title,
      ).toBe(true)
      const base = defaultPlan(read.value)
      for (const kind of KINDS) {
        const options = proposeOptions(read.value, kind, base)
        expect(options.length, `${title} ${kind}`).toBeGreaterThanOrEqual(5)
        for (const option of options.slice(0, 2)) {
          const plan = { ...base, chosen: [{ kind, option, ...(option.at ? { at: option.at } : {}) }] }
          const { arrangement, issues } = compile(plan)
          const wrong = [...issues, ...validate(arrangement, { plan })].filter((one) => one.severity === 'error')
          expect(wrong, `${title} ${option.id}`).toEqual([])
        }
      }
    }
  })
})
