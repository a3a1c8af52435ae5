/** Where a decision acts when nobody said where: harmony late in the first chorus, a lift late in the last. */
import type { DecisionKind, PassPlan, Plan, Section, SectionRef, Tune } from '../contract/index.js'

/** Bars a harmony option is tried on at most where no place was named. */
const STRETCH_BARS = 8

/** Harmony: the first chorus' last 8-bar section, else the last eight bars of its last section. Lift: the last B of the last chorus, else
 *  its last section. Undefined for the decisions about the whole tune, and where nothing is played. */
export function defaultPlace(tune: Tune, kind: DecisionKind, plan: Plan): SectionRef | undefined {
  if (kind === 'harmony') return harmonyPlace(tune, plan)
  return kind === 'lift' ? liftPlace(tune, plan) : undefined
}

function harmonyPlace(tune: Tune, plan: Plan): SectionRef | undefined {
  const pass = choruses(plan)[0] ?? plan.roadmap[0]
  if (!pass) return undefined
  const sections = sectionsOf(tune, pass)
  const section = sections.findLast(({ bars }) => bars === STRETCH_BARS) ?? sections.at(-1)
  if (!section) return undefined
  const place = { passId: pass.id, sectionId: section.id }
  if (section.bars <= STRETCH_BARS) return place
  return { ...place, fromBar: section.bars - STRETCH_BARS, bars: STRETCH_BARS }
}

function liftPlace(tune: Tune, plan: Plan): SectionRef | undefined {
  const pass = choruses(plan).at(-1) ?? plan.roadmap.at(-1)
  if (!pass) return undefined
  const sections = sectionsOf(tune, pass)
  const section = sections.findLast(({ letter }) => letter.toUpperCase() === 'B') ?? sections.at(-1)
  return section && { passId: pass.id, sectionId: section.id }
}

const choruses = ({ roadmap }: Plan): readonly PassPlan[] => roadmap.filter(({ kind }) => kind === 'chorus')

/** The sections a pass plays, in its order; ids the tune does not have are left out. */
export function sectionsOf(tune: Tune, pass: PassPlan): readonly Section[] {
  return pass.sections.flatMap((id) => tune.sections.find((section) => section.id === id) ?? [])
}
