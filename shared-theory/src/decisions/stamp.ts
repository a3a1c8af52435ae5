/** Provenance of a bar that a decision has changed: who did it last, and the trail of those before. */
import type { DecisionKind, Provenance } from '../contract/index.js'

/** The tune bar stays named; the decision that stood here goes to the end of the trail. */
export function stamped(before: Provenance, decision: DecisionKind, optionId: string, rule: string): Provenance {
  const earlier =
    before.decision === 'tune'
      ? []
      : [{ decision: before.decision, optionId: before.optionId ?? '', rule: before.rule }]
  const trail = [...(before.trail ?? []), ...earlier]
  return {
    decision,
    optionId,
    rule,
    ...(before.tuneBar === undefined ? {} : { tuneBar: before.tuneBar }),
    ...(trail.length > 0 ? { trail } : {}),
  }
}
