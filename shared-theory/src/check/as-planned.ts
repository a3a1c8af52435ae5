/** What the plan itself makes, to hold a lifted bar against: the form at once, the band only where a part is in doubt. */
import type { PartBars } from '../band/index.js'
import type { ArrangedBar, PartNote, PartSpec, Plan } from '../contract/index.js'
import { compilePartly } from '../compile/index.js'
import type { CheckedPart } from './check-context.js'

export interface AsPlanned {
  /** The plan's bars without parts, one for each bar checked. */
  readonly form: readonly ArrangedBar[]
  /** What the band would play in a part, bar by bar; undefined where the parts checked are not the band's own. */
  readonly part: (part: CheckedPart) => PartBars | undefined
}

/** Of ten things, how many must agree before the rest is measured by the plan. */
const ENOUGH_OF_TEN = 7
const FEW_BARS = 8

/** Undefined where the arrangement is not one this plan makes: then nothing can be held against it. */
export function asPlanned(bars: readonly (ArrangedBar | undefined)[], plan: Plan): AsPlanned | undefined {
  const { bars: form, part: play } = compilePartly(plan)
  const isSamePlace = (bar: ArrangedBar | undefined, index: number): boolean =>
    bar === undefined || (bar.pass === form[index]?.pass && bar.sectionId === form[index]?.sectionId)
  if (form.length !== bars.length || !bars.every(isSamePlace)) return undefined
  const kinds = new Map<string, ReadonlyMap<string, PartBars> | undefined>()
  const partsLike = ({ spec, isLine }: CheckedPart): ReadonlyMap<string, PartBars> | undefined => {
    const isAlike = ({ role }: PartSpec): boolean => (isLine ? LINES.has(role) : role === spec.role)
    const kind = isLine ? 'lines' : spec.role
    if (!kinds.has(kind)) {
      const alike = plan.lineup.filter(isAlike).map(({ id }) => [id, play(id)] as const)
      kinds.set(kind, bandsOwn(bars, form, new Map(alike)))
    }
    return kinds.get(kind)
  }
  return { form, part: (part) => partsLike(part)?.get(part.spec.id) }
}

const LINES: ReadonlySet<string> = new Set(['lead', 'horn', 'voice'])

/** What the band plays in some parts; undefined where most of what stands there, bar by bar, is something else. */
function bandsOwn(
  bars: readonly (ArrangedBar | undefined)[],
  form: readonly ArrangedBar[],
  parts: ReadonlyMap<string, PartBars>,
): ReadonlyMap<string, PartBars> | undefined {
  // What a lift left behind is no witness against itself, as long as enough stands before it.
  const change = form.findIndex(({ key }) => key.key !== form[0]?.key.key)
  const witnesses = change >= FEW_BARS ? bars.slice(0, change) : bars
  let all = 0
  let same = 0
  for (const [id, meant] of parts) {
    for (const [index, bar] of witnesses.entries()) {
      const notes = meant[index] ?? []
      if (notes.length === 0 || !bar) continue
      all++
      same += Number(isSameMusic(Object.hasOwn(bar.parts, id) ? (bar.parts[id] ?? []) : [], notes))
    }
  }
  if (all === 0 && witnesses !== bars) return parts
  return all > 0 && same * 10 >= all * ENOUGH_OF_TEN ? parts : undefined
}

/** The same pitches at the same places. */
export function isSameMusic(a: readonly PartNote[], b: readonly PartNote[]): boolean {
  return (
    a.length === b.length &&
    a.every(({ startTick, midi }, place) => startTick === b[place]?.startTick && midi === b[place].midi)
  )
}
