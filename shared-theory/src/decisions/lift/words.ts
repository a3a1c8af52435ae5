/** How a lift is said: 'Up a whole step to G major, V sus'. */
import type { ArrangedBar, Chord, KeySignature, Tune } from '../../contract/index.js'
import { formatChord } from '../../chords/index.js'
import { beatTicks, show } from '../../fit/index.js'
import { barNumber, ofTheTune } from '../bar-words.js'
import { degreeOver, type Preparation } from './prepare.js'

const STEPS: readonly string[] = [
  '',
  'a half step',
  'a whole step',
  'a minor third',
  'a major third',
  'a fourth',
  'a tritone',
]

export const stepWord = (semitones: number): string =>
  `${semitones > 0 ? 'Up' : 'Down'} ${STEPS[Math.abs(semitones)] ?? `${Math.abs(semitones)} half steps`}`

/** 'G♭ major'. */
export const keyWord = ({ key }: KeySignature): string => {
  const [tonic = '', mode = ''] = key.split(' ')
  return `${show(tonic)} ${mode}`
}

export const shown = (chord: Chord): string => formatChord(chord, 'symbols')

/** Why a preparation cannot stand. */
export function refusalText(
  refused: Extract<Preparation, { refused: unknown }>['refused'],
  bar: ArrangedBar,
  tune: Tune,
): string {
  if (typeof refused === 'string') return refused
  const { note, chord } = refused
  return `${barWord(bar, tune)}: ${show(note.name)} over ${shown(chord)} is its ${degreeOver(note, chord)}.`
}

/** 'Bar 16 of the tune'. */
export const barWord = (bar: ArrangedBar | undefined, tune: Tune): string => {
  const number = bar && barNumber(bar, tune)
  return number === undefined ? 'The bar before' : ofTheTune(`Bar ${number}`)
}

const PASS_WORDS: { readonly [passId: string]: string } = { 'chorus-1': 'first chorus', 'chorus-last': 'last chorus' }

interface Scene {
  readonly bars: readonly ArrangedBar[]
  readonly tune: Tune
}

/** The bar before a lift, the first lifted one as it is named alone, and as it is named after the one before: 'bar 16 of the last
 *  chorus', 'bar 17 of the last chorus', 'bar 17'. A tune bar comes several times in the music, so its pass is said. */
export function placeWords(
  { bars, tune }: Scene,
  index: number,
): { readonly before: string; readonly start: string; readonly startAfter: string } {
  const [last, first] = [bars[index - 1], bars[index]]
  const start = barOfPass(first, tune) ?? 'the place asked for'
  const isSamePass = last?.pass === first?.pass
  const number = first && barNumber(first, tune)
  return {
    before: barOfPass(last, tune) ?? 'the bar before',
    start,
    startAfter: isSamePass && number !== undefined ? `bar ${number}` : start,
  }
}

function barOfPass(bar: ArrangedBar | undefined, tune: Tune): string | undefined {
  const number = bar && barNumber(bar, tune)
  if (!bar || number === undefined) return undefined
  const [passId = '', time] = bar.pass.split('#')
  const pass = PASS_WORDS[passId] ?? (passId.startsWith('solo') ? 'solo' : undefined)
  if (pass === undefined) return ofTheTune(`bar ${number}`)
  return `bar ${number} of the ${time === undefined ? '' : `${ordinal(Number(time))} time through the `}${pass}`
}

/** 'beats 3–4', 'beat 3', 'the second half': from a tick of a bar to its end. */
export function beatsWord({ metre, lengthTicks }: ArrangedBar, startTick: number): string {
  const beat = beatTicks(metre)
  if (startTick % beat !== 0 || lengthTicks % beat !== 0) return 'the second part'
  const [first, count] = [startTick / beat + 1, lengthTicks / beat]
  if (count === 2) return 'the second half'
  return first === count ? `beat ${count}` : `beats ${first}–${count}`
}

const ORDINALS: { readonly [count: number]: string } = { 1: 'st', 2: 'nd', 3: 'rd' }

/** '3rd'. */
export const ordinal = (count: number): string => `${count}${ORDINALS[count] ?? 'th'}`

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
