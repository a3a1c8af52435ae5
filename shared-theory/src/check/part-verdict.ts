/** What a lifted bar's notes say of the key a part is in, from the notes and chords alone. */
import type { ArrangedBar, Chord, NoteName, PartNote } from '../contract/index.js'
import { bassOf, memberOf, qualityOf } from '../chords/index.js'
import { fitDegree } from '../fit/index.js'
import { mod, pitchClass } from '../units/index.js'
import { type CheckedPart, notesOf } from './check-context.js'
import type { Moved } from './moved-bars.js'

/** How well a bar's notes fit its chords where they are, and a lift further: negative says "still in the old key". */
export interface Verdict {
  readonly tonesLost: number
  readonly hardNow: number
  readonly hardMoved: number
  /** A chord player without the chord's third and seventh, who would have both a lift further; or the melody as it was before. */
  readonly hasOldNotes: boolean
  readonly fitsAsWell: boolean
  /** Only the plan can tell. */
  readonly isInDoubt: boolean
}

/** The lead's own notes are judged as melody. */
export function isMelody({ bar }: Pick<Moved, 'bar'>, part: CheckedPart): boolean {
  if (!part.isLine) return false
  return notesOf(bar, part).every((note) =>
    bar.melody.some((own) => own.startTick === note.startTick && mod(own.midi - note.midi, 12) === 0),
  )
}

const NOTHING_AMISS: Verdict = {
  tonesLost: 0,
  hardNow: 0,
  hardMoved: 0,
  hasOldNotes: false,
  fitsAsWell: false,
  isInDoubt: false,
}

export function verdictOf({ bar, last }: Moved, part: CheckedPart): Verdict {
  const notes = notesOf(bar, part)
  if (isMelody({ bar }, part)) return NOTHING_AMISS
  let tonesLost = 0
  let hardNow = 0
  let hardMoved = 0
  for (const note of notes) {
    // A bass that walks may pass anything between its chord notes.
    if (part.spec.role === 'bass' && !bar.chords.some(({ startTick }) => startTick === note.startTick)) continue
    const now = degreeOf(bar, note, 0)
    const then = degreeOf(bar, note, last)
    if (!now || !then) continue
    tonesLost += Number(then.isTone) - Number(now.isTone)
    hardNow += Number(now.isHard)
    hardMoved += Number(then.isHard)
  }
  const hasOldNotes =
    (part.spec.role === 'chords' && playsOldGuides(bar, notes, last)) || playsOldMelody(bar, notes, last)
  const fitsAsWell = notes.length > 0 && tonesLost >= 0 && hardMoved <= hardNow
  // One held note of a line may suit both keys. A bass or a chord player shows the chord it means.
  const showsChords = part.spec.role === 'bass' || part.spec.role === 'chords'
  const isInDoubt =
    notes.length > 0 &&
    (!showsChords ||
      ((fitsAsWell || wouldBeRight(bar, notes, part, last)) &&
        (hardNow > 0 || !isPlainlyRight(bar, notes, part, last))))
  return { tonesLost, hardNow, hardMoved, hasOldNotes, fitsAsWell, isInDoubt }
}

/** The melody's own rhythm, every note a lift below it. */
function playsOldMelody({ melody }: ArrangedBar, notes: readonly PartNote[], semitones: number): boolean {
  return (
    notes.length > 0 &&
    notes.length === melody.length &&
    mod(semitones, 12) !== 0 &&
    notes.every(({ startTick, midi }, place) => {
      const own = melody[place]
      return own?.startTick === startTick && mod(own.midi - midi - semitones, 12) === 0
    })
  )
}

/** What nothing left behind would have: a bass with every chord's bass note where it begins, a chord player with both guide tones. */
function isPlainlyRight(
  bar: ArrangedBar,
  notes: readonly PartNote[],
  { spec }: CheckedPart,
  semitones: number,
): boolean {
  if (spec.role === 'bass') return bassNotes(bar, notes, 0).every(Boolean)
  const guides = guidesOf(bar, notes)
  // Of a diminished seventh or an altered dominant both may sound either way.
  return guides.length > 0 && guides.every(({ has }) => has(0).every(Boolean) && !has(semitones).every(Boolean))
}

/** A lift further some chord would have its bass note, or both its guide tones. */
function wouldBeRight(bar: ArrangedBar, notes: readonly PartNote[], { spec }: CheckedPart, semitones: number): boolean {
  if (spec.role === 'bass') return bassNotes(bar, notes, semitones).some(Boolean)
  return guidesOf(bar, notes).some(({ has }) => has(semitones).every(Boolean))
}

/** For every chord, whether its bass note sounds where it begins when everything is moved by some half steps. */
const bassNotes = ({ chords }: ArrangedBar, notes: readonly PartNote[], semitones: number): readonly boolean[] =>
  chords.map(({ chord, startTick }) => {
    const name = bassOf(chord)
    const own = notes.find((note) => note.startTick === startTick)
    return name !== undefined && own !== undefined && mod(own.midi + semitones, 12) === pitchClass(name)
  })

/** Over every chord of the bar that is played on: neither guide tone sounds, and both would a lift further. */
function playsOldGuides(bar: ArrangedBar, notes: readonly PartNote[], semitones: number): boolean {
  const guides = guidesOf(bar, notes)
  return guides.length > 0 && guides.every(({ has }) => !has(0).some(Boolean) && has(semitones).every(Boolean))
}

/** For every chord with a third and a seventh that is played on: which of the two sound when everything is moved by some half steps. */
function guidesOf(
  { chords }: ArrangedBar,
  notes: readonly PartNote[],
): readonly { readonly has: (semitones: number) => readonly boolean[] }[] {
  return chords.flatMap(({ chord, startTick, durationTicks }) => {
    const guides = [memberOf(chord, 3), memberOf(chord, 7)].flatMap((name) =>
      name === undefined ? [] : [pitchClass(name)],
    )
    const over = notes.filter((note) => {
      const end = note.startTick + note.durationTicks
      return (
        note.startTick >= startTick &&
        end <= startTick + durationTicks &&
        startTick + durationTicks - note.startTick > ANTICIPATION_TICKS
      )
    })
    if (guides.length < 2 || over.length === 0) return []
    const has = (semitones: number): readonly boolean[] =>
      guides.map((guide) => over.some(({ midi }) => mod(midi + semitones, 12) === guide))
    return [{ has }]
  })
}

/** The note against the chord it begins over. One that begins an eighth or less before a change, or is held over it, belongs to
 *  the next chord and says nothing here. */
function degreeOf(
  bar: ArrangedBar,
  note: PartNote,
  semitones: number,
): { readonly isTone: boolean; readonly isHard: boolean } | undefined {
  const placed = bar.chords.find(({ startTick, durationTicks }) => {
    return startTick <= note.startTick && note.startTick < startTick + durationTicks
  })
  if (!placed || placed.chord.root === '') return undefined
  const changeTick = placed.startTick + placed.durationTicks
  const isHeldOver = note.startTick + note.durationTicks > changeTick
  if (changeTick - note.startTick <= ANTICIPATION_TICKS || isHeldOver) return undefined
  // Of two chords both sound, and the lower one is the harmony.
  const harmony = placed.chord.over ?? placed.chord
  const pc = mod(note.midi + semitones, 12)
  const isTone = [...soundsOf(placed.chord), ...soundsOf(harmony)].some((name) => pitchClass(name) === pc)
  return { isTone, isHard: !isTone && fitDegree(qualityOf(harmony), pc - pitchClass(harmony.root)) === 'hard' }
}

const soundsOf = ({ notes, bass }: Chord): readonly NoteName[] => (bass === undefined ? notes : [...notes, bass])

const ANTICIPATION_TICKS = 2520
