/** The parts of a MusicXML score: which there are, what each holds, and which is the melody. */
import { LIMITS } from '../../units/index.js'
import { decodeText } from '../decode-text.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { isFirstStaff, isMelodic, voiceOf } from './note-facts.js'
import { readPitch } from './pitch.js'
import { isPacked, unpackMxl } from './unpack-mxl.js'
import { type XmlElement, childOf, childrenOf, numberOf, parseXml, textOf } from './xml.js'
import { said } from '../said.js'

export interface Part {
  readonly id: string
  readonly name: string
  readonly measures: readonly XmlElement[]
  readonly notes: number
  readonly harmonies: number
}

/** A part of a score as somebody chooses it; pitches as they sound. */
export interface ListedPart {
  readonly name: string
  readonly notes: number
  readonly lowMidi: number
  readonly highMidi: number
  readonly chordSymbols: number
  /** The one that is read where none is asked for. */
  readonly isProposed: boolean
}

/** Names stand in a list and in sentences. */
const NAME_LETTERS = 60

export function scoreOf(source: string | Uint8Array): XmlElement {
  const root = parseXml(isPacked(source) ? unpackMxl(asBytes(source)) : decodeText(source))
  if (root.name !== 'score-partwise' && root.name !== 'score-timewise')
    throw new Unreadable(
      'RD13',
      `line/${root.line}`,
      said`Line ${root.line}: <${root.name.slice(0, 40)}> is no MusicXML score; it should begin with <score-partwise>.`,
    )
  return root
}

function asBytes(source: string | Uint8Array): Uint8Array {
  return typeof source === 'string' ? Uint8Array.from(source, (sign) => sign.charCodeAt(0)) : source
}

export function partsOf(root: XmlElement): readonly Part[] {
  const names = new Map<string, string>()
  for (const part of childrenOf(childOf(root, 'part-list'), 'score-part'))
    names.set(part.attributes['id'] ?? '', textOf(part, 'part-name'))
  const measures = new Map<string, XmlElement[]>()
  const put = (id: string, measure: XmlElement): void => {
    const list = measures.get(id)
    if (list) list.push(measure)
    else measures.set(id, [measure])
    if (measures.size > LIMITS.parts * 4)
      throw new Unreadable(
        'RD10',
        `line/${measure.line}`,
        said`Line ${measure.line}: more than ${LIMITS.parts * 4} parts.`,
      )
  }
  if (root.name === 'score-partwise')
    for (const part of childrenOf(root, 'part'))
      for (const measure of childrenOf(part, 'measure')) put(part.attributes['id'] ?? '', measure)
  else
    for (const measure of childrenOf(root, 'measure'))
      for (const part of childrenOf(measure, 'part'))
        put(part.attributes['id'] ?? '', { ...part, name: 'measure', attributes: measure.attributes })
  return [...measures].map(([id, list]) => ({
    id,
    name: (names.get(id) || id).slice(0, NAME_LETTERS),
    measures: list,
    notes: list.reduce((sum, measure) => sum + childrenOf(measure, 'note').filter(isMelodic).length, 0),
    harmonies: list.reduce((sum, measure) => sum + childrenOf(measure, 'harmony').length, 0),
  }))
}

/** The parts that have notes: those a tune can be. */
export function listParts(source: string | Uint8Array): readonly ListedPart[] {
  const parts = partsOf(scoreOf(source))
  const proposed = proposedOf(parts)
  return melodic(parts).map((part) => {
    const pitches = lineOf(part).flatMap((note) => {
      const pitch = readPitch(childOf(note, 'pitch') as XmlElement).pitch
      return pitch ? [pitch.midi + soundsHigher(part)] : []
    })
    return {
      name: part.name,
      notes: pitches.length,
      lowMidi: pitches.reduce((a, b) => Math.min(a, b), 127),
      highMidi: pitches.reduce((a, b) => Math.max(a, b), 0),
      chordSymbols: part.harmonies,
      isProposed: part === proposed,
    }
  })
}

/** The part asked for, an index into what `listParts` names; else the first with notes and chord symbols, else the first with notes, else, where
 *  a part may rest all through, the first. */
export function chooseMelody(
  parts: readonly Part[],
  issues: IssueList,
  { asked, mayRest }: { readonly asked: number | undefined; readonly mayRest: boolean },
): Part {
  const withNotes = melodic(parts)
  if (asked !== undefined) {
    const chosen = withNotes[asked]
    if (chosen) return chosen
    throw new Unreadable(
      'RD14',
      'file',
      said`This score has ${withNotes.length} parts with notes; part ${asked + 1} is not in it.`,
    )
  }
  const chosen = proposedOf(parts) ?? (mayRest ? parts[0] : undefined)
  if (!chosen)
    throw new Unreadable('RD1', 'file', said`There is no music in this score: no part has a note or a chord symbol.`)
  if (parts.length > 1)
    issues.add('RD14', 'note', 'file', said`Of ${parts.length} parts '${chosen.name}' was read as the melody.`)
  return chosen
}

/** The voice with the lowest number among those that sound on the first staff. */
export function melodyVoice(part: Part): string {
  const voices = new Set(
    part.measures.flatMap((measure) =>
      childrenOf(measure, 'note')
        .filter((note) => isMelodic(note) && isFirstStaff(note))
        .map(voiceOf),
    ),
  )
  return [...voices].sort((a, b) => Number(a) - Number(b) || (a < b ? -1 : 1))[0] ?? '1'
}

const melodic = (parts: readonly Part[]): readonly Part[] => parts.filter(({ notes }) => notes > 0)

function proposedOf(parts: readonly Part[]): Part | undefined {
  const withNotes = melodic(parts)
  return withNotes.find((part) => part.harmonies > 0) ?? withNotes[0] ?? parts.find((part) => part.harmonies > 0)
}

/** The notes that would be read as the tune, before ties are joined: one voice, the top of what stands together. */
function lineOf(part: Part): readonly XmlElement[] {
  const voice = melodyVoice(part)
  return part.measures.flatMap((measure) =>
    childrenOf(measure, 'note').filter(
      (note) => isMelodic(note) && voiceOf(note) === voice && !childOf(note, 'chord') && !childOf(note, 'grace'),
    ),
  )
}

/** Half steps from the written to the sounding pitch, as the part's first transposition says. */
function soundsHigher({ measures }: Part): number {
  for (const measure of measures)
    for (const attributes of childrenOf(measure, 'attributes')) {
      const transpose = childOf(attributes, 'transpose')
      if (!transpose) continue
      const by = Math.round((numberOf(transpose, 'chromatic') ?? 0) + 12 * (numberOf(transpose, 'octave-change') ?? 0))
      return Math.abs(by) > 48 ? 0 : by
    }
  return 0
}
