/** What the plan itself makes, to hold a lifted bar against: the form at once, the band only where a part is in doubt. */
import type { ArrangedBar, PartNote, Plan } from '../contract/index.js'
import { compile, compileForm } from '../compile/index.js'
import type { CheckedPart } from './check-context.js'

export interface AsPlanned {
  /** The plan's bars without parts, one for each bar checked. */
  readonly form: readonly ArrangedBar[]
  /** What the band would play in a part, bar by bar; undefined where the parts checked are not the band's own. */
  readonly part: (part: CheckedPart) => readonly (readonly PartNote[])[] | undefined
}

/** Of ten things, how many must agree before the rest is measured by the plan. */
const ENOUGH_OF_TEN = 7

/** Undefined where the arrangement is not one this plan makes: then nothing can be held against it. */
export function asPlanned(bars: readonly (ArrangedBar | undefined)[], plan: Plan): AsPlanned | undefined {
  const { bars: form } = compileForm(plan)
  const isSamePlace = (bar: ArrangedBar | undefined, index: number): boolean =>
    bar === undefined || (bar.pass === form[index]?.pass && bar.sectionId === form[index]?.sectionId)
  if (form.length !== bars.length || !bars.every(isSamePlace)) return undefined
  const bands = new Map<boolean, readonly ArrangedBar[] | undefined>()
  const bandFor = (isLine: boolean): readonly ArrangedBar[] | undefined => {
    if (bands.has(isLine)) return bands.get(isLine)
    // Lines do not listen to bass and drums, so these need not play; a piano by itself plays otherwise and is no witness.
    const lineup = isLine ? plan.lineup.filter(({ role }) => role !== 'bass' && role !== 'drums') : plan.lineup
    const band = compile({ ...plan, lineup }).arrangement.bars
    const judged = plan.lineup.filter(
      ({ role }) => !isLine || (role !== 'bass' && role !== 'drums' && role !== 'chords'),
    )
    const own = isBandsOwn(bars, band, new Set(judged.map(({ id }) => id))) ? band : undefined
    bands.set(isLine, own)
    return own
  }
  return {
    form,
    part: ({ spec, isLine }) => bandFor(isLine)?.map(({ parts }) => parts[spec.id] ?? []),
  }
}

/** Most of what is played, bar by bar and part by part, is what the band plays. */
function isBandsOwn(
  bars: readonly (ArrangedBar | undefined)[],
  band: readonly ArrangedBar[],
  judged: ReadonlySet<string>,
): boolean {
  let all = 0
  let same = 0
  for (const [index, bar] of bars.entries()) {
    for (const [id, notes] of Object.entries(band[index]?.parts ?? {})) {
      if (notes.length === 0 || !bar || !judged.has(id)) continue
      all++
      same += Number(isSameMusic(Object.hasOwn(bar.parts, id) ? (bar.parts[id] ?? []) : [], notes))
    }
  }
  return all > 0 && same * 10 >= all * ENOUGH_OF_TEN
}

/** The same pitches at the same places. */
export function isSameMusic(a: readonly PartNote[], b: readonly PartNote[]): boolean {
  return (
    a.length === b.length &&
    a.every(({ startTick, midi }, place) => startTick === b[place]?.startTick && midi === b[place].midi)
  )
}
