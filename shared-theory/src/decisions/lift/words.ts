/** How a lift is said: 'Up a whole step to G major, V sus'. */
import type { ArrangedBar, Chord, KeySignature, SectionRef, Tune } from '../../contract/index.js'
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

const PASS_WORDS: { readonly [passId: string]: string } = { 'chorus-1': 'first chorus', 'chorus-last': 'last chorus' }

/** 'bar 17 of the last chorus': where the new key begins; a tune bar comes several times in the music. */
export const startWord = (bar: ArrangedBar | undefined, tune: Tune, at: SectionRef): string => {
  const number = bar && barNumber(bar, tune)
  const pass = PASS_WORDS[at.passId] ?? (at.passId.startsWith('solo') ? 'solo' : undefined)
  if (number === undefined) return 'the place asked for'
  return pass ? `bar ${number} of the ${pass}` : ofTheTune(`bar ${number}`)
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
