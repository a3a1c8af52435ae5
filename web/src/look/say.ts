/** Small facts as people read them: keys, metres, feels, times, ranges. */
import type { ArrangedBar, KeySignature, Metre } from '@chartloft/shared-theory'
import { words } from '../words.js'
import { noteName } from './note-names.js'

/** 'A♭ major', 'D dorian'. */
export function sayKey({ key, mode }: KeySignature): string {
  const [tonic = '', quality = ''] = key.split(' ')
  return words.music.key(noteName(tonic), mode === 'major' || mode === 'minor' ? quality : mode)
}

/** 'A♭' for major keys, 'Fm' for minor ones: where room is short. */
export function sayKeyShort({ key }: KeySignature): string {
  const [tonic = '', quality] = key.split(' ')
  return noteName(tonic) + (quality === 'minor' ? 'm' : '')
}

export const sayMetre = ({ beats, beatType }: Metre): string => `${beats}/${beatType}`

/** 'medium swing' from a groove id 'swing-medium' is the catalogue's business; here only the dashes go. */
export const sayFeel = (feel: string): string => feel.replaceAll('-', ' ')

/** 75,000 ms → '1:15'. */
export function sayTime(ms: number): string {
  const seconds = Math.round(ms / 1000)
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`
}

/** The beat (from 1, a fraction in words of halves at most) a tick of a bar stands on. */
export function beatOf(bar: Pick<ArrangedBar, 'metre'>, tick: number): number {
  return Math.floor(tick / ((4 * 5040) / bar.metre.beatType)) + 1
}
