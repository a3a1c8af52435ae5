/** Comparisons and pins on tunes nobody chose: any two versions, any bar. */
import { describe, expect, it } from 'vitest'
import {
  type ArrangedBar,
  type Chosen,
  comparePlans,
  compileForm,
  type DecisionKind,
  defaultPlan,
  nameOfBar,
  type Plan,
  proposeOptions,
  type Tune,
} from '@chartloft/shared-theory'
import { anchorAt, anchoredBar, barPlaces } from '@chartloft/shared-theory/board'
import { drawn, madeTune } from '../fixtures/made-tunes.js'
import { oddTune } from '../fixtures/odd-tunes.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const TUNES = process.env['LONG'] ? 60 : 5
const VERSIONS = 3

/** The tune as it is and a few versions of it, choices drawn for each decision. */
function versionsOf(tune: Tune, seed: number): readonly Plan[] {
  const base = defaultPlan(tune)
  const options = KINDS.map((kind) => proposeOptions(tune, kind, base))
  const draw = drawn(seed)
  const version = (): Plan => ({
    ...base,
    chosen: options.flatMap((list): readonly Chosen[] => {
      const option = list[draw(list.length + 1)]
      return option ? [{ kind: option.kind, ...(option.at ? { at: option.at } : {}), option }] : []
    }),
  })
  return [base, ...Array.from({ length: VERSIONS }, version)]
}

const soundsIn = (bar: ArrangedBar | undefined, tuneBar: number): boolean =>
  bar?.melody.some(({ source }) => source?.bar === tuneBar) === true

for (let seed = 1; seed <= TUNES; seed++) {
  for (const [name, tune] of [
    ['made', madeTune(seed)],
    ['odd', oddTune(seed)],
  ] as const) {
    describe(`[LW22] ${name} tune ${seed}`, () => {
      const plans = versionsOf(tune, seed)
      const bars = plans.map((plan) => compileForm(plan).bars)

      it('compares with itself and with the others, both ways', () => {
        for (const [index, before] of plans.entries()) {
          const same = comparePlans(before, before)
          expect([same.whole, same.changes]).toEqual([[], []])
          for (const after of plans.slice(index + 1)) {
            const there = comparePlans(before, after)
            const back = comparePlans(after, before)
            for (const { counts, before: old, after: now, changes } of [there, back]) {
              expect(counts.alike + counts.changed + counts.added).toBe(now.length)
              expect(counts.alike).toBeGreaterThanOrEqual(0)
              expect(counts.gone).toBeLessThanOrEqual(old.length)
              for (const change of changes) {
                expect(change.before.every((bar) => old[bar] !== undefined)).toBe(true)
                expect(change.after.every((bar) => now[bar] !== undefined)).toBe(true)
              }
            }
            expect([back.counts.added, back.counts.gone]).toEqual([there.counts.gone, there.counts.added])
          }
        }
      })

      it('tells a chord rewritten by hand', () => {
        const [plan] = plans as [Plan]
        const first = bars[0]?.find(
          ({ provenance, lengthTicks, barIndex }) =>
            barIndex > 0 && provenance.tuneBar !== undefined && lengthTicks > 0,
        )
        if (!first) return
        const at = nameOfBar(bars[0] ?? [], first.barIndex)
        if (!at) throw new Error('the bar has a name')
        const { metre } = first
        const edited = { ...plan, edits: [{ kind: 'chord' as const, at, metre, startTick: 0, symbol: 'F#dim7' }] }
        const { changes } = comparePlans(plan, edited)
        expect(changes.map(({ after }) => after)).toEqual([[first.barIndex]])
        expect(changes[0]?.differences.some((one) => one.kind === 'chords' && one.after.includes('F#dim7'))).toBe(true)
      })

      it('finds every pin in its own version, and in the others where its tune bar sounds', () => {
        for (const [index, own] of bars.entries()) {
          const places = barPlaces(own)
          const anchors = places.map((place) => anchorAt(place))
          expect(anchors.map((anchor) => anchoredBar(anchor, places))).toEqual(own.map((_, bar) => bar))
          for (const other of bars.slice(index + 1)) {
            const there = barPlaces(other)
            for (const anchor of anchors) {
              const found = anchoredBar(anchor, there)
              const { tuneBar } = anchor
              if (tuneBar === undefined || anchor.passId === 'opening' || anchor.passId === 'ending') continue
              const isPlayed = other.some(
                (bar) => bar.pass === anchor.passId && bar.sectionId === anchor.sectionId && soundsIn(bar, tuneBar),
              )
              if (isPlayed) expect(found, JSON.stringify(anchor)).toBeDefined()
              if (found !== undefined) {
                const place = there[found]
                const holds =
                  place?.tuneBar !== undefined && tuneBar >= place.tuneBar && tuneBar < place.tuneBar + place.tuneBars
                expect(holds || soundsIn(other[found], tuneBar), JSON.stringify(anchor)).toBe(true)
              }
            }
          }
        }
      })
    })
  }
}
