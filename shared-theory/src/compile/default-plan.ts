/** The plan a tune starts with: one chorus as written, a solo, a last chorus; nothing chosen yet. */
import type { Plan, Tune } from '../contract/index.js'
import { readableTune } from '../tune/index.js'
import { DEFAULT_LINEUP } from '../instruments/index.js'

/** One chorus as written, one solo chorus, last chorus; lead, piano, bass and drums. Verse, intro and coda stay out: opening and ending decide on them. */
export function defaultPlan(given: Tune): Plan {
  const tune = readableTune(given)
  const chorus = tune.sections.filter((section) => section.role === 'chorus')
  const sections = (chorus.length > 0 ? chorus : tune.sections).map((section) => section.id)
  return {
    tune,
    roadmap: [
      { id: 'chorus-1', kind: 'chorus', sections },
      { id: 'solo-1', kind: 'solo', sections },
      { id: 'chorus-last', kind: 'chorus', sections },
    ],
    chosen: [],
    lineup: DEFAULT_LINEUP,
    edits: [],
  }
}
