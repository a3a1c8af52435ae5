/** Why chords cannot stand under a melody, and how the melody stands on those that can: the sentences every idea shares. */
import type { Chord, RuleStep } from '../../contract/index.js'
import { formatChord } from '../../chords/index.js'
import { clashName, show } from '../../fit/index.js'
import { pitchClass } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { barAt, melodyInWords, standing, type Stretch } from './stretch.js'

interface OverTime {
  readonly chord: Chord
  readonly startTick: number
  readonly endTick: number
}

/** A chord as a chart prints it. */
export const shown = (chord: Chord): string => formatChord(chord, 'symbols')

/** 'Bar 29 of the tune: D over B♭m7 is its major third.' */
export function clashSentence(number: number, note: string, chord: Chord, degree: string): string {
  return `${ofTheTune(`Bar ${number}`)}: ${show(note)} over ${shown(chord)} is its ${degree}.`
}

/** The first note that is hard over its chord, or soft and more than passing (a strong beat, or longer than a beat), as a sentence. */
export function firstClash(stretch: Stretch, chords: readonly OverTime[]): string | undefined {
  for (const { chord, startTick, endTick } of chords) {
    const { note, isLight } = standing(stretch, chord, startTick, endTick)
    if (!note || isLight) continue
    const number = stretch.numbers[barAt(stretch, note.startTick)] ?? 0
    return clashSentence(number, note.name, chord, clashName(note.pc - pitchClass(chord.root)))
  }
  return undefined
}

/** One step of the rule chain for each chord: what the melody is over it. */
export const melodyChain = (stretch: Stretch, chords: readonly OverTime[]): readonly RuleStep[] =>
  chords.map(({ chord, startTick, endTick }) => ({
    rule: 'FI4',
    text: `over ${shown(chord)}: ${melodyInWords(stretch, chord, startTick, endTick) || 'the melody rests'}`,
  }))
