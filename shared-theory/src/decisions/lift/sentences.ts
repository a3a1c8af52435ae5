/** What is said of a lift: its title, one sentence or two a musician accepts, and the rules behind it. */
import type { ArrangedBar, KeySignature, Tune } from '../../contract/index.js'
import { bassOf, qualityOf } from '../../chords/index.js'
import { degreeName, lineNotes, notesBetween, show } from '../../fit/index.js'
import { keySignature, noteName, parseNoteName, pitchClass, tonicOf, transposeName } from '../../units/index.js'
import type { Offer } from '../recipe.js'
import { type Aim, type Line, PREPARATION_WORDS, type PreparationKind } from './kinds.js'
import { type Manner, melodyInterval, movedNote, moveOf, plainRoot } from './move.js'
import { commonTone } from './paths.js'
import { degreeOver, type Prepared, type Preparing } from './prepare.js'
import { beatsWord, capital, keyWord, ordinal, placeWords, shown, stepWord } from './words.js'

/** A lift before it is put into words. */
export interface Lifted extends Manner {
  readonly kind: PreparationKind
  readonly semitones: number
  readonly aim: Aim
  readonly line?: Line
  readonly index: number
  readonly preparing: Preparing
  /** Absent where nothing is prepared. */
  readonly prepared?: Prepared
}

interface Scene {
  readonly bars: readonly ArrangedBar[]
  readonly tune: Tune
}

export function titleOf({ kind, semitones, aim, line, octave, preparing }: Lifted): string {
  const how =
    line === 'rising' ? 'chromatic line from below' : line ? 'chromatic line from above' : PREPARATION_WORDS[kind]
  const whose = aim === 'key' ? (line ? ' to the new tonic' : ' of the new key') : ''
  const where = octave ? `, melody an octave ${octave < 0 ? 'lower' : 'higher'}` : ''
  return `${stepWord(semitones)} to ${keyWord(preparing.newKey)}, ${how}${whose}${where}`
}

/** What a card shows without cutting; the range is the first thing to give way. */
const MOST_LETTERS = 160

/** How it leads over, then where the new key begins and what that does. */
export function summaryOf(lifted: Lifted, scene: Scene): string {
  const { semitones, octave, index, preparing } = lifted
  const { before, startAfter } = placeWords(scene, index)
  const top = topOf(scene.bars.slice(index), lifted)
  const way = octave
    ? `the melody ${octave < 0 ? 'drops' : 'rises'} an octave`
    : semitones > 0
      ? 'it lifts'
      : 'it settles'
  // Led to by its dominant, a key may still begin on another of its chords.
  const first = lifted.aim === 'key' ? `, first ${shown(preparing.arriving)}` : ''
  const said = `${capital(leadsOver(lifted, before))}. From ${startAfter} all is in ${keyWord(preparing.newKey)}${first}: ${way}`
  const range = top ? `, top note ${top}` : ''
  return `${said}${said.length + range.length < MOST_LETTERS ? range : ''}.`
}

/** ' (C is in both)': what the ear can hold on to where nothing is prepared. */
function sharedWords(preparing: Preparing): string {
  const last = preparing.bar.chords.at(-1)?.chord
  const tone = last && commonTone(last, preparing.arriving, wantedTones(preparing))
  return tone && last.notes.includes(tone) ? ` (${show(tone)} is in both)` : ''
}

function leadsOver(lifted: Lifted, before: string): string {
  const { kind, aim, preparing, prepared } = lifted
  const arriving = shown(preparing.arriving)
  if (!prepared) return `${before} stays as written with a fill, then comes ${arriving}${sharedWords(preparing)}`
  const chords = prepared.leading.map(shown).join(' ')
  const first = prepared.chords[prepared.chords.length - prepared.leading.length]
  const where =
    prepared.isSqueezed && first ? `on ${beatsWord(preparing.bar, first.startTick)} of ${before}` : `in ${before}`
  const verb = prepared.leading.length > 1 ? 'lead' : 'leads'
  const goal = `${verb} to ${aim === 'key' ? keyWord(preparing.newKey) : arriving}`
  const soft = prepared.soft
  const note = soft
    ? ` (${show(soft.note.name)} over ${shown(soft.chord)}: soft ${degreeOver(soft.note, soft.chord)})`
    : noteWords(lifted, prepared)
  if (kind === 'common-tone') return `${chords} stays ${where}; ${heldWords(lifted, prepared)}${soft ? note : ''}`
  return `${chords} ${where} ${goal}${note}`
}

/** 'its F is the 3 of D♭∆'. */
function heldWords({ preparing }: Lifted, { leading }: Prepared): string {
  const chord = leading[0]
  const tone = chord && commonTone(chord, preparing.arriving, wantedTones(preparing))
  if (!tone) return `it leads to ${shown(preparing.arriving)}`
  const degree = degreeName(qualityOf(preparing.arriving), pitchClass(tone) - pitchClass(preparing.arriving.root))
  const name = degree === '1' ? 'root' : /^\d+$/.test(degree) ? ordinal(Number(degree)) : degree
  const own = chord.notes.find((note) => pitchClass(note) === pitchClass(tone)) ?? tone
  return `its ${show(own)} becomes ${own === tone ? '' : `${show(tone)}, `}the ${name} of ${shown(preparing.arriving)}`
}

/** The last note the melody leaves in the ear. */
const wantedTones = ({ bar }: Preparing): readonly number[] => bar.melody.slice(-1).map(({ midi }) => midi % 12)

/** ' (F is ♭7)'; one note over both chords: ' (A is ♭3, then ♭7)'; for a line the bass it makes. */
function noteWords({ kind, preparing }: Lifted, { chords, leading }: Prepared): string {
  if (kind === 'chromatic-line')
    return ` (bass ${[...leading, preparing.goal].map((chord) => show(bassOf(chord) ?? chord.root)).join(' ')})`
  const notes = lineNotes([preparing.bar], preparing.around)
  const degrees = new Map<string, string[]>()
  for (const { chord, startTick, durationTicks } of chords.slice(-leading.length)) {
    for (const note of notesBetween(notes, startTick, startTick + durationTicks)) {
      if (note.isPassing) continue
      const degree = degreeName(qualityOf(chord), note.pc - pitchClass(chord.root))
      const known = degrees.get(show(note.name)) ?? []
      if (known.at(-1) !== degree) degrees.set(show(note.name), [...known, degree])
    }
  }
  const said = [...degrees].slice(0, 2).map(([name, all]) => `${name} is ${all.slice(0, 2).join(', then ')}`)
  return said.length > 0 ? ` (${said.join(', ')})` : ''
}

export function reasonOf(lifted: Lifted, scene: Scene): Offer['reason'] {
  const { kind, semitones, aim, line, octave, index, preparing, prepared } = lifted
  const { start } = placeWords(scene, index)
  const steps = [
    {
      rule: 'LI2',
      text: `from ${start} on: ${keyWord(preparing.newKey)}, ${stepWord(semitones).toLowerCase()}, ${spelling(preparing.newKey)}; ${
        semitones > 0 ? 'going up lifts' : 'going down settles'
      }`,
    },
  ]
  if (octave)
    steps.push({
      rule: 'LI14',
      text: `the melody an octave ${octave < 0 ? 'lower' : 'higher'} from there, inside its player's range`,
    })
  if (!prepared) return [...steps, { rule: 'LI4', text: 'no preparation, the drums fill' }]
  const chords = prepared.leading.map(shown).join(' ')
  const goal = aim === 'key' ? `the new tonic, ${show(tonicOf(preparing.newKey.key))}` : shown(preparing.goal)
  if (kind === 'common-tone') steps.push({ rule: 'LI15', text: `${chords} stays, and ${heldWords(lifted, prepared)}` })
  else if (kind === 'chromatic-line')
    steps.push({ rule: 'LI16', text: `${chords}: half steps from ${line === 'rising' ? 'below' : 'above'} to ${goal}` })
  else steps.push({ rule: 'LI3', text: `${chords}${overFive(lifted)} is the ${PREPARATION_WORDS[kind]} of ${goal}` })
  if (prepared.isSqueezed) steps.push({ rule: 'LI6', text: 'in the part of the bar where the melody allows it' })
  return steps
}

/** What a V7sus is made of: ' (F∆ over G)'; left out where its root has no plain name in the key. */
function overFive({ kind, preparing, prepared }: Lifted): string {
  const root = prepared?.leading[0]?.root
  const four = transposeName(preparing.goal.root, '4P')
  if (kind !== 'sus-dominant' || root === undefined || plainRoot(four, preparing.newKey) !== four) return ''
  if (root !== transposeName(preparing.goal.root, '5P')) return ''
  return ` (${show(four)}∆ over ${show(root)})`
}

/** '6 flats; F♯ major would be 6 sharps': why it is called so. */
function spelling(key: KeySignature): string {
  const other = Math.abs(key.fifths) >= 4 ? twinOf(key) : undefined
  return other ? `${signature(key)} (${keyWord(other)} would be ${signature(other)})` : signature(key)
}

/** The same key by its other name, where that has a signature. */
function twinOf(key: KeySignature): KeySignature | undefined {
  const spelled = parseNoteName(tonicOf(key.key))
  if (!spelled) return undefined
  const step = (spelled.step + (key.fifths < 0 ? 6 : 1)) % 7
  for (const alter of [-1, 0, 1]) {
    const name = noteName({ step, alter })
    const twin = pitchClass(name) === pitchClass(tonicOf(key.key)) ? keySignature(name, key.mode) : undefined
    if (twin) return twin
  }
  return undefined
}

function signature({ fifths }: KeySignature): string {
  if (fifths === 0) return 'no accidentals'
  return `${Math.abs(fifths)} ${fifths > 0 ? 'sharp' : 'flat'}${Math.abs(fifths) === 1 ? '' : 's'}`
}

/** The highest melody note after the move, as a player reads it. */
function topOf(bars: readonly ArrangedBar[], { semitones, octave, prefer }: Lifted): string {
  let top: { midi: number; name: string } | undefined
  for (const bar of bars) {
    for (const note of bar.melody) {
      if (top && note.midi + semitones + 12 * (octave ?? 0) <= top.midi) continue
      top = movedNote(note, melodyInterval(moveOf(bar.key, semitones, prefer), octave))
    }
  }
  return top ? show(top.name) : ''
}
