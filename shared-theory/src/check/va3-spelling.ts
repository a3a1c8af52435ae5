/** VA3: a note spelled against its chord or key. What the key spells so is always right. */
import type { ArrangedBar, Chord, Issue, NoteName } from '../contract/index.js'
import { plainOver } from '../chords/index.js'
import { isMinorKey, issue, mod, pitchClass, scaleOf, tonicOf, transposeName } from '../units/index.js'
import { type CheckContext, isPrinted, notesOf, readableBars } from './check-context.js'
import { chordSpellingFault } from './spelled-chords.js'
import { shownChord, shownKey, shownName } from './words.js'

/** Keys in which a borrowed note may come to stand as a double flat, or as F♭ over E: D♭ and beyond. */
const MANY_FLATS = -5

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
    const add = (path: string, who: string, note: NamedNote, place: number): void => {
      const fault = spellingFault(context, bar, scale, note)
      if (!fault) return
      const text = `Bar ${context.numberOf(index)}${who}: ${fault}`
      found.push(issue('VA3', severity, `bars/${index}/${path}/${place}`, text))
    }
    for (const [place, { chord }] of bar.chords.entries()) {
      const before = bar.chords[place - 1]?.chord ?? context.bars[index - 1]?.chords.at(-1)?.chord
      const barAfter = context.bars[index + 1]
      const next = bar.chords[place + 1]?.chord ?? barAfter?.chords[0]?.chord
      const fault = chordSpellingFault(bar, chord, { before, next, barAfter })
      const text = `Bar ${context.numberOf(index)}: ${fault}`
      if (fault) found.push(issue('VA3', severity, `bars/${index}/chords/${place}`, text))
    }
    for (const [place, note] of bar.melody.entries()) add('melody', '', note, place)
    for (const part of context.parts) {
      if (part.isDrums) continue
      for (const [place, note] of notesOf(bar, part).entries()) {
        if (isPrinted(note) && !isSaid(bar, note)) add(`parts/${part.spec.id}`, `, ${part.name}`, note, place)
      }
    }
  }
  return found
}

/** The melody has the same note by the same name: one finding is enough. */
const isSaid = ({ melody }: ArrangedBar, { startTick, name }: NamedNote): boolean =>
  melody.some((own) => own.startTick === startTick && own.name === name)

/** New chords under an unchanged melody: the tune keeps its own spelling, and the reader is only told. */
const hasNewHarmony = ({ provenance }: ArrangedBar): boolean =>
  provenance.decision === 'harmony' || (provenance.trail ?? []).some(({ decision }) => decision === 'harmony')

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
  { read }: CheckContext,
  bar: ArrangedBar,
  scale: ReadonlyMap<number, readonly NoteName[]>,
  note: NamedNote,
): string | undefined {
  const pitch = read(note.name)
  // A name of another sound is family 9's business.
  if (pitch?.midi !== note.midi) return undefined
  const name = pitch.letter
  const pc = mod(note.midi, 12)
  const inKey = scale.get(pc)
  if (inKey?.includes(name)) return undefined
  const over = bar.chords.filter(({ startTick, durationTicks }) => {
    return startTick <= note.startTick && note.startTick < startTick + durationTicks
  })
  for (const { chord } of over) {
    const tone = toneNamed(chord, pc)
    // Where a lift has carried a name beyond what anybody reads, the chart prints the plain one.
    const isPrintedPlain = bar.key.fifths <= MANY_FLATS && tone !== undefined && plainOver(name, chord) === tone
    if (tone === name || isPrintedPlain) return undefined
    // A chord tone that no staff would show (F♭ of G♭7) leaves the plain name as it is.
    if (tone && Math.abs(read(`${tone}4`)?.alter ?? 0) < 2 && !isAwkward(tone)) {
      const member = memberWords(chord, tone)
      return `${shownName(name)} over ${shownChord(chord)} is its ${member}; write ${shownName(tone)}.`
    }
  }
  // Nobody wants to read F𝄪 in A♯ minor.
  if (inKey?.[0] && !/##|bb/.test(inKey[0]))
    return `${shownName(name)} in the key of ${shownKey(bar.key)} is ${shownName(inKey[0])}; write it so.`
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
