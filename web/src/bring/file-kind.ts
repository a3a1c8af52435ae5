/** Which kind of tune file something is: by its content first, its name second. */
import { LIMITS } from '@chartloft/shared-theory'
import type { FileFormat } from '../state/theory-protocol.js'

/** Bytes a file of each kind may have: the readers’ own limits. */
export const MOST_BYTES: { readonly [format in FileFormat]: number } = {
  abc: LIMITS.tuneFileBytes,
  musicxml: LIMITS.tuneFileBytes,
  midi: LIMITS.midiFileBytes,
}
/** Bytes of a file’s beginning that tell its kind. */
export const HEAD_BYTES = 20_000

export function kindOf(name: string, bytes: Uint8Array): FileFormat | undefined {
  const ascii = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to))
  if (ascii(0, 4) === 'MThd') return 'midi'
  // A zip: compressed MusicXML.
  if (ascii(0, 2) === 'PK') return 'musicxml'
  const head = ascii(0, 2000)
    .replace(/^\u00ef\u00bb\u00bf/, '')
    .trimStart()
  if (/^<\?xml|^<score-|^<!DOCTYPE score-/.test(head)) return 'musicxml'
  if (/^(?:%|X:|T:)/m.test(head) && /^K:/m.test(ascii(0, HEAD_BYTES))) return 'abc'
  const ending = name.toLowerCase().split('.').at(-1)
  if (ending === 'abc') return 'abc'
  if (ending === 'musicxml' || ending === 'xml' || ending === 'mxl') return 'musicxml'
  return ending === 'mid' || ending === 'midi' ? 'midi' : undefined
}
