/** One line of ABC music as tokens with their columns; total: what is no ABC becomes an 'unknown' token. */

export interface AbcPitch {
  /** Letter as a staff step, C 0 … B 6. */
  readonly step: number
  /** Scientific octave; plain upper-case C is C4. */
  readonly octave: number
  readonly accidental?: number
}

export type AbcToken = { readonly column: number } & (
  | { readonly kind: 'note'; readonly pitches: readonly AbcPitch[]; readonly length: number; readonly isTied: boolean }
  | { readonly kind: 'rest'; readonly length: number }
  | { readonly kind: 'bar-rest'; readonly bars: number }
  | { readonly kind: 'bar'; readonly sign: string }
  | { readonly kind: 'ending'; readonly numbers: readonly number[] }
  | { readonly kind: 'quoted'; readonly text: string }
  | { readonly kind: 'decoration'; readonly name: string }
  | { readonly kind: 'broken'; readonly dots: number }
  | { readonly kind: 'tuplet'; readonly actual: number; readonly normal?: number; readonly notes?: number }
  | { readonly kind: 'grace'; readonly pitches: readonly AbcPitch[] }
  | { readonly kind: 'field'; readonly letter: string; readonly text: string }
  | { readonly kind: 'tie' }
  | { readonly kind: 'overlay' }
  | { readonly kind: 'unknown'; readonly text: string }
)

const STEPS = 'CDEFGAB'
const ACCIDENTALS: { readonly [sign: string]: number } = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 }

const NOTE = /(\^\^|\^|=|__|_)?([A-Ga-g])([,']{0,12})(\d{0,4})(\/{0,6})(\d{0,4})(-?)/y
const REST = /([zx])(\d{0,4})(\/{0,6})(\d{0,4})/y
const BAR_REST = /[ZX](\d{0,3})/y
const FIELD = /\[([A-Za-z]):([^\]]{0,200})\]/y
const NOTE_CHORD = /\[([^\]|:]{1,200})\](\d{0,4})(\/{0,6})(\d{0,4})(-?)/y
const ENDING = /\[\s?((?:\d{1,2}[,.-]?){1,12})/y
const BARE_ENDING = /\s?((?:\d{1,2}[,.-]?){1,12})/y
const QUOTED = /"([^"]{0,200})"/y
const DECORATION = /!([^!\s|"]{1,40})!|\+([^+\s|"]{1,40})\+/y
const TUPLET = /\((\d)(?::(\d?)(?::(\d{0,2}))?)?/y
const GRACE = /\{\/?([^}]{0,200})\}/y
/** One-letter decorations. Source: ABC standard 2.1, section 4.14. */
const SHORT_DECORATIONS: { readonly [sign: string]: string } = {
  '.': 'staccato',
  '~': 'roll',
  H: 'fermata',
  L: 'accent',
  M: 'lowermordent',
  O: 'coda',
  P: 'uppermordent',
  S: 'segno',
  T: 'trill',
  u: 'upbow',
  v: 'downbow',
}
/** Letters a file may give a meaning of its own (section 4.16). */
const OWN_SIGNS = /[~H-Yh-w]/
const QUARTER_TONE = /[\^_]\d{0,2}\/\d{0,2}(?=[A-Ga-g])/y

/** `own` are letters to which the file itself has given a meaning (U:). */
export function tokenizeAbc(line: string, own: ReadonlyMap<string, string> = new Map()): AbcToken[] {
  const tokens: AbcToken[] = []
  let at = 0
  const match = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = at
    return pattern.exec(line)
  }
  while (at < line.length) {
    const sign = line[at] as string
    const column = at + 1
    if (
      sign === ' ' ||
      sign === '\t' ||
      sign === '`' ||
      sign === ')' ||
      sign === 'y' ||
      sign === '\\' ||
      sign === '$'
    ) {
      at++
      if (sign === 'y') while (/[\d/]/.test(line[at] ?? '')) at++
      continue
    }
    const bar = barSign(line, at)
    if (bar) {
      tokens.push({ kind: 'bar', sign: bar, column })
      at += bar.length
      const ending = /\d/.test(line[at] ?? '') && match(BARE_ENDING)
      if (ending) {
        tokens.push({ kind: 'ending', numbers: endingNumbers(ending[1] as string), column: at + 1 })
        at += ending[0].length
      }
      continue
    }
    const [token, length] = readToken(sign, column, match, own)
    if (token) tokens.push(token)
    at += length
  }
  return tokens
}

/** The token at the cursor and its length in characters; signs without a meaning for us give none. */
function readToken(
  sign: string,
  column: number,
  match: (pattern: RegExp) => RegExpExecArray | null,
  own: ReadonlyMap<string, string>,
): readonly [AbcToken | undefined, number] {
  const given = own.get(sign)
  if (given !== undefined && OWN_SIGNS.test(sign)) return [ownSign(given, column), 1]
  const unknown = (text: string): readonly [AbcToken, number] => [{ kind: 'unknown', text, column }, text.length]
  if (/[\^=_A-Ga-g]/.test(sign)) {
    const found = match(NOTE)
    const between = found ? null : match(QUARTER_TONE)
    if (!found) return unknown(between ? between[0] : sign)
    const length = lengthOf(found[4], found[5], found[6])
    return [{ kind: 'note', pitches: [pitchOf(found)], length, isTied: found[7] === '-', column }, found[0].length]
  }
  if (sign === 'z' || sign === 'x') {
    const found = match(REST) as RegExpExecArray
    return [{ kind: 'rest', length: lengthOf(found[2], found[3], found[4]), column }, found[0].length]
  }
  if (sign === 'Z' || sign === 'X') {
    const found = match(BAR_REST) as RegExpExecArray
    return [{ kind: 'bar-rest', bars: Number(found[1] === '' ? 1 : found[1]), column }, found[0].length]
  }
  if (sign === '"') {
    const found = match(QUOTED)
    return found ? [{ kind: 'quoted', text: found[1] as string, column }, found[0].length] : unknown(sign)
  }
  if (sign === '[') return readBracket(column, match)
  if (sign === '(') {
    const found = match(TUPLET)
    if (!found) return [{ kind: 'decoration', name: 'slurs', column }, 1]
    const normal = found[2] ? { normal: Number(found[2]) } : {}
    const notes = found[3] ? { notes: Number(found[3]) } : {}
    return [{ kind: 'tuplet', actual: Number(found[1]), ...normal, ...notes, column }, found[0].length]
  }
  if (sign === '{') {
    const found = match(GRACE)
    if (!found) return unknown(sign)
    const pitches = [...(found[1] as string).matchAll(new RegExp(NOTE.source, 'g'))].map(pitchOf)
    return [{ kind: 'grace', pitches, column }, found[0].length]
  }
  if (sign === '!' || sign === '+') {
    const found = match(DECORATION)
    // A lone ! was once a line break: nothing to hear.
    if (!found) return sign === '!' ? [undefined, 1] : unknown(sign)
    return [{ kind: 'decoration', name: (found[1] ?? found[2]) as string, column }, found[0].length]
  }
  if (sign === '>' || sign === '<') {
    const found = match(sign === '>' ? />{1,3}/y : /<{1,3}/y) as RegExpExecArray
    return [{ kind: 'broken', dots: found[0].length * (sign === '>' ? 1 : -1), column }, found[0].length]
  }
  if (sign === '-') return [{ kind: 'tie', column }, 1]
  if (sign === '&') return [{ kind: 'overlay', column }, 1]
  // Before a slur, a tie or a bar line the point means their dotted form.
  if (sign === '.' && match(/\.[(\-|]/y)) return [undefined, 1]
  const short = SHORT_DECORATIONS[sign]
  if (short) return [{ kind: 'decoration', name: short, column }, 1]
  return OWN_SIGNS.test(sign) ? [{ kind: 'decoration', name: `sign '${sign}'`, column }, 1] : unknown(sign)
}

/** What U: lets a letter stand for: a decoration, an annotation or chord in quotes, or nothing. */
function ownSign(given: string, column: number): AbcToken | undefined {
  const quoted = /^"([^"]*)"$/.exec(given)
  if (quoted) return { kind: 'quoted', text: quoted[1] as string, column }
  const name = given.replace(/^[!+]|[!+]$/g, '')
  return name === 'nil' || name === 'none' ? undefined : { kind: 'decoration', name, column }
}

function readBracket(column: number, match: (pattern: RegExp) => RegExpExecArray | null): readonly [AbcToken, number] {
  const field = match(FIELD)
  if (field) return [{ kind: 'field', letter: field[1] as string, text: field[2] as string, column }, field[0].length]
  const ending = match(ENDING)
  if (ending) return [{ kind: 'ending', numbers: endingNumbers(ending[1] as string), column }, ending[0].length]
  const chord = match(NOTE_CHORD)
  const notes = chord ? [...(chord[1] as string).matchAll(new RegExp(NOTE.source, 'g'))] : []
  const first = notes[0]
  if (!chord || !first) return [{ kind: 'unknown', text: '[', column }, 1]
  const inner = lengthOf(first[4], first[5], first[6])
  const isTied = chord[5] === '-' || notes.some((note) => note[7] === '-')
  return [
    {
      kind: 'note',
      pitches: notes.map(pitchOf),
      length: inner * lengthOf(chord[2], chord[3], chord[4]),
      isTied,
      column,
    },
    chord[0].length,
  ]
}

/** The longest run of bar-line signs at a place, '' where there is none: | || |] [| |: :| :: :||: .| [] and liberal mixtures (section 4.8). */
function barSign(line: string, from: number): string {
  let at = from
  if (line[at] === '.' && line[at + 1] === '|') at++
  while (at < line.length) {
    const sign = line[at]
    if (sign === '|' || sign === ':') at++
    else if (sign === ']' && at > from && /[|[]/.test(line[at - 1] as string)) at++
    else if (sign === '[' && /[|\]]/.test(line[at + 1] ?? '')) at++
    else break
  }
  return line.slice(from, at)
}

function pitchOf(found: RegExpExecArray): AbcPitch {
  const letter = found[2] as string
  const marks = found[3] as string
  const shift = Array.from(marks).reduce((sum, mark) => sum + (mark === ',' ? -1 : 1), 0)
  const accidental = found[1] === undefined ? {} : { accidental: ACCIDENTALS[found[1]] as number }
  return { step: STEPS.indexOf(letter.toUpperCase()), octave: (letter < 'a' ? 4 : 5) + shift, ...accidental }
}

/** '3/2' → 1.5, '/' → ½, '//' → ¼; multiples of the unit note length. */
function lengthOf(over = '', slashes = '', under = ''): number {
  const numerator = over === '' ? 1 : Number(over)
  if (slashes === '') return numerator
  const denominator = under === '' ? 2 ** slashes.length : Number(under)
  return denominator === 0 ? 0 : numerator / denominator
}

/** '1,3' and '1-3' → the numbers. */
function endingNumbers(text: string): number[] {
  const numbers: number[] = []
  for (const [, from, to] of text.matchAll(/(\d{1,2})(?:-(\d{1,2}))?/g)) {
    const first = Number(from)
    for (let number = first; number <= Math.max(first, Number(to ?? from)); number++) numbers.push(number)
  }
  return numbers
}
