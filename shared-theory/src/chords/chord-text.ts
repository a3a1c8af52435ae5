/** The characters of a chord symbol made plain: typographic signs to ASCII, each remembering where it stood. */

/** Signs that charts print and what the grammar reads them as; '^' major seventh, 'o' diminished, 'ø' half-diminished. Common practice. */
const SIGNS: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '♭': 'b',
    '♯': '#',
    // A natural is said of what follows it: 'C7♮9' sets the 9 apart, 'B♮' is B.
    '♮': ' ',
    '𝄫': 'bb',
    '𝄪': '##',
    '∆': '^',
    Δ: '^',
    '△': '^',
    '▵': '^',
    '▲': '^',
    '▴': '^',
    '°': 'o',
    º: 'o',
    '˚': 'o',
    '○': 'o',
    Ø: 'ø',
    '∅': 'ø',
    '⌀': 'ø',
    '−': '-',
    '–': '-',
    '—': '-',
    '‐': '-',
    '‑': '-',
    '⁺': '+',
    '⁻': '-',
    // Nothing in a chord is figured 0: a raised one is the degree sign.
    '⁰': 'o',
    ᵒ: 'o',
    '¹': '1',
    '²': '2',
    '³': '3',
    '⁴': '4',
    '⁵': '5',
    '⁶': '6',
    '⁷': '7',
    '⁸': '8',
    '⁹': '9',
    '⁽': '(',
    '⁾': ')',
    '₀': '0',
    '₁': '1',
    '₂': '2',
    '₃': '3',
    '₄': '4',
    '₅': '5',
    '₆': '6',
    '₇': '7',
    '₈': '8',
    '₉': '9',
    '⁄': '/',
    '∕': '/',
    ᵃ: 'a',
    ᵇ: 'b',
    ᵈ: 'd',
    ᵍ: 'g',
    ⁱ: 'i',
    ʲ: 'j',
    ᵐ: 'm',
    ᴹ: 'M',
    ⁿ: 'n',
    ˢ: 's',
    ᵗ: 't',
    ᵘ: 'u',
    '𝄎': '%',
    '\t': ' ',
    '\n': ' ',
    '\r': ' ',
  }),
)
/** Says nothing: joiners, byte order marks and the selectors that choose how '♭' is drawn. */
const SILENT: ReadonlySet<number> = new Set([
  0xad, 0x200b, 0x200c, 0x200d, 0x200e, 0x200f, 0x2060, 0xfe0e, 0xfe0f, 0xfeff,
])
/** Full-width forms stand in one block beside ASCII. */
const FULL_WIDTH_START = 0xff01
const FULL_WIDTH_END = 0xff5e

export interface ChordText {
  readonly text: string
  /** 1-based character of the source for an index of `text`. */
  readonly place: (index: number) => number
}

export function plainText(source: string): ChordText {
  if (isPrintableAscii(source)) return { text: source, place: (index) => index + 1 }
  let text = ''
  for (const sign of source) text += plainSign(sign)
  return { text, place: (index) => placeIn(source, index) }
}

/** Counted only where an issue asks for it. */
function placeIn(source: string, index: number): number {
  let character = 0
  let length = 0
  for (const sign of source) {
    character++
    length += plainSign(sign).length
    if (length > index) return character
  }
  return character + 1
}

function plainSign(sign: string): string {
  const code = sign.codePointAt(0) as number
  if (code >= 32 && code <= 126) return sign
  const known = SIGNS.get(sign)
  if (known !== undefined) return known
  if (SILENT.has(code)) return ''
  if (code >= FULL_WIDTH_START && code <= FULL_WIDTH_END) return String.fromCharCode(code - FULL_WIDTH_START + 33)
  return /^\p{Zs}$/u.test(sign) ? ' ' : sign
}

function isPrintableAscii(source: string): boolean {
  for (let index = 0; index < source.length; index++) {
    const code = source.charCodeAt(index)
    if (code < 32 || code > 126) return false
  }
  return true
}
