/** Section marks of a tune that was read: added, renamed, moved, taken away. What somebody calls a section stands as it is. */
import type { Result, Section, Tune } from '../../contract/index.js'
import { firstFormBar, namedSections } from '../../tune/index.js'
import { fail, issue } from '../../units/index.js'

type Mark = Pick<Section, 'startBar' | 'letter' | 'role'>

export function nameSection(tune: Tune, bar: number, name: string): Result<Tune> {
  const text = name.trim()
  if (text === '') return refuse('A section needs a name: a letter, or a word like Verse or Bridge.')
  if (!isFormBar(tune, bar)) return refuse('A section begins at a full bar of the tune.')
  const others = tune.sections.filter(({ startBar }) => startBar !== bar)
  return marked(tune, [...others, { startBar: bar, text }])
}

export function moveSection(tune: Tune, from: number, to: number): Result<Tune> {
  const moved = tune.sections.find(({ startBar }) => startBar === from)
  if (!moved) return refuse('No section begins at that bar.')
  if (!isFormBar(tune, to)) return refuse('A section begins at a full bar of the tune.')
  if (from === firstFormBar(tune)) return refuse('The first section begins with the tune; mark another one instead.')
  if (tune.sections.some(({ startBar }) => startBar === to)) return refuse('Another section begins at that bar.')
  return marked(tune, [...tune.sections.filter((section) => section !== moved), { ...moved, startBar: to }])
}

/** The section before takes its bars; of the first one the next begins earlier. */
export function removeSection(tune: Tune, bar: number): Result<Tune> {
  if (!tune.sections.some(({ startBar }) => startBar === bar)) return refuse('No section begins at that bar.')
  if (tune.sections.length === 1) return refuse('A tune has one section at least; give it another name instead.')
  const [first, ...rest] = tune.sections.filter(({ startBar }) => startBar !== bar)
  return marked(tune, [...(first ? [{ ...first, startBar: Math.min(first.startBar, bar) }] : []), ...rest])
}

const isFormBar = (tune: Tune, bar: number): boolean =>
  Number.isInteger(bar) && bar >= firstFormBar(tune) && bar < tune.bars.length

function marked(
  tune: Tune,
  marks: readonly (Mark | { readonly startBar: number; readonly text: string })[],
): Result<Tune> {
  return { ok: true, value: { ...tune, sections: namedSections(tune, marks) } }
}

const refuse = (message: string): Result<Tune> => fail(issue('RD43', 'error', 'sections', message))
