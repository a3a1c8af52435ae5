/** A MusicXML 3–4 score, partwise or timewise, plain or compressed, into written bars of its melody part. */
import { LIMITS } from '../../units/index.js'
import { decodeText } from '../decode-text.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { transposeWritten } from '../transpose-written.js'
import type { WrittenBar, WrittenTune } from '../written.js'
import { readMeasures } from './measures.js'
import { isFirstStaff, isMelodic, voiceOf } from './note-facts.js'
import { isPacked, unpackMxl } from './unpack-mxl.js'
import { type XmlElement, childOf, childrenOf, parseXml, textOf } from './xml.js'

interface Part {
  readonly id: string
  readonly name: string
  readonly measures: readonly XmlElement[]
  readonly notes: number
  readonly harmonies: number
}

export function readMusicXml(source: string | Uint8Array, issues: IssueList): WrittenTune {
  const text = isPacked(source) ? unpackMxl(asBytes(source)) : decodeText(source)
  const root = parseXml(text)
  if (root.name !== 'score-partwise' && root.name !== 'score-timewise')
    throw new Unreadable(
      'RD13',
      `line/${root.line}`,
      `Line ${root.line}: <${root.name.slice(0, 40)}> is no MusicXML score; it should begin with <score-partwise>.`,
    )
  const parts = partsOf(root)
  const melody = chooseMelody(parts, issues)
  const reading = readMeasures(melody.measures, melodyVoice(melody), issues)
  const sounding =
    reading.transposeSemitones === 0 ? reading.bars : transposeWritten(reading.bars, reading.transposeSemitones)
  const bars =
    melody.harmonies > 0
      ? sounding
      : withChordsOf(
          parts.find((part) => part.harmonies > 0),
          sounding,
          melody,
          issues,
        )
  const composer = composerOf(root)
  tellHead(root, issues)
  return {
    format: 'musicxml',
    title: textOf(childOf(root, 'work'), 'work-title') || textOf(root, 'movement-title'),
    ...(composer ? { composer } : {}),
    rights: /public domain/i.test(textOf(childOf(root, 'identification'), 'rights')) ? 'public-domain' : 'unknown',
    ...(reading.tempoBpm ? { tempoBpm: reading.tempoBpm } : {}),
    bars,
    ...(reading.isKeyWritten && reading.isModeWritten
      ? {}
      : { keyKnown: reading.isKeyWritten ? ('signature' as const) : ('nothing' as const) }),
  }
}

function asBytes(source: string | Uint8Array): Uint8Array {
  return typeof source === 'string' ? Uint8Array.from(source, (sign) => sign.charCodeAt(0)) : source
}

function partsOf(root: XmlElement): readonly Part[] {
  const names = new Map<string, string>()
  for (const part of childrenOf(childOf(root, 'part-list'), 'score-part'))
    names.set(part.attributes['id'] ?? '', textOf(part, 'part-name'))
  const measures = new Map<string, XmlElement[]>()
  const put = (id: string, measure: XmlElement): void => {
    const list = measures.get(id)
    if (list) list.push(measure)
    else measures.set(id, [measure])
    if (measures.size > LIMITS.parts * 4)
      throw new Unreadable('RD10', `line/${measure.line}`, `Line ${measure.line}: more than ${LIMITS.parts * 4} parts.`)
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
    name: names.get(id) ?? id,
    measures: list,
    notes: list.reduce((sum, measure) => sum + childrenOf(measure, 'note').filter(isMelodic).length, 0),
    harmonies: list.reduce((sum, measure) => sum + childrenOf(measure, 'harmony').length, 0),
  }))
}

/** The first part with notes and chord symbols, else the first with notes. */
function chooseMelody(parts: readonly Part[], issues: IssueList): Part {
  const withNotes = parts.filter((part) => part.notes > 0)
  const chosen =
    withNotes.find((part) => part.harmonies > 0) ?? withNotes[0] ?? parts.find((part) => part.harmonies > 0)
  if (!chosen)
    throw new Unreadable('RD1', 'file', 'There is no music in this score: no part has a note or a chord symbol.')
  if (parts.length > 1)
    issues.add(
      'RD14',
      'note',
      'file',
      `Of ${parts.length} parts '${chosen.name.slice(0, 60)}' was read as the melody; save the melody part by itself to choose another.`,
    )
  return chosen
}

/** The voice with the lowest number among those that sound on the first staff. */
function melodyVoice(part: Part): string {
  const voices = new Set(
    part.measures.flatMap((measure) =>
      childrenOf(measure, 'note')
        .filter((note) => isMelodic(note) && isFirstStaff(note))
        .map(voiceOf),
    ),
  )
  return [...voices].sort((a, b) => Number(a) - Number(b) || (a < b ? -1 : 1))[0] ?? '1'
}

function withChordsOf(
  part: Part | undefined,
  bars: readonly WrittenBar[],
  melody: Part,
  issues: IssueList,
): readonly WrittenBar[] {
  if (!part || part === melody) return bars
  issues.add('RD14', 'note', 'file', `The chord symbols come from '${part.name.slice(0, 60)}'.`)
  const reading = readMeasures(part.measures, melodyVoice(part), issues)
  const sounding =
    reading.transposeSemitones === 0 ? reading.bars : transposeWritten(reading.bars, reading.transposeSemitones)
  return bars.map((bar, at) => ({ ...bar, chords: sounding[at]?.chords ?? [] }))
}

/** Names and numbers at the head that a tune does not keep. */
function tellHead(root: XmlElement, issues: IssueList): void {
  const others = childrenOf(childOf(root, 'identification'), 'creator').filter(
    ({ attributes, text }) => text.trim() !== '' && !['composer', undefined].includes(attributes['type']),
  )
  const movement = textOf(root, 'movement-title')
  const kept = textOf(childOf(root, 'work'), 'work-title')
  const lost = [
    ...others.map(({ attributes, text }) => `${attributes['type']?.slice(0, 30)} '${text.trim().slice(0, 40)}'`),
    ...(kept && movement && movement !== kept ? [`the movement's title '${movement.slice(0, 40)}'`] : []),
    ...['work-number', 'opus'].flatMap((name) => (textOf(childOf(root, 'work'), name) ? [name.replace('-', ' ')] : [])),
    ...(textOf(root, 'movement-number') ? ['movement number'] : []),
  ]
  if (lost.length > 0)
    issues.add(
      'RD9',
      'note',
      'file',
      `At the head, left out since a tune has no place for it: ${lost.slice(0, 20).join(', ')}.`,
    )
}

function composerOf(root: XmlElement): string {
  const creators = childrenOf(childOf(root, 'identification'), 'creator')
  const composer =
    creators.find((one) => one.attributes['type'] === 'composer') ??
    creators.find((one) => one.attributes['type'] === undefined)
  return composer?.text.trim() ?? ''
}
