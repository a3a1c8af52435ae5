/** Energy: which of five levels every bar is played at. Source: common practice; the defaults from memory. */
import type { ArrangedBar, PassPlan } from '../contract/index.js'

/** 1 whispered … 5 everything. */
export type Level = 1 | 2 | 3 | 4 | 5

/** Level of an energy 0…1: five equal steps. */
export function levelOfEnergy(energy: number): Level {
  return asLevel(1 + Math.floor(5 * energy))
}

/** The PassPlan.id a bar's pass was made from ('solo-1#2' → 'solo-1'). */
export const passIdOf = (pass: string): string => pass.split('#')[0] as string

/** The ending rule of a button: everything out for one hit. */
const BUTTON = 'EN9'
/** The ending rule of a delayed tonic: home comes late, and softer from bar to bar. */
const DELAYED = 'EN3'

/** The opening rule of drums alone: what is heard alone must be heard. */
const DRUMS_ALONE = 'OP9'

/** Level of every bar: the pass's energy where it is set, else by what the pass is; it changes only where a section starts, by at most two.
 *  Only a delayed tonic goes on falling, a level a bar. */
export function levelsOf(bars: readonly ArrangedBar[], roadmap: readonly PassPlan[]): readonly Level[] {
  const passes = new Map(roadmap.map((pass) => [pass.id, pass]))
  const choruses = distinctPasses(
    bars,
    (pass) => passes.get(passIdOf(pass))?.kind !== 'solo' && passes.has(passIdOf(pass)),
  )
  const solos = distinctPasses(bars, (pass) => passes.get(passIdOf(pass))?.kind === 'solo')
  const isDelayed = bars.some((bar) => isEnding(bar) && bar.provenance.rule === DELAYED)
  const levels: Level[] = []
  bars.forEach((bar, index) => {
    const before = bars[index - 1]
    const previous = levels[index - 1]
    if (before && previous && before.pass === bar.pass && before.sectionId === bar.sectionId) {
      levels.push(isDelayed && isEnding(bar) ? asLevel(previous - 1) : previous)
      return
    }
    const wanted =
      isDelayed && isEnding(bar) ? 2 : wantedLevel(bar, bars, passes.get(passIdOf(bar.pass)), choruses, solos)
    const least = previous ? previous - 2 : 1
    const most = previous ? previous + 2 : 5
    levels.push(asLevel(Math.min(Math.max(wanted, least), most)))
  })
  return levels
}

const isEnding = (bar: ArrangedBar): boolean => bar.pass === 'ending' || bar.sectionId === 'ending'

function wantedLevel(
  bar: ArrangedBar,
  bars: readonly ArrangedBar[],
  plan: PassPlan | undefined,
  choruses: readonly string[],
  solos: readonly string[],
): Level {
  if (bar.pass === 'opening' || bar.sectionId === 'opening') return bar.provenance.rule === DRUMS_ALONE ? 3 : 2
  if (isEnding(bar)) return bar.provenance.rule === BUTTON ? 5 : 3
  if (plan?.energy !== undefined && Number.isFinite(plan.energy)) return levelOfEnergy(plan.energy)
  if (plan?.kind === 'verse') return 2
  if (plan?.kind === 'solo') return solos.length > 1 && bar.pass === solos.at(-1) ? 4 : 3
  if (choruses.length > 1 && bar.pass === choruses.at(-1)) return isFromLastB(bar, bars) ? 5 : 4
  const firstSection = bars.find(({ pass }) => pass === bar.pass)?.sectionId
  return bar.sectionId === firstSection ? 2 : 3
}

/** Whether a bar of the last chorus stands at or after its last B (its last section where it has no B). */
function isFromLastB(bar: ArrangedBar, bars: readonly ArrangedBar[]): boolean {
  const sections: string[] = []
  for (const { pass, sectionId } of bars)
    if (pass === bar.pass && sections.at(-1) !== sectionId && sectionId !== 'lift') sections.push(sectionId)
  const lastB = sections.findLastIndex((id) => /^B/i.test(id))
  const from = lastB >= 0 ? lastB : sections.length - 1
  return sections.length > 1 && sections.lastIndexOf(bar.sectionId) >= from
}

function distinctPasses(bars: readonly ArrangedBar[], keep: (pass: string) => boolean): readonly string[] {
  return [...new Set(bars.map(({ pass }) => pass))].filter(keep)
}

function asLevel(value: number): Level {
  return Math.min(5, Math.max(1, Number.isFinite(value) ? Math.trunc(value) : 3)) as Level
}
