/** A <pitch> as a sounding name and number, with what is wrong with it. Source: MusicXML 4.0. */
import { formatPitch, midiOf } from '../../units/index.js'
import { type XmlElement, numberOf, textOf } from './xml.js'

export interface ReadPitch {
  /** Absent where nothing can be played. */
  readonly pitch?: { readonly midi: number; readonly name: string }
  readonly problem?: 'unplayable' | 'between'
}

export function readPitch(element: XmlElement): ReadPitch {
  const step = 'CDEFGAB'.indexOf(textOf(element, 'step').toUpperCase() || '-')
  const octave = numberOf(element, 'octave')
  const alter = numberOf(element, 'alter') ?? 0
  const isWhole = Number.isInteger(alter) && Math.abs(alter) <= 2
  const spelled = { step, alter: Math.max(-2, Math.min(2, Math.round(alter))), octave: octave ?? 4 }
  const midi = step < 0 ? -1 : midiOf(spelled)
  const isPlayable = midi >= 0 && midi <= 127 && octave !== undefined && Number.isInteger(octave)
  const problem = !isPlayable ? 'unplayable' : isWhole ? undefined : 'between'
  return {
    ...(isPlayable ? { pitch: { midi, name: formatPitch(spelled) } } : {}),
    ...(problem === undefined ? {} : { problem }),
  }
}
