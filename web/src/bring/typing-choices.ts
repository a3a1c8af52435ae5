/** What is chosen from while a tune is typed: keys, metres, lengths and the letters of the keypad. */
import type { Mode } from '@chartloft/shared-theory'

export const TONICS = [
  'C',
  'G',
  'D',
  'A',
  'E',
  'B',
  'F#',
  'C#',
  'F',
  'Bb',
  'Eb',
  'Ab',
  'Db',
  'Gb',
  'Cb',
  'G#',
  'D#',
  'A#',
]
export const MODES: readonly Mode[] = ['major', 'minor', 'dorian', 'mixolydian', 'lydian', 'phrygian', 'locrian']
export const METRES = ['4/4', '3/4', '2/4', '2/2', '6/8', '9/8', '12/8', '5/4', '6/4', '7/4', '3/8', '7/8']
export const LENGTHS = ['1/1', '3/4', '1/2', '3/8', '1/4', '3/16', '1/8', '1/16'] as const
export const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'] as const
