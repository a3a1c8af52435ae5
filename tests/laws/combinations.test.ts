/** Every combination of the options proposed compiles and validates: every pair for every demo tune, and others drawn from a seed (more, and all
 *  of them with every part played, with LONG=1). The bench has the whole product of the first five options. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { type ArrangedBar, type Option, compileForm, keyAway, pitchClass, tonicOf } from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { type Depth, KINDS, chosen, drawnRows, faultsOf, planOf, trialOf } from './combination-laws.js'
import { pairwiseRows } from './covering.js'
import { traditionalTunes, tuneOfAbc } from './harmonise-laws.js'

const LONG = process.env['LONG'] === '1'
const DRAWN = LONG ? 300 : 40
const SEED = 20261
/** One in so many is taken with every part played; the others as form, chords and melody. */
const PLAYED = LONG ? 1 : 40
const depthOf = (index: number): Depth => (index % PLAYED === 0 ? 'band' : 'form')

for (const { id, title, abc } of DEMO_TUNES) {
  describe(`[LW2] combinations on ${title} (${id})`, () => {
    const trial = trialOf(tuneOfAbc(abc))
    const { base, options } = trial

    it('every decision has at least five options', () => {
      KINDS.forEach((kind, column) => expect((options[column] as Option[]).length, kind).toBeGreaterThanOrEqual(5))
    })

    it('the tune as written has no error', () => expect([...trial.already]).toEqual([]))

    it('every pair of options compiles with no new error; bars sum, have an origin, and fold back', () => {
      const rows = pairwiseRows(options.map((list) => list.length))
      const wrong = rows.flatMap((row, index) => faultsOf(trial, planOf(trial, row), depthOf(index)))
      console.log(
        `${title}: ${rows.length} rows cover every pair of ${options.map((list) => list.length).join(' × ')} options`,
      )
      expect(wrong.slice(0, 20)).toEqual([])
    }, 900_000)

    it('[LW3] everything after a lift has moved, nothing before it', () => {
      const lifts = (options[3] as Option[]).filter(
        (option) => option.params.semitones !== 0 && option.params.semitones !== undefined,
      )
      expect(lifts.length).toBeGreaterThan(0)
      const plain = compileForm(base).bars
      for (const lift of lifts) {
        const bars = compileForm({ ...base, chosen: [chosen(lift)] }).bars
        expect(bars.length).toBe(plain.length)
        const first = bars.findIndex((bar, index) => bar.key.fifths !== (plain[index] as ArrangedBar).key.fifths)
        expect(first, lift.id).toBeGreaterThan(0)
        const semitones = lift.params.semitones as number
        bars.forEach((bar, index) => {
          const before = plain[index] as ArrangedBar
          const moved = index >= first ? semitones : 0
          expect(pitchClass(tonicOf(bar.key.key)), `${lift.id} bar ${index} key`).toBe(
            pitchClass(tonicOf(keyAway(before.key, moved).key)),
          )
          expect(
            bar.melody.map((note) => note.midi),
            `${lift.id} bar ${index} melody`,
          ).toEqual(before.melody.map((note) => note.midi + moved))
          if (index < first - 1) expect(bar.chords, `${lift.id} bar ${index} chords`).toEqual(before.chords)
          if (index >= first)
            expect(
              bar.chords.map(({ chord }) => chord.root && pitchClass(chord.root)),
              `${lift.id} bar ${index} chords`,
            ).toEqual(before.chords.map(({ chord }) => chord.root && (pitchClass(chord.root) + semitones + 12) % 12))
        })
      }
    })

    it(`${DRAWN} combinations of seed ${SEED}`, () => {
      const wrong = drawnRows(trial, DRAWN, SEED).flatMap((row, index) =>
        faultsOf(trial, planOf(trial, row), depthOf(index)),
      )
      expect(wrong.slice(0, 20)).toEqual([])
    }, 900_000)
  })
}

describe('[LW2] combinations on tunes nobody chose', () => {
  const every = LONG ? 1 : 6
  const tunes = [
    ...traditionalTunes().filter((_, index) => index % every === 0),
    ...Array.from({ length: LONG ? 40 : 10 }, (_, index) => madeTune(500 + index)),
  ]
  for (const tune of tunes)
    it(tune.title, () => {
      const trial = trialOf(tune)
      expect([...trial.already]).toEqual([])
      const wrong = drawnRows(trial, 3, SEED).flatMap((row, index) =>
        faultsOf(trial, planOf(trial, row), depthOf(index)),
      )
      expect(wrong).toEqual([])
    })
})
