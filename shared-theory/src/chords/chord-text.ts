/** The characters of a chord symbol made plain: typographic signs to ASCII, each remembering where it stood. */

/** Signs that charts print and what the grammar reads them as; '^' major seventh, 'o' diminished, 'ø' half-diminished. Common practice. */
const SIGNS: { readonly [sign: string]: string } = {
  '♭': 'b',
  '♯': '#',
  '＃': '#',
  '♮': '',
  '𝄫': 'bb',
  '𝄪': '##',
  '∆': '^',
  Δ: '^',
  '△': '^',
  '▵': '^',
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
  '⁰': '0',
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
  '\u00a0': ' ',
  '\u2009': ' ',
  '\u202f': ' ',
  '\t': ' ',
}

export interface ChordText {
  readonly text: string
  /** 1-based character of the source for an index of `text`. */
  readonly place: (index: number) => number
}

export function plainText(source: string): ChordText {
  if (isPrintableAscii(source)) return { text: source, place: (index) => index + 1 }
  let text = ''
  const places: number[] = []
  let character = 0
  for (const sign of source) {
    character++
    const plain = Object.hasOwn(SIGNS, sign) ? (SIGNS[sign] as string) : sign
    text += plain
    for (let index = 0; index < plain.length; index++) places.push(character)
  }
  return { text, place: (index) => places[index] ?? character + 1 }
}

function isPrintableAscii(source: string): boolean {
  for (let index = 0; index < source.length; index++) {
    const code = source.charCodeAt(index)
    if (code < 32 || code > 126) return false
  }
  return true
}
