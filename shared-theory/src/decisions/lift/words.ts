/** How a lift is said: 'Up a whole step to G major, V sus'. */
import type { ArrangedBar, Chord, KeySignature, Tune } from '../../contract/index.js'
import { formatChord } from '../../chords/index.js'
import { show } from '../../fit/index.js'
import { barNumber, ofTheTune } from '../bar-words.js'
import { degreeOver, type Preparation, type PreparationKind } from './prepare.js'

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

export const PREPARATION_WORDS: { readonly [kind in PreparationKind]: string } = {
  direct: 'direct',
  'sus-dominant': 'V7sus',
  dominant: 'V7',
  'two-five': 'ii–V',
  tritone: 'tritone substitute',
  pivot: 'pivot chord and V7',
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
