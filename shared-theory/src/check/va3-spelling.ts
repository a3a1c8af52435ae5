/** VA3: a note spelled against its chord or key. What the key spells so is always right. */
import type { ArrangedBar, Chord, Issue, NoteName } from '../contract/index.js'
import {
  isMinorKey,
  issue,
  mod,
  nameOfPitch,
  midiOf,
  parsePitch,
  pitchClass,
  scaleOf,
  tonicOf,
  transposeName,
} from '../units/index.js'
import { type CheckContext, isPrinted, notesOf, readableBars } from './check-context.js'
import { chordSpellingFault } from './spelled-chords.js'
import { shownChord, shownKey, shownName } from './words.js'

interface NamedNote {
  readonly startTick: number
  readonly midi: number
  readonly name: string
}

export function checkSpelling(context: CheckContext): Issue[] {
  const found: Issue[] = []
  const scales = new Map<string, ReturnType<typeof namesOfKey>>()
  for (const [index, bar] of readableBars(context.bars)) {
    const scale = scales.get(bar.key.key) ?? namesOfKey(bar)
    scales.set(bar.key.key, scale)
    const severity = hasNewHarmony(bar) ? 'note' : 'warning'
    const add = (path: string, who: string, notes: readonly NamedNote[]): void => {
      for (const [place, note] of notes.entries()) {
        const fault = spellingFault(bar, scale, note)
        if (!fault) continue
        const text = `Bar ${context.numberOf(index)}${who}: ${fault}`
        found.push(issue('VA3', severity, `bars/${index}/${path}/${place}`, text))
      }
    }
    for (const [place, { chord }] of bar.chords.entries()) {
      const fault = chordSpellingFault(bar, scale, chord)
      const text = `Bar ${context.numberOf(index)}: ${fault}`
      if (fault) found.push(issue('VA3', severity, `bars/${index}/chords/${place}`, text))
    }
    add('melody', '', bar.melody)
    for (const part of context.parts) {
      if (part.isDrums) continue
      const melody = new Set(bar.melody.map(({ startTick, name }) => `${startTick} ${name}`))
      const own = notesOf(bar, part).map((note) =>
        isPrinted(note) && !melody.has(`${note.startTick} ${note.name}`) ? note : NO_NOTE,
      )
      add(`parts/${part.spec.id}`, `, ${part.name}`, own)
    }
  }
  return found
}

/** New chords under an unchanged melody: the tune keeps its own spelling, and the reader is only told. */
const hasNewHarmony = ({ provenance }: ArrangedBar): boolean =>
  provenance.decision === 'harmony' || (provenance.trail ?? []).some(({ decision }) => decision === 'harmony')

const NO_NOTE: NamedNote = { startTick: 0, midi: -1, name: '' }

/** Diatonic names; in minor with the raised sixth and seventh. */
function namesOfKey({ key }: ArrangedBar): ReadonlyMap<number, readonly NoteName[]> {
  const tonic = tonicOf(key.key)
  const raised = isMinorKey(key.key) ? [transposeName(tonic, '6M'), transposeName(tonic, '7M')] : []
  const names = new Map<number, NoteName[]>()
  for (const name of [...scaleOf(key.key), ...raised]) {
    names.set(pitchClass(name), [...(names.get(pitchClass(name)) ?? []), name])
  }
  return names
}

function spellingFault(
  bar: ArrangedBar,
  scale: ReadonlyMap<number, readonly NoteName[]>,
  note: NamedNote,
): string | undefined {
  const pitch = parsePitch(note.name)
  // A name of another sound is family 9's business.
  if (!pitch || midiOf(pitch) !== note.midi) return undefined
  const name = nameOfPitch(note.name)
  const pc = mod(note.midi, 12)
  const inKey = scale.get(pc)
  if (inKey?.includes(name)) return undefined
  const over = bar.chords.filter(({ startTick, durationTicks }) => {
    return startTick <= note.startTick && note.startTick < startTick + durationTicks
  })
  for (const { chord } of over) {
    const tone = toneNamed(chord, pc)
    if (tone === name) return undefined
    // A chord tone that no staff would show (F♭ of G♭7) leaves the plain name as it is.
    if (tone && Math.abs(parsePitch(`${tone}4`)?.alter ?? 0) < 2 && !isAwkward(tone)) {
      const member = memberWords(chord, tone)
      return `${shownName(name)} over ${shownChord(chord)} is its ${member}; write ${shownName(tone)}.`
    }
  }
  if (inKey?.[0]) return `${shownName(name)} in the key of ${shownKey(bar.key)} is ${shownName(inKey[0])}; write it so.`
  return undefined
}

const isAwkward = (name: NoteName): boolean => /^(Cb|Fb|B#|E#)$/.test(name)

function toneNamed(chord: Chord, pc: number): NoteName | undefined {
  return (
    [...chord.notes, ...(chord.bass === undefined ? [] : [chord.bass])].find((tone) => pitchClass(tone) === pc) ??
    (chord.over ? toneNamed(chord.over, pc) : undefined)
  )
}

const MEMBERS: { readonly [number: string]: string } = {
  1: 'root',
  2: 'second',
  3: 'third',
  4: 'fourth',
  5: 'fifth',
  6: 'sixth',
  7: 'seventh',
  9: 'ninth',
  11: 'eleventh',
  13: 'thirteenth',
}

function memberWords(chord: Chord, tone: NoteName): string {
  const place = chord.notes.indexOf(tone)
  const number = /\d+/.exec(chord.intervals[place] ?? '')?.[0] ?? ''
  return place < 0 ? 'bass' : (MEMBERS[number] ?? 'tone')
}
