/** A MusicXML 3–4 score, partwise or timewise, plain or compressed, into written bars of its melody part. */
import type { IssueList } from '../issue-list.js'
import { transposeWritten } from '../transpose-written.js'
import type { WrittenBar, WrittenTune } from '../written.js'
import { readMeasures } from './measures.js'
import { chooseMelody, melodyVoice, type Part, partsOf, scoreOf } from './parts.js'
import { type XmlElement, childOf, childrenOf, textOf } from './xml.js'
import { said } from '../said.js'

/** `asked`: which part is the melody, an index into what `listParts` names. */
export function readMusicXml(
  source: string | Uint8Array,
  issues: IssueList,
  asked?: number,
  mayRest = false,
): WrittenTune {
  const root = scoreOf(source)
  const parts = partsOf(root)
  const melody = chooseMelody(parts, issues, { asked, mayRest })
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

function withChordsOf(
  part: Part | undefined,
  bars: readonly WrittenBar[],
  melody: Part,
  issues: IssueList,
): readonly WrittenBar[] {
  if (!part || part === melody) return bars
  issues.add('RD14', 'note', 'file', said`The chord symbols come from '${part.name}'.`)
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
      said`At the head, left out since a tune has no place for it: ${lost.slice(0, 20).join(', ')}.`,
    )
}

function composerOf(root: XmlElement): string {
  const creators = childrenOf(childOf(root, 'identification'), 'creator')
  const composer =
    creators.find((one) => one.attributes['type'] === 'composer') ??
    creators.find((one) => one.attributes['type'] === undefined)
  return composer?.text.trim() ?? ''
}
