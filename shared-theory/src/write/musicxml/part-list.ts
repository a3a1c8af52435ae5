/** The score's list of parts: names, short names, and the sounds a player program gives them. */
import type { ArrangedBar } from '../../contract/index.js'
import { type ChartPart, printedNotes } from './chart-part.js'
import { drumSign } from './drum-notation.js'
import { type XmlElement, el, leaf } from './xml.js'

/** Short names before the later systems. Source: common practice. */
const SHORT_NAMES: { readonly [instrument: string]: string } = {
  trumpet: 'Tpt.',
  flugelhorn: 'Flug.',
  trombone: 'Tbn.',
  'soprano-sax': 'S. Sax.',
  'alto-sax': 'A. Sax.',
  'tenor-sax': 'T. Sax.',
  'baritone-sax': 'B. Sax.',
  clarinet: 'Cl.',
  flute: 'Fl.',
  guitar: 'Gtr.',
  'double-bass': 'Bass',
  'electric-bass': 'Bass',
  piano: 'Pno.',
  vibraphone: 'Vib.',
  violin: 'Vln.',
  'drum-kit': 'Dr.',
  'voice-soprano': 'S.',
  'voice-alto': 'A.',
  'voice-tenor': 'T.',
  'voice-baritone': 'Bar.',
  'voice-bass': 'B.',
}

const DRUM_CHANNEL = 10
const PERCUSSION_ONLY = 1

/** Channels 1–16 without the drums' one, again from the start where there are more parts. */
export function channelOf(place: number): number {
  const melodic = Array.from({ length: 16 }, (_, index) => index + 1).filter((channel) => channel !== DRUM_CHANNEL)
  return melodic[place % melodic.length] as number
}

export function scorePart(
  part: ChartPart,
  id: string,
  place: number,
  bars: readonly ArrangedBar[],
  isScore: boolean,
): XmlElement {
  const isNamedAsUsual = part.spec.name === part.instrument.name
  const short = (isNamedAsUsual && SHORT_NAMES[part.instrument.id]) || shorten(part.spec.name)
  const instruments = part.isDrums
    ? drumKeys(part, bars).map((key) => ({ id: drumInstrumentId(id, key), name: drumSign(key).name, key }))
    : [{ id: `${id}-I1`, name: part.instrument.name, key: undefined }]
  return el(
    'score-part',
    { id },
    // A single part names itself once, at the head of its page.
    leaf('part-name', part.spec.name, isScore ? {} : { 'print-object': 'no' }),
    isScore && leaf('part-abbreviation', short),
    instruments.map((instrument) =>
      el('score-instrument', { id: instrument.id }, leaf('instrument-name', instrument.name)),
    ),
    instruments.map((instrument) =>
      el(
        'midi-instrument',
        { id: instrument.id },
        leaf('midi-channel', part.isDrums ? DRUM_CHANNEL : channelOf(place)),
        leaf('midi-program', part.isDrums ? PERCUSSION_ONLY : part.instrument.midiProgram + 1),
        instrument.key !== undefined && leaf('midi-unpitched', instrument.key + 1),
      ),
    ),
  )
}

export const drumInstrumentId = (partId: string, key: number): string => `${partId}-I${key + 1}`

/** Percussion keys the part prints, ascending; the snare where it prints none, since a part has an instrument. */
function drumKeys(part: ChartPart, bars: readonly ArrangedBar[]): readonly number[] {
  const keys = new Set<number>()
  for (const bar of bars) {
    for (const note of printedNotes(bar, part.spec.id))
      if (note.printed !== 'slash' && note.printed !== 'cue') keys.add(note.midi)
  }
  return keys.size > 0 ? [...keys].sort((a, b) => a - b) : [38]
}

/** 'Second trumpet' → 'Sec.t': names of our own are cut at a word. */
function shorten(name: string): string {
  return name.length <= 6 ? name : `${name.slice(0, 4).trim()}.`
}
