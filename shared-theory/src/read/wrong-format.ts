/** Tells a file of another kind before it is read as nonsense, and says which kind it is. */
import type { Issue } from '../contract/index.js'
import { issue } from '../units/index.js'
import { issueSaid, said } from './said.js'

type Kind = 'abc' | 'musicxml' | 'midi' | 'zip' | 'pdf' | 'image' | 'audio' | 'binary' | 'empty' | 'html'

const NAMES: { readonly [kind in Kind]: string } = {
  abc: 'an ABC file',
  musicxml: 'a MusicXML file',
  midi: 'a MIDI file',
  zip: 'a compressed file',
  pdf: 'a PDF',
  image: 'a picture',
  audio: 'a sound recording',
  binary: 'no text file',
  empty: 'an empty file',
  html: 'a web page',
}

/** Undefined where the bytes may well be of that format. */
export function wrongFormat(
  format: 'abc' | 'musicxml' | 'midi' | 'tune',
  source: string | Uint8Array,
): Issue | undefined {
  const kind = kindOf(source)
  if (kind === undefined || kind === format) return undefined
  if (kind === 'empty') return issueSaid('RD1', 'error', 'file', said`The file is empty.`)
  if (kind === 'zip' && format === 'musicxml') return undefined
  const mend =
    kind === 'abc' || kind === 'musicxml' || kind === 'midi'
      ? `Open it as ${kind === 'abc' ? 'ABC' : kind === 'midi' ? 'MIDI' : 'MusicXML'}.`
      : 'Save the tune as ABC, MusicXML or MIDI and open that.'
  return issue(
    'RD1',
    'error',
    'file',
    `This is ${NAMES[kind]}, not ${format === 'tune' ? 'a tune' : NAMES[format]}. ${mend}`,
  )
}

const SIGNATURES: readonly (readonly [kind: Kind, start: string])[] = [
  ['midi', 'MThd'],
  ['zip', 'PK\u0003\u0004'],
  ['pdf', '%PDF'],
  ['image', '\u0089PNG'],
  ['image', '\u00ff\u00d8\u00ff'],
  ['image', 'GIF8'],
  ['audio', 'RIFF'],
  ['audio', 'ID3'],
  ['audio', 'OggS'],
  ['audio', 'fLaC'],
]

function kindOf(source: string | Uint8Array): Kind | undefined {
  if (source.length === 0) return 'empty'
  const start = typeof source === 'string' ? source.slice(0, 512) : String.fromCharCode(...source.subarray(0, 512))
  if (start.startsWith('RIFF') && start.startsWith('RMID', 8)) return 'midi'
  for (const [kind, sign] of SIGNATURES) if (start.startsWith(sign)) return kind
  const isWide = start.startsWith('\u00ff\u00fe') || start.startsWith('\u00fe\u00ff')
  if (isWide) return undefined
  const text = start.replace(/^(\u00ef\u00bb\u00bf|\ufeff)/, '').trimStart()
  if (text === '' && source.length <= 512) return 'empty'
  if (/^<(!doctype html|html)/i.test(text)) return 'html'
  if (/^(<\?xml|<!DOCTYPE score|<score-(partwise|timewise))/.test(text)) return 'musicxml'
  if (start.includes('\u0000')) return 'binary'
  if (/^(%abc|X:\s*\d)/.test(text)) return 'abc'
  return undefined
}
