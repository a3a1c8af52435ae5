/** Note names in a chord symbol: roots in capitals, bass notes in small letters too. */
import type { NoteName } from '../contract/index.js'

/** Reads a note name at `at`: letter, then up to two accidentals (b, #, x); undefined where no capital A–G stands there. */
export function readNote(text: string, at: number): { readonly name: NoteName; readonly end: number } | undefined {
  const letter = text.charCodeAt(at)
  if (!(letter >= 65 && letter <= 71)) return undefined
  const sign = text[at + 1]
  if (sign === 'x') return { name: `${text[at]}##`, end: at + 2 }
  if (sign !== 'b' && sign !== '#') return { name: text[at] as string, end: at + 1 }
  const doubled = text[at + 2] === sign
  return { name: text.slice(at, at + (doubled ? 3 : 2)), end: at + (doubled ? 3 : 2) }
}

/** A bass in small letters, as guitar sheets have it; 'b' alone could be B or B flat and is none. */
export function readSmallNote(text: string, at: number): { readonly name: NoteName; readonly end: number } | undefined {
  const found = /^([ac-g](?:bb?|##?)?|bbb?|b##?)(?![\da-z])/.exec(text.slice(at))?.[1]
  if (found === undefined) return undefined
  return { name: found.charAt(0).toUpperCase() + found.slice(1), end: at + found.length }
}
