/** Text strings of ABC as people read them: accents by backslash, characters by name or number (ABC standard 2.1, section 8.2). */

/** The sign after the backslash, as a combining character. */
const ACCENTS: { readonly [sign: string]: string } = {
  '`': '\u0300',
  "'": '\u0301',
  '^': '\u0302',
  '~': '\u0303',
  '=': '\u0304',
  u: '\u0306',
  '"': '\u0308',
  H: '\u030b',
  v: '\u030c',
  c: '\u0327',
}
const LETTERS: { readonly [name: string]: string } = {
  AA: 'Å',
  aa: 'å',
  AE: 'Æ',
  ae: 'æ',
  OE: 'Œ',
  oe: 'œ',
  ss: 'ß',
  DH: 'Ð',
  dh: 'ð',
  TH: 'Þ',
  th: 'þ',
  '/O': 'Ø',
  '/o': 'ø',
  '=D': 'Đ',
  '=d': 'đ',
}
/** Ends of character names that put an accent on their letter. */
const NAMED_ACCENTS: { readonly [end: string]: string } = {
  grave: '\u0300',
  acute: '\u0301',
  circ: '\u0302',
  tilde: '\u0303',
  uml: '\u0308',
  ring: '\u030a',
  caron: '\u030c',
  cedil: '\u0327',
}
const NAMED: { readonly [name: string]: string } = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  copy: '©',
  szlig: 'ß',
  AElig: 'Æ',
  aelig: 'æ',
  OElig: 'Œ',
  oelig: 'œ',
  Oslash: 'Ø',
  oslash: 'ø',
  ETH: 'Ð',
  eth: 'ð',
  THORN: 'Þ',
  thorn: 'þ',
  flat: '♭',
  sharp: '♯',
  natural: '♮',
}

/** The text with its mnemonics, names and numbers resolved; what is none of these stays as it is. */
export function decodeAbcText(text: string): string {
  if (!/[\\&]/.test(text)) return text
  return text
    .replace(/\\u([0-9a-fA-F]{4})/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
    .replace(/\\(AA|aa|AE|ae|OE|oe|ss|DH|dh|TH|th|\/[Oo]|=[Dd])/g, (_, name: string) => LETTERS[name] as string)
    .replace(/\\([`'^~="uHvc])([A-Za-z])/g, (_, sign: string, letter: string) =>
      `${letter}${ACCENTS[sign]}`.normalize('NFC'),
    )
    .replace(/&([A-Za-z])(grave|acute|circ|tilde|uml|ring|caron|cedil);/g, (_, letter: string, end: string) =>
      `${letter}${NAMED_ACCENTS[end]}`.normalize('NFC'),
    )
    .replace(/&([A-Za-z]{2,6});/g, (whole, name: string) =>
      Object.hasOwn(NAMED, name) ? (NAMED[name] as string) : whole,
    )
    .replace(/&#(\d{1,7});/g, (whole, code: string) => {
      const point = Number(code)
      return point > 0 && point <= 0x10ffff ? String.fromCodePoint(point) : whole
    })
    .replace(/\\([\\%&])/g, '$1')
}
