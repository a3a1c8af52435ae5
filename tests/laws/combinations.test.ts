/** Every combination of the options proposed compiles and validates: pairwise covering for every demo tune, seeded random beyond (more with LONG=1). */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Chosen,
  type DecisionKind,
  type Option,
  type Plan,
  type Tune,
  barTicks,
  compile,
  defaultPlan,
  keyAway,
  pitchClass,
  proposeOptions,
  readTune,
  tonicOf,
  validate,
} from '@chartloft/shared-theory'
import { pairwiseRows } from './covering.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const LONG = process.env.LONG === '1'

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

function chosen(option: Option): Chosen {
  return { kind: option.kind, ...(option.at ? { at: option.at } : {}), option }
}

function errorsOf(plan: Plan): readonly string[] {
  const { arrangement, issues } = compile(plan)
  return [...issues, ...validate(arrangement, { plan })]
    .filter((found) => found.severity === 'error')
    .map((found) => `${found.code} ${found.path}: ${found.message}`)
}

const barSums = (bars: readonly ArrangedBar[]): readonly string[] =>
  bars.flatMap((bar, index) => {
    const chords = bar.chords.reduce((sum, placed) => sum + placed.durationTicks, 0)
    const wrong: string[] = []
    if (bar.barIndex !== index) wrong.push(`bar ${index} says it is ${bar.barIndex}`)
    if (chords !== bar.lengthTicks) wrong.push(`bar ${index}: chords fill ${chords} of ${bar.lengthTicks}`)
    if (bar.lengthTicks !== barTicks(bar.metre) && index !== 0 && index !== bars.length - 1)
      wrong.push(`bar ${index}: ${bar.lengthTicks} ticks in ${bar.metre.beats}/${bar.metre.beatType}`)
    for (const note of bar.melody)
      if (note.startTick + note.durationTicks > bar.lengthTicks)
        wrong.push(`bar ${index}: ${note.name} runs past the bar`)
    return wrong
  })

for (const { id, title, abc } of DEMO_TUNES) {
  describe(`[LW2] combinations on ${title} (${id})`, () => {
    const tune = tuneOf(abc)
    const base = defaultPlan(tune)
    const options = KINDS.map((kind) => proposeOptions(tune, kind, base))
    const planOf = (row: readonly number[]): Plan => ({
      ...base,
      chosen: row.map((value, column) => chosen((options[column] as Option[])[value] as Option)),
    })
    const already = new Set(errorsOf(base))

    it('every decision has at least five options', () => {
      KINDS.forEach((kind, column) => expect((options[column] as Option[]).length, kind).toBeGreaterThanOrEqual(5))
    })

    it('the tune as written has no error', () => expect([...already]).toEqual([]))

    it('every pair of options compiles with no new error, and bars sum', () => {
      const rows = pairwiseRows(options.map((list) => list.length))
      const wrong: string[] = []
      for (const row of rows) {
        const plan = planOf(row)
        const { arrangement, issues } = compile(plan)
        const found = [...issues, ...validate(arrangement, { plan })].filter(
          (one) => one.severity === 'error' && !already.has(`${one.code} ${one.path}: ${one.message}`),
        )
        const names = plan.chosen.map((one) => one.option.id).join(' + ')
        for (const one of found) wrong.push(`${names}: ${one.code} ${one.path} ${one.message}`)
        for (const one of barSums(arrangement.bars)) wrong.push(`${names}: ${one}`)
        if (JSON.stringify(JSON.parse(JSON.stringify(arrangement))) !== JSON.stringify(arrangement))
          wrong.push(`${names}: not plain JSON`)
        for (const bar of arrangement.bars)
          if (bar.provenance.decision !== 'tune' && !bar.provenance.optionId)
            wrong.push(`${names}: bar ${bar.barIndex} has no option behind it`)
      }
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
      const plain = compile(base).arrangement.bars
      for (const lift of lifts) {
        const bars = compile({ ...base, chosen: [chosen(lift)] }).arrangement.bars
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

    it('seeded random combinations beyond the pairs', () => {
      let state = 20261
      const next = (bound: number): number => {
        state = (Math.imul(state, 1664525) + 1013904223) >>> 0
        return state % bound
      }
      const wrong: string[] = []
      for (let round = 0; round < (LONG ? 300 : 25); round++) {
        const row = options.map((list) => next(list.length))
        const plan = planOf(row)
        for (const line of errorsOf(plan))
          if (!already.has(line))
            wrong.push(`round ${round} of seed 20261: ${plan.chosen.map((one) => one.option.id).join(' + ')}: ${line}`)
      }
      expect(wrong.slice(0, 20)).toEqual([])
    })
  })
}
