import { describe, expect, it } from 'vitest'
import { madeTune } from '../../../tests/fixtures/made-tunes.js'
import { MORE_TUNES } from '../../../tests/fixtures/more-tunes.js'
import { compile, defaultPlan } from '../compile/index.js'
import type { ArrangedBar, Arrangement, DecisionKind, PartNote, Plan, Tune } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
import { proposeOptions } from '../propose/index.js'
import { readTune } from '../read/index.js'
import { must } from '../units/index.js'
import { validate } from './index.js'

const withOption = (plan: Plan, kind: DecisionKind, id: string): Plan => {
  const option = must(
    proposeOptions(plan.tune, kind, plan).find((offered) => offered.id === id),
    id,
  )
  return { ...plan, chosen: [...plan.chosen, { kind, option, ...(option.at ? { at: option.at } : {}) }] }
}

const withBar = (music: Arrangement, index: number, change: Partial<ArrangedBar>): Arrangement => ({
  ...music,
  bars: music.bars.map((bar, place) => (place === index ? { ...bar, ...change } : bar)),
})

const found = (music: Arrangement, plan: Plan, family: string): readonly string[] =>
  validate(music, { plan })
    .filter(({ code }) => code === family)
    .map(({ path }) => path)

describe('[VA2] a note of the tune alone in a longer bar', () => {
  const tune = madeTune(5)
  const plan = withOption(defaultPlan(tune), 'groove', 'cha-cha')
  const { arrangement } = compile(plan)
  const index = arrangement.bars.findIndex(({ pass, melody }) => pass.startsWith('solo') && melody.length === 1)
  const bar = must(arrangement.bars[index], 'a bar with nothing but the pickup to the next chorus')
  const severities = (music: Arrangement): readonly string[] =>
    validate(music, { plan })
      .filter(({ code, path }) => code === 'VA2' && path === `bars/${index}/chords/1`)
      .map(({ severity }) => severity)
  it('is noted as the tune has it, and an error where it is another', () => {
    expect(severities(arrangement)).toEqual(['note'])
    // B♭ over the A minor of the bar's second half: a half step above the root.
    const melody = bar.melody.map((note) => ({ ...note, midi: 70, name: 'Bb4' }))
    expect(severities(withBar(arrangement, index, { melody }))).toEqual(['error'])
  })
})

describe('[VA4] the old chord of the same root and quality', () => {
  it('is not what the plan prepares with', () => {
    const base = defaultPlan(madeTune(4))
    const plan = withOption(base, 'lift', 'up-3-common-tone')
    const lifted = compile(plan).arrangement
    const flat = compile(base).arrangement
    const index = lifted.bars.findIndex(({ key }, at) => key.key !== flat.bars[at]?.key.key) - 1
    const symbols = ({ bars }: Arrangement) => bars[index]?.chords.map(({ chord }) => chord.symbol)
    expect([symbols(flat), symbols(lifted)]).toEqual([['Ebmaj7'], ['Eb6']])
    expect(found(lifted, plan, 'VA4')).toEqual([])
    const chords = must(flat.bars[index], 'the bar before').chords
    expect(found(withBar(lifted, index, { chords }), plan, 'VA4')).toEqual([`bars/${index}/chords`])
  })
})

/** Some stroke of the old bar that the lifted one has not. */
const isOther = (old: readonly PartNote[], now: readonly PartNote[]): boolean =>
  old.some((note) => !now.some(({ startTick, midi }) => startTick === note.startTick && (midi - note.midi) % 12 === 0))

describe('[VA5] a bar as the band played it before the lift', () => {
  const read = readTune(
    'abc',
    must(
      MORE_TUNES.find((abc) => abc.includes('T:Salt Stairs')),
      'the tune',
    ),
  )
  const cases: readonly (readonly [Tune | undefined, string, string, readonly string[]])[] = [
    [read.ok ? read.value : undefined, 'quintet', 'down-2-pivot', ['tenor-sax', 'bass']],
    [madeTune(4), 'septet', 'down-2-pivot', ['alto-sax', 'bass']],
  ]
  for (const [tune, lineup, lift, parts] of cases) {
    it(`is found there and nowhere else, also where it suits the new chord or the band rests: ${tune?.title}`, () => {
      const base: Plan = { ...defaultPlan(must(tune, 'a tune')), lineup: must(LINEUPS[lineup], lineup) }
      const plan = withOption(base, 'lift', lift)
      const lifted = compile(plan).arrangement
      const flat = compile(base).arrangement
      const first = lifted.bars.findIndex(({ key }, at) => key.key !== flat.bars[at]?.key.key)
      let put = 0
      for (const [index, bar] of lifted.bars.entries()) {
        if (index < first) continue
        for (const id of parts) {
          const old = flat.bars[index]?.parts[id] ?? []
          if (!isOther(old, bar.parts[id] ?? [])) continue
          const faulty = withBar(lifted, index, { parts: { ...bar.parts, [id]: old } })
          expect(found(faulty, plan, 'VA5'), `bar ${index} ${id}`).toEqual([`bars/${index}/parts/${id}`])
          put++
        }
      }
      expect(put).toBeGreaterThan(10)
    }, 120_000)
  }
})
