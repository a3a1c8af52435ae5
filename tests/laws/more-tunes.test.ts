/** What holds for the demo tunes holds for tunes unlike them: combinations from a seed, and every lift in the metres that make two bars of one. */
import { describe, expect, it } from 'vitest'
import {
  type Chosen,
  type DecisionKind,
  type Option,
  type Plan,
  compile,
  defaultPlan,
  proposeOptions,
  readTune,
  validate,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const ROUNDS = 60
const chosen = (option: Option): Chosen => ({ kind: option.kind, ...(option.at ? { at: option.at } : {}), option })

function errorsOf(plan: Plan): readonly string[] {
  const { arrangement, issues } = compile(plan)
  return [...issues, ...validate(arrangement, { plan })]
    .filter(({ severity }) => severity === 'error')
    .map(({ code, message }) => `${code} ${message}`)
}

for (const abc of MORE_TUNES) {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  const tune = read.value
  const base = defaultPlan(tune)

  describe(`[LW2] ${tune.title}`, () => {
    const options = KINDS.map((kind) => proposeOptions(tune, kind, base))
    const already = new Set(errorsOf(base))
    const wrongOf = (picked: readonly Option[]): readonly string[] =>
      errorsOf({ ...base, chosen: picked.map(chosen) })
        .filter((line) => !already.has(line))
        .map((line) => `${picked.map(({ id }) => id).join(' + ')}: ${line}`)

    it('every decision has five options or more, as bars of the tune', () => {
      KINDS.forEach((kind, column) => expect(options[column]?.length, kind).toBeGreaterThanOrEqual(5))
    })

    it('combinations bring no new error', () => {
      const draw = drawn(11)
      const wrong = Array.from({ length: ROUNDS }, () =>
        wrongOf(options.map((list) => list[draw(list.length)] as Option)),
      )
      expect(wrong.flat().slice(0, 10)).toEqual([])
    })

    it('every lift, where two bars are made of one or one of two', () => {
      const wide = (options[0] as Option[]).filter(({ id }) =>
        ['ballad-6-8', 'samba-44-long', 'seven-4-even'].some((name) => id.startsWith(name)),
      )
      expect(wide.length).toBeGreaterThanOrEqual(2)
      const wrong = wide.flatMap((groove) => (options[3] as Option[]).flatMap((lift) => wrongOf([groove, lift])))
      expect(wrong.slice(0, 10)).toEqual([])
    })
  })
}
