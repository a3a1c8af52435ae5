/** Where a lift begins: the first bar of the section it stands before. */
import type { ArrangedBar, SectionRef, Tune } from '../../contract/index.js'

/** Index of the first lifted bar; undefined where the bars have no such place. A repeated pass is meant by its first time. */
export function liftIndex(bars: readonly ArrangedBar[], at: SectionRef | undefined, tune: Tune): number | undefined {
  if (!at) return undefined
  const section = tune.sections.find(({ id }) => id === at.sectionId)
  const start = bars.findIndex(
    (bar) =>
      (bar.pass === at.passId || bar.pass.startsWith(`${at.passId}#`)) &&
      (at.sectionId === undefined || bar.sectionId === at.sectionId) &&
      // A pickup leads in; the section begins after it.
      (bar.provenance.tuneBar ?? 0) >= (section?.startBar ?? 0),
  )
  if (start < 0) return undefined
  const index = start + Math.max(0, Math.floor(at.fromBar ?? 0))
  const isInside = at.sectionId === undefined || bars[index]?.sectionId === at.sectionId
  return bars[index] && isInside ? index : undefined
}
