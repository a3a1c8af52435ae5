import { describe, expect, it } from 'vitest'
import { compileForm, defaultPlan } from '../compile/index.js'
import type { ArrangedBar, Chosen, DecisionKind, Option, Plan } from '../contract/index.js'
import { proposeOptions } from '../propose/index.js'
import { readTune } from '../read/index.js'
import { must } from '../units/index.js'
import { anchorAt, anchoredBar, barPlaces, type CommentAnchor } from './bar-places.js'

const A = '"F"c2A2 F2A2 | "Gm7"B2G2 "C7"E2G2 | "F"A2c2 "D7"f2d2 | "Gm7"B2d2 "C7"c2B2 |'
const B = '"Bb"d2f2 d2B2 | "Bbm6"_d2f2 d2B2 | "F"c2f2 c2A2 | "G7"d2B2 "C7"G2B2 |'
const CLOSE = '"F"A2c2 f2a2 | "Gm7"g2e2 "C7"c2e2 | "F"f4 "C7"c4 | "F"f8 |]'
const tuneOf = (abc: string) => {
  const read = readTune('abc', abc)
  return must(read.ok ? read.value : undefined, 'the tune reads')
}
const HAY = tuneOf(`X:1\nT:Hay Loft\nM:4/4\nL:1/8\nQ:1/4=132\nK:F\n${A}\n${A}\n${B}\n${CLOSE}\n`)
const LED = tuneOf(`X:1\nT:Hay Loft\nM:4/4\nL:1/8\nQ:1/4=132\nK:F\n"C7"c2 |${A}\n${A}\n${B}\n${CLOSE}\n`)

function optionWhere(plan: Plan, kind: DecisionKind, is: (option: Option) => boolean): Option {
  const found = (more: number) => proposeOptions(plan.tune, kind, plan, undefined, more ? { more } : {}).find(is)
  return must(found(0) ?? found(1), `an option for the ${kind}`)
}
const inMetre = (plan: Plan, metre: string) => optionWhere(plan, 'groove', ({ params }) => params['metre'] === metre)
const barsWith = (plan: Plan, ...options: readonly Option[]): readonly ArrangedBar[] =>
  compileForm({
    ...plan,
    chosen: options.map((option): Chosen => ({ kind: option.kind, option, ...(option.at ? { at: option.at } : {}) })),
  }).bars
const pinned = (bars: readonly ArrangedBar[], index: number): CommentAnchor =>
  anchorAt(must(barPlaces(bars)[index], `bar ${index}`))
const now = (anchor: CommentAnchor, bars: readonly ArrangedBar[]): ArrangedBar | undefined =>
  bars[anchoredBar(anchor, barPlaces(bars)) ?? -1]
const sourcesOf = (bar: ArrangedBar | undefined): readonly number[] => [
  ...new Set(bar?.melody.flatMap(({ source }) => (source ? [source.bar] : []))),
]

describe('[BD12] a pin follows the music', () => {
  const plan = defaultPlan(HAY)
  const plain = barsWith(plan)

  it('every bar of every version finds itself again, and only itself', () => {
    const kinds: readonly DecisionKind[] = ['groove', 'opening', 'lift', 'ending']
    for (const kind of kinds) {
      for (const option of proposeOptions(HAY, kind, plan).slice(0, 7)) {
        const bars = barsWith(plan, option)
        const places = barPlaces(bars)
        expect(
          places.map((place) => anchoredBar(anchorAt(place), places)),
          option.title,
        ).toEqual(bars.map((_, index) => index))
      }
    }
  })

  it('into the bar of 7/4 that has joined its bar with a neighbour, and back into its own', () => {
    const seven = barsWith(plan, inMetre(plan, '7/4'))
    for (const [index, bar] of plain.entries()) {
      const held = now(pinned(plain, index), seven)
      expect(held?.pass).toBe(bar.pass)
      const sources = sourcesOf(bar)
      if (sources.length > 0) expect(sourcesOf(held)).toEqual(expect.arrayContaining([...sources]))
    }
    expect(anchoredBar(pinned(plain, 5), barPlaces(seven))).toBe(2)
    expect(anchoredBar(pinned(seven, 2), barPlaces(plain))).toBe(4)
  })

  it('a doubled bar is two, and each keeps its pins', () => {
    const long = barsWith(
      plan,
      optionWhere(plan, 'groove', ({ title }) => title.includes('long metre')),
    )
    expect(long.length).toBe(2 * plain.length)
    const places = barPlaces(long)
    expect(anchoredBar(pinned(plain, 3), places)).toBe(6)
    expect(anchoredBar(pinned(long, 7), places)).toBe(7)
    expect(anchoredBar(pinned(long, 7), barPlaces(plain))).toBe(3)
  })

  it('past an opening, through a lift, and into the ending that takes its bar', () => {
    const framed = barsWith(
      plan,
      optionWhere(plan, 'opening', ({ effects }) => effects?.addedBars === 4),
      optionWhere(plan, 'lift', ({ params }) => params['semitones'] === 2),
      optionWhere(plan, 'ending', ({ title }) => title.startsWith('Tag, 3')),
    )
    expect(anchoredBar(pinned(plain, 6), barPlaces(framed))).toBe(10)
    const last = plain.length - 1
    const held = now(pinned(plain, last), framed)
    expect(held?.provenance.tuneBar).toBe(15)
    expect(held?.pass).toBe('ending')
    expect(now(pinned(framed, framed.length - 1), plain)).toBe(plain[last])
  })

  it('a bar an opening or ending made stays with that opening or ending', () => {
    const openings = proposeOptions(HAY, 'opening', plan).filter(({ effects }) => (effects?.addedBars ?? 0) >= 4)
    const [one, other] = openings.map((option) => barsWith(plan, option))
    const anchor = pinned(must(one, 'one'), 2)
    expect(anchoredBar(anchor, barPlaces(must(one, 'one')))).toBe(2)
    expect(anchoredBar(anchor, barPlaces(must(other, 'other')))).toBeUndefined()
    expect(anchoredBar(anchor, barPlaces(plain))).toBeUndefined()
  })

  it('a pickup taken into the opening’s last bar keeps its pin there', () => {
    const led = defaultPlan(LED)
    const opened = barsWith(
      led,
      optionWhere(led, 'opening', ({ title }) => title.startsWith('Turnaround')),
    )
    const held = now(pinned(barsWith(led), 0), opened)
    expect(held?.pass).toBe('opening')
    expect(sourcesOf(held)).toContain(0)
  })

  it('a bar that is gone is said to be gone, and comes back', () => {
    const cut = compileForm({
      ...plan,
      edits: [{ kind: 'bars', at: { passId: 'chorus-1', sectionId: plain[0]?.sectionId ?? '' }, bars: 2 }],
    }).bars
    expect(cut.length).toBe(plain.length - ((HAY.sections[0]?.bars ?? 0) - 2))
    expect(anchoredBar(pinned(plain, 3), barPlaces(cut))).toBeUndefined()
    expect(anchoredBar(pinned(plain, 1), barPlaces(cut))).toBe(1)
    const withoutSolo = compileForm({ ...plan, roadmap: plan.roadmap.filter(({ kind }) => kind !== 'solo') }).bars
    const solo = plain.findIndex(({ pass }) => pass.startsWith('solo'))
    expect(anchoredBar(pinned(plain, solo), barPlaces(withoutSolo))).toBeUndefined()
  })

  it('of a section played twice in a pass each playing keeps its own', () => {
    const [section] = HAY.sections
    const twice = compileForm({
      ...plan,
      roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: [section?.id ?? '', section?.id ?? ''] }],
    }).bars
    const bars = section?.bars ?? 0
    expect(anchoredBar(pinned(twice, bars + 1), barPlaces(twice))).toBe(bars + 1)
    expect(anchoredBar(pinned(twice, bars + 1), barPlaces(plain))).toBe(1)
  })

  it('an anchor of before tune bars were kept is read by its place', () => {
    expect(anchoredBar({ passId: 'chorus-1', sectionId: plain[0]?.sectionId ?? '', bar: 2 }, barPlaces(plain))).toBe(2)
    expect(anchoredBar({ passId: 'chorus-9', sectionId: 'A1', bar: 2 }, barPlaces(plain))).toBeUndefined()
  })
})
