/** VA9: what a part reads must sound as meant — note names against their sound, cues against who plays them, and a written part against the
 *  arrangement. */
import type { ArrangedBar, Issue, KeySignature, PartNote } from '../contract/index.js'
import { readTune } from '../read/index.js'
import { beatTicks } from '../fit/index.js'
import { issue, mod, pitchClass, pitchInKey, tonicOf, transposePitch } from '../units/index.js'
import { type CheckContext, type CheckedPart, isPlayedAsPrinted, notesOf, readableBars } from './check-context.js'
import { shownName } from './words.js'

export function checkWrittenPitch(context: CheckContext): Issue[] {
  return [...checkNames(context), ...checkCues(context), ...checkFiles(context)]
}

function checkNames(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    const check = (notes: readonly { midi: number; name: string }[], path: string, who: string): void => {
      for (const [place, { midi, name }] of notes.entries()) {
        const pitch = context.read(name)
        if (pitch?.midi === midi) continue
        const meant = shownName(pitchInKey(midi, bar.key))
        const fault = pitch
          ? `the name says ${shownName(name)}, but ${meant} sounds`
          : `'${name.slice(0, 20)}' names no pitch; ${meant} sounds`
        const text = `Bar ${context.numberOf(index)}${who}: ${fault}; write ${meant}.`
        found.push(issue('VA9', 'error', `bars/${index}/${path}/${place}`, text))
      }
    }
    check(bar.melody, 'melody', '')
    for (const part of context.parts) {
      if (!part.isDrums) check(notesOf(bar, part), `parts/${part.spec.id}`, `, ${part.name}`)
    }
  }
  return found
}

/** A cue is the melody somebody else plays meanwhile, whole octaves away at most: the first note of a bar that is not. */
function checkCues(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    for (const part of context.parts) {
      const cue = notesOf(bar, part).filter(({ printed }) => printed === 'cue')
      const place = cue.findIndex((note) => !bar.melody.some((heard) => isSameStroke(note, heard)))
      const wrong = cue[place]
      if (!wrong) continue
      const heard = bar.melody.find(({ startTick }) => startTick === wrong.startTick)
      const beat = `beat ${Math.floor(wrong.startTick / beatTicks(bar.metre)) + 1}`
      const mend = heard
        ? `the melody has ${shownName(heard.name)}; write that, or leave the cue out`
        : 'the melody has no note there; leave it out'
      const text = `Bar ${context.numberOf(index)}, ${part.name}: the cue has ${shownName(wrong.name)} on ${beat}, but ${mend}.`
      found.push(
        issue('VA9', 'error', `bars/${index}/parts/${part.spec.id}/${notesOf(bar, part).indexOf(wrong)}`, text),
      )
    }
  }
  return found
}

type Stroke = Pick<PartNote, 'startTick' | 'durationTicks' | 'midi'>

const isSameStroke = (cue: Stroke, heard: Stroke): boolean =>
  cue.startTick === heard.startTick && cue.durationTicks === heard.durationTicks && mod(cue.midi - heard.midi, 12) === 0

/** Written parts that are one line are read back and compared with what the arrangement means, note by note; of one that rests or has cues only
 *  the key signatures. */
function checkFiles(context: CheckContext): Issue[] {
  return context.parts.flatMap((part) => {
    const file = context.written?.[part.spec.id]
    if (typeof file !== 'string' || !part.isLine) return []
    const read = readTune('musicxml', file, { mayRest: true })
    if (read.ok) return compareBars(context, part, read.value.bars)
    const why = read.issues[0]?.message ?? 'it cannot be read'
    const text = `The written part of the ${part.name} can't be compared: ${why}`
    return [issue('VA9', 'error', `parts/${part.spec.id}`, text)]
  })
}

function compareBars(
  context: CheckContext,
  part: CheckedPart,
  written: readonly Pick<ArrangedBar, 'melody' | 'key'>[],
): Issue[] {
  const found: Issue[] = []
  let isHeld = false
  let isWrongKey = false
  for (const [index, bar] of readableBars(context.bars)) {
    const meant = notesOf(bar, part).filter(isPlayedAsPrinted)
    const own = written[index]
    const where = `Bar ${context.numberOf(index)}, ${part.name}: `
    const path = `bars/${index}/parts/${part.spec.id}`
    const fault = own && noteFault(part, meant, own.melody, isHeld)
    if (fault) found.push(issue('VA9', 'error', path, where + fault))
    isHeld = meant.at(-1)?.tiedToNext === true
    const hasWrongKey = own !== undefined && !isSameSignature(own.key, bar.key)
    if (hasWrongKey && !isWrongKey) found.push(issue('VA9', 'error', path, where + keyFault(part, own.key, bar.key)))
    isWrongKey = hasWrongKey
  }
  return found
}

/** The same tonic and, in whichever mode, the same notes: B for C♭ is no fault, C minor for C dorian is. */
const isSameSignature = (own: KeySignature, meant: KeySignature): boolean =>
  pitchClass(tonicOf(own.key)) === pitchClass(tonicOf(meant.key)) && mod(own.fifths - meant.fifths, 12) === 0

/** The first note of a bar that is written otherwise than it is meant; what a tie holds on is no new note. */
function noteFault(
  part: CheckedPart,
  meant: readonly PartNote[],
  sounding: ArrangedBar['melody'],
  isHeld: boolean,
): string | undefined {
  const writes = (name: string): string => writtenName(part, name)
  for (const [place, note] of meant.entries()) {
    const own = sounding.find(({ startTick }) => startTick === note.startTick)
    if (own?.midi === note.midi) continue
    if (own) {
      return `written ${writes(own.name)} sounds ${shownName(own.name)}, but ${shownName(note.name)} is meant; write ${writes(note.name)}.`
    }
    const before = meant[place - 1]
    if (!(before ? before.tiedToNext : isHeld)) {
      return `${shownName(note.name)} is meant, but nothing is written there; write ${writes(note.name)}.`
    }
  }
  return undefined
}

function writtenName({ instrument }: CheckedPart, name: string): string {
  const { transposeInterval } = instrument
  return shownName(transposeInterval === undefined ? name : transposePitch(name, transposeInterval))
}

function keyFault(part: CheckedPart, own: KeySignature, meant: KeySignature): string {
  const keyOf = (key: KeySignature): string => writtenName(part, `${tonicOf(key.key)}4`).replace(/\d+$/, '')
  const isOtherMode = pitchClass(tonicOf(own.key)) === pitchClass(tonicOf(meant.key))
  if (isOtherMode) return `the key signature is not that of ${keyOf(meant)} ${meant.mode}; change it.`
  return `the key signature is written for ${keyOf(own)}, but ${keyOf(meant)} is meant; change it.`
}
