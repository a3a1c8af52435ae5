/** A few bars of an arrangement around what an option changed: enough to judge it, small enough for a phone. */
import type { ArrangedBar, Arrangement, Option, SectionRef } from '@chartloft/shared-theory'
import { LIMITS } from '../limits.js'

/** Bars are numbered anew from 0, so that the excerpt plays like any arrangement; `fromBar` says where it was taken. */
export function excerptOf(
  arrangement: Arrangement,
  option: Option,
  at?: SectionRef,
): { readonly fromBar: number; readonly arrangement: Arrangement } {
  const { bars } = arrangement
  const [first, last] = stretchOf(bars, option, at ?? option.at)
  const from = Math.max(0, first - LIMITS.excerptLeadBars)
  const to = Math.min(bars.length, Math.max(last + 3, from + 8), from + LIMITS.excerptBars)
  return {
    fromBar: from,
    arrangement: { ...arrangement, bars: bars.slice(from, to).map((bar, barIndex) => ({ ...bar, barIndex })) },
  }
}

/** First and last bar to be heard: what the option made, else its place, else where its decision would act. */
function stretchOf(
  bars: readonly ArrangedBar[],
  option: Option,
  at: SectionRef | undefined,
): readonly [first: number, last: number] {
  if (option.kind === 'opening') return [0, lastIndexOf(bars, (bar) => bar.pass === 'opening')]
  const made = spanOf(
    bars,
    (bar) =>
      bar.provenance.optionId === option.id || (bar.provenance.trail ?? []).some((step) => step.optionId === option.id),
  )
  if (option.kind === 'groove') return [0, 0]
  if (made) return made
  const placed =
    at &&
    spanOf(
      bars,
      (bar) => bar.pass.split('#')[0] === at.passId && (at.sectionId === undefined || bar.sectionId === at.sectionId),
    )
  return placed ?? [Math.max(0, bars.length - 4), bars.length - 1]
}

function spanOf(
  bars: readonly ArrangedBar[],
  accept: (bar: ArrangedBar) => boolean,
): readonly [number, number] | undefined {
  const first = bars.findIndex(accept)
  return first < 0 ? undefined : [first, lastIndexOf(bars, accept)]
}

const lastIndexOf = (bars: readonly ArrangedBar[], accept: (bar: ArrangedBar) => boolean): number =>
  Math.max(0, bars.findLastIndex(accept))
