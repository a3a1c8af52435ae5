/**
 * Chords as annotated collections write them, root, colon, shorthand, degrees and a bass by degree: 'C:maj7/3', 'A:sus4(b7,9)', 'E:(1,5)'.
 * Source: the syntax of Harte and others (ISMIR 2005); an added natural eleventh beside a third follows our own figures ([CH4]).
 */
import type { NoteName } from '../contract/index.js'
import { FIFTHS, T, type ToneSet, listTones, toneAt, toneName, tonesOfDegree } from './chord-tones.js'
import { KIND_TONES } from './kinds.js'
import type { Suffix } from './suffix-meaning.js'
import type { Trouble } from './text-cursor.js'

/** Shorthands of the syntax, and those its data sets add. */
const SHORTHANDS: { readonly [word: string]: ToneSet } = {
  maj: KIND_TONES.major,
  min: KIND_TONES.minor,
  dim: KIND_TONES.diminished,
  aug: KIND_TONES.augmented,
  maj7: KIND_TONES['major-seventh'],
  min7: KIND_TONES['minor-seventh'],
  '7': KIND_TONES.dominant,
  dim7: KIND_TONES['diminished-seventh'],
  hdim7: KIND_TONES['half-diminished'],
  hdim: KIND_TONES['half-diminished'],
  minmaj7: KIND_TONES['major-minor'],
  maj6: KIND_TONES['major-sixth'],
  '6': KIND_TONES['major-sixth'],
  min6: KIND_TONES['minor-sixth'],
  '9': KIND_TONES['dominant-ninth'],
  maj9: KIND_TONES['major-ninth'],
  min9: KIND_TONES['minor-ninth'],
  '11': KIND_TONES['dominant-11th'],
  maj11: KIND_TONES['major-11th'],
  min11: KIND_TONES['minor-11th'],
  '13': KIND_TONES['dominant-13th'],
  maj13: KIND_TONES['major-13th'],
  min13: KIND_TONES['minor-13th'],
  sus2: KIND_TONES['suspended-second'],
  sus4: KIND_TONES['suspended-fourth'],
  '5': KIND_TONES.power,
}
const COLON_ROOT = /^ *([A-G])(bb?|##?|--?)?:(.*)$/
const FORM = /^([a-z]*\d*)(?:\(([^()]*)\))?(?:\/([b#]*)(\d+))?$/
const DEGREE = /^(\*?)(b{0,2}|#{0,2})(\d{1,2})$/
const OCTAVE_DOWN: { readonly [degree: number]: number } = { 8: 1, 10: 3, 12: 5, 14: 7 }

export interface ColonChord extends Suffix {
  readonly root: NoteName
}

/** The root before a colon, with the flats of kern files ('E-:min7') as ours; undefined where no root and colon stand there. */
export function colonRoot(text: string): { readonly root: NoteName; readonly rest: string } | undefined {
  const found = COLON_ROOT.exec(text)
  if (!found) return undefined
  return { root: `${found[1]}${(found[2] ?? '').replaceAll('-', 'b')}`, rest: (found[3] as string).trim() }
}

/** The chord of that syntax; undefined where the text is none of its forms and may be an ordinary symbol behind a colon. */
export function readColonChord(text: string): ColonChord | undefined {
  const start = colonRoot(text)
  const form = start && FORM.exec(start.rest)
  if (!form || start.rest === '') return undefined
  const [, word = '', list, bassSign, bassFigure] = form
  const base =
    word === '' ? T.root : word === '1' ? T.root : Object.hasOwn(SHORTHANDS, word) ? SHORTHANDS[word] : undefined
  if (base === undefined || (word === '' && list === undefined)) return undefined
  const remarks: Trouble[] = []
  let tones = base
  let omitted: ToneSet = 0
  for (const item of list === undefined || list.trim() === '' ? [] : list.split(',')) {
    const degree = DEGREE.exec(item.trim())
    if (!degree) return undefined
    const tone = toneOf(degree[2] as string, Number(degree[3]))
    if (tone === 0) return undefined
    if (degree[1] === '*') {
      omitted |= tones & tone
      tones &= ~tone
      continue
    }
    const isOtherFifth = (tone & FIFTHS) !== 0 && (tones & FIFTHS & ~tone) !== 0 && word !== ''
    if (isOtherFifth) {
      tones &= ~FIFTHS
      remarks.push({ at: 0, message: `the ${degree[2]}5 is read in place of the fifth` })
    }
    tones |= tone
  }
  if (!(tones & T.root)) return undefined
  const named = tones === T.root ? ('pedal' as const) : undefined
  const content = { root: start.root, tones, omitted, named, remarks }
  if (bassFigure === undefined) return content
  const bass = listTones(toneOf(bassSign as string, Number(bassFigure)))[0]
  return bass && { ...content, bass: toneName(start.root, bass) }
}

function toneOf(sign: string, figure: number): ToneSet {
  const degree = OCTAVE_DOWN[figure] ?? figure
  if (tonesOfDegree(degree) === 0) return 0
  return toneAt(degree, sign.startsWith('b') ? -sign.length : sign.length)
}
