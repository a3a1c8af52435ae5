/** What players read after a lift: signatures and accidentals of every written part. */
import {
  INSTRUMENTS,
  type PartSpec,
  type Tune,
  compile,
  defaultPlan,
  proposeOptions,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { choose } from './lift-pairs.js'

const PIANO: PartSpec = { id: 'piano', instrument: 'piano', name: 'Piano', role: 'chords' }

export interface Reading {
  readonly parts: number
  readonly notes: number
  /** Notes that need a double flat or double sharp. */
  readonly doubles: number
  /** Most accidentals of any signature. */
  readonly mostInSignature: number
  /** Chord symbols whose root or bass needs a double accidental. */
  readonly doubleRoots: number
}

/** Every instrument that leads, through every lift of a tune: its own written part. `step` takes every so-many-th instrument. */
export function readingsOf(tune: Tune, step = 1): Reading {
  let [parts, notes, doubles, mostInSignature, doubleRoots] = [0, 0, 0, 0, 0]
  const leads = INSTRUMENTS.filter(({ clef }) => clef !== 'percussion').filter((_, index) => index % step === 0)
  const base = { ...defaultPlan(tune), lineup: [PIANO] }
  for (const semitones of [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6]) {
    const option = proposeOptions(tune, 'lift', base, undefined, { semitones })[0]
    if (!option || option.recipe === 'none') continue
    for (const { id, name } of leads) {
      const plan = { ...base, lineup: [{ id, instrument: id, name, role: 'lead' as const }, PIANO] }
      const xml = writeMusicXml(compile({ ...plan, chosen: [choose(option)] }).arrangement, { part: id })
      parts++
      for (const [, fifths] of xml.matchAll(/<fifths>(-?\d+)<\/fifths>/g))
        mostInSignature = Math.max(mostInSignature, Math.abs(Number(fifths)))
      const pitches = [...xml.matchAll(/<pitch>.*?<\/pitch>/gs)].map(([text]) => text)
      notes += pitches.length
      doubles += pitches.filter((text) => /<alter>-?2<\/alter>/.test(text)).length
      doubleRoots += [...xml.matchAll(/<(?:root|bass)-alter[^>]*>-?2</g)].length
    }
  }
  return { parts, notes, doubles, mostInSignature, doubleRoots }
}
