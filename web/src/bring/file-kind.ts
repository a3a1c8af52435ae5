/** Which kind of tune file something is: by its content first, its name second. */
import type { TuneFormat } from '../state/theory-protocol.js'

/** A request body holds at most 1 MiB; base64 adds a third. */
export const MOST_BYTES = 700_000

export function kindOf(name: string, bytes: Uint8Array): TuneFormat | undefined {
  const ascii = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to))
  if (ascii(0, 4) === 'MThd') return 'midi'
  // A zip: compressed MusicXML.
  if (ascii(0, 2) === 'PK') return 'musicxml'
  const head = ascii(0, 2000)
    .replace(/^\u00ef\u00bb\u00bf/, '')
    .trimStart()
  if (/^<\?xml|^<score-|^<!DOCTYPE score-/.test(head)) return 'musicxml'
  if (/^(?:%|X:|T:)/m.test(head) && /^K:/m.test(ascii(0, 20_000))) return 'abc'
  const ending = name.toLowerCase().split('.').at(-1)
  if (ending === 'abc') return 'abc'
  if (ending === 'musicxml' || ending === 'xml' || ending === 'mxl') return 'musicxml'
  return ending === 'mid' || ending === 'midi' ? 'midi' : undefined
}

/** What goes into the request: text as it is, bytes in base64. */
export function carried(
  format: TuneFormat,
  bytes: Uint8Array,
): { readonly data: string; readonly encoding: 'utf8' | 'base64' } {
  const isZip = bytes[0] === 0x50 && bytes[1] === 0x4b
  const isWide = bytes[0] === 0xff || bytes[0] === 0xfe
  if (format === 'midi' || isZip || isWide) return { data: base64(bytes), encoding: 'base64' }
  return { data: new TextDecoder().decode(bytes), encoding: 'utf8' }
}

function base64(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192))
  return btoa(text)
}
