/** Every ready line-up plays every demo tune: no errors, every part written, the lead with the tune. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  compile,
  defaultPlan,
  findInstrument,
  keysForRange,
  LINEUPS,
  type Plan,
  readTune,
  validate,
  writeMusicXml,
} from '@chartloft/shared-theory'

const CASES = Object.entries(LINEUPS).flatMap(([lineup, parts]) =>
  DEMO_TUNES.map(({ abc }, index) => ({ lineup, parts, abc, tune: index + 1 })),
)

describe('[LW8] ready line-ups', () => {
  it.each(CASES)('$lineup plays demo tune $tune in the key that suits its lead', ({ parts, abc }) => {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error(JSON.stringify(read.issues))
    const lead = parts.find(({ role }) => role === 'lead')
    if (!lead) throw new Error('nobody leads')
    const plan: Plan = { ...defaultPlan(read.value), lineup: parts }
    const [best] = keysForRange(read.value, plan, findInstrument(lead.instrument)?.range ?? [0, 127])
    for (const key of [undefined, best?.key]) {
      const asked = key === undefined ? plan : { ...plan, key }
      const { arrangement, issues } = compile(asked)
      const found = [...issues, ...validate(arrangement, { plan: asked })]
      expect(found.filter(({ severity }) => severity === 'error')).toEqual([])
      const heard = arrangement.bars.flatMap((bar) => bar.melody.map(({ midi }) => midi))
      const led = arrangement.bars.flatMap((bar) => (bar.melody.length > 0 ? (bar.parts[lead.id] ?? []) : []))
      for (const midi of new Set(heard)) expect(led.some((note) => note.midi === midi)).toBe(true)
      for (const { id } of parts) {
        expect(writeMusicXml(arrangement, { part: id })).toContain('</score-partwise>')
        expect(
          arrangement.bars.some((bar) => (bar.parts[id] ?? []).length > 0),
          `${id} plays`,
        ).toBe(true)
      }
    }
  })
})
