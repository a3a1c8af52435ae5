/** The door of whatever reads an arrangement (folding, schedule, files): the same arrangement where it is whole, else as much of it as can be
 *  read. `validate` says in words what is wrong; here nothing throws. */
import type {
  ArrangedBar,
  Arrangement,
  KeySignature,
  Metre,
  PartNote,
  PartSpec,
  PlacedChord,
} from '../contract/index.js'
import { LIMITS, barTicks, defaultGroups, keySignatureOf, parsePitch } from '../units/index.js'
import {
  type Fields,
  isChord,
  isFields,
  isKeySignature,
  isListOf,
  isMelodyNote,
  isMetre,
  isTick,
  isTimedNote,
} from './shapes.js'

const DYNAMICS: ReadonlySet<unknown> = new Set(['pp', 'p', 'mp', 'mf', 'f', 'ff'])
const ARTICULATIONS: ReadonlySet<unknown> = new Set(['staccato', 'tenuto', 'accent', 'marcato', 'fall'])
/** Quarters a minute that anything can be played at; 120 where there is no such number. */
const TEMPO = { least: 1, most: 1000, usual: 120 } as const
/** No bar is longer: 64 halves. */
const MOST_TICKS = 64 * 2 * 5040
const SILENT_METRE: Metre = { beats: 4, beatType: 4 }

/** Bars that can't be read are left out; notes and chords that can't, or have no place in their bar, too. */
export function arrangementShape(given: unknown): Arrangement {
  const fields = isFields(given) ? given : {}
  const { title, groove, version } = fields
  const givenLineup: readonly unknown[] = Array.isArray(fields['lineup']) ? fields['lineup'] : []
  const givenBars: readonly unknown[] = Array.isArray(fields['bars']) ? fields['bars'] : []
  const lineup = kept(givenLineup, LIMITS.parts, partOf)
  const reader = new BarReader()
  const bars = kept(givenBars, LIMITS.arrangementBars, (bar) => reader.read(bar))
  const isSame =
    fields === given &&
    version === 1 &&
    typeof title === 'string' &&
    typeof groove === 'string' &&
    lineup === fields['lineup'] &&
    bars === fields['bars']
  if (isSame) return given as unknown as Arrangement
  return {
    version: 1,
    title: typeof title === 'string' ? title : '',
    lineup,
    groove: typeof groove === 'string' ? groove : '',
    bars,
  }
}

/** The list itself where every entry is kept as it is. */
function kept<T>(given: readonly unknown[], most: number, read: (entry: unknown) => T | undefined): readonly T[] {
  let isSame = given.length <= most
  const out: T[] = []
  for (const entry of given.slice(0, most)) {
    const one = read(entry)
    if (one !== entry) isSame = false
    if (one !== undefined) out.push(one)
  }
  return isSame && out.length === given.length ? (given as readonly T[]) : out
}

function partOf(part: unknown): PartSpec | undefined {
  const isWhole =
    isFields(part) && ['id', 'instrument', 'name', 'role'].every((field) => typeof part[field] === 'string')
  return isWhole && part['id'] !== '__proto__' ? (part as unknown as PartSpec) : undefined
}

/** Reads bar after bar; a chord or a name once found good is not looked at again. */
class BarReader {
  readonly #chords = new Set<unknown>()
  readonly #names = new Map<string, boolean>()

  read(given: unknown): ArrangedBar | undefined {
    if (!isFields(given)) return undefined
    const { metre, key, lengthTicks, groups, tempoBpm, tempoEndBpm, parts } = given
    if (!isMetre(metre) && !isTick(lengthTicks)) return undefined
    const own = isMetre(metre) ? metre : SILENT_METRE
    const length = isTick(lengthTicks) && lengthTicks > 0 && lengthTicks <= MOST_TICKS ? lengthTicks : barTicks(own)
    const chords = this.#list<PlacedChord>(given['chords'], LIMITS.chordsPerBar, (placed) =>
      this.#isPlaced(placed) && placed.startTick < length ? placed : undefined,
    )
    const melody = this.#list<ArrangedBar['melody'][number]>(given['melody'], LIMITS.notesPerBar, (note) =>
      this.#isNote(note, length) && isMelodyNote(note) ? note : undefined,
    )
    const read = {
      metre: own,
      key: isKeySignature(key) ? key : (keySignatureOf('C major') as KeySignature),
      lengthTicks: length,
      groups: areGroups(groups, own) ? groups : defaultGroups(own),
      tempoBpm: isTempo(tempoBpm) ? tempoBpm : TEMPO.usual,
      chords,
      melody,
      parts: this.#parts(parts, length),
      barIndex: isTick(given['barIndex']) ? given['barIndex'] : 0,
      sectionId: wordOf(given['sectionId']),
      pass: wordOf(given['pass']),
      feel: wordOf(given['feel']),
      provenance: isProvenance(given['provenance']) ? given['provenance'] : { decision: 'tune', rule: '' },
    }
    const wrong = [
      ...(tempoEndBpm === undefined || isTempo(tempoEndBpm) ? [] : ['tempoEndBpm']),
      ...(given['dynamic'] === undefined || DYNAMICS.has(given['dynamic']) ? [] : ['dynamic']),
      ...(given['fermataTick'] === undefined || isTick(given['fermataTick']) ? [] : ['fermataTick']),
      ...(given['soloists'] === undefined || isListOf(given['soloists'], isWord) ? [] : ['soloists']),
      ...(given['mark'] === undefined || typeof given['mark'] === 'string' ? [] : ['mark']),
    ]
    const isSame =
      wrong.length === 0 && (Object.keys(read) as (keyof typeof read)[]).every((name) => read[name] === given[name])
    if (isSame) return given as unknown as ArrangedBar
    const rest = Object.fromEntries(Object.entries(given).filter(([name]) => !wrong.includes(name)))
    return { ...rest, ...read } as ArrangedBar
  }

  #list<T>(given: unknown, most: number, read: (entry: unknown) => T | undefined): readonly T[] {
    return Array.isArray(given) ? kept(given, most, read) : []
  }

  #parts(given: unknown, length: number): ArrangedBar['parts'] {
    if (!isFields(given)) return {}
    let isSame = true
    const entries = Object.entries(given).flatMap(([id, notes]): [string, readonly PartNote[]][] => {
      const read = this.#list<PartNote>(notes, MOST_PART_NOTES, (note) =>
        this.#isNote(note, length) && isPlayable(note) ? (note as unknown as PartNote) : undefined,
      )
      if (read !== notes || id === '__proto__') isSame = false
      return id === '__proto__' ? [] : [[id, read]]
    })
    return isSame ? (given as ArrangedBar['parts']) : Object.fromEntries(entries)
  }

  #isPlaced(placed: unknown): placed is PlacedChord {
    if (!isFields(placed) || !isTick(placed['startTick']) || !isTick(placed['durationTicks'])) return false
    if (placed['durationTicks'] > MOST_TICKS) return false
    const { chord } = placed
    if (this.#chords.has(chord)) return true
    if (!isChord(chord)) return false
    this.#chords.add(chord)
    return true
  }

  /** A note inside its bar; one that runs past it is the validator's to name, as long as it can be written. */
  #isNote(note: unknown, length: number): note is Fields & { readonly startTick: number; readonly name: string } {
    if (!isTimedNote(note) || note.startTick >= length || note.durationTicks > MOST_TICKS) return false
    const name = note['name'] as string
    const known = this.#names.get(name)
    if (known !== undefined) return known
    const isGood = parsePitch(name) !== undefined || /^[a-z]+$/.test(name)
    this.#names.set(name, isGood)
    return isGood
  }
}

/** Most notes of one part in one bar. */
const MOST_PART_NOTES = 1024

const isTempo = (value: unknown): value is number =>
  typeof value === 'number' && value >= TEMPO.least && value <= TEMPO.most
const areGroups = (value: unknown, { beats }: Metre): value is readonly number[] =>
  isListOf(value, (size) => isTick(size) && size > 0) &&
  (value as readonly number[]).reduce((sum, size) => sum + size, 0) === beats
const isWord = (value: unknown): value is string => typeof value === 'string'
const wordOf = (value: unknown): string => (typeof value === 'string' ? value : '')
const isProvenance = (value: unknown): value is ArrangedBar['provenance'] =>
  isFields(value) &&
  typeof value['decision'] === 'string' &&
  typeof value['rule'] === 'string' &&
  (value['tuneBar'] === undefined || isTick(value['tuneBar'])) &&
  (value['optionId'] === undefined || typeof value['optionId'] === 'string') &&
  (value['trail'] === undefined || isListOf(value['trail'], isFields))

function isPlayable(note: Fields): boolean {
  const { velocity, voice, printed, articulation, slur, tiedToNext, tuplet } = note
  return (
    isTick(velocity) &&
    velocity >= 1 &&
    velocity <= 127 &&
    (voice === undefined || (isTick(voice) && voice >= 1 && voice <= 16)) &&
    (printed === undefined || printed === 'slash' || printed === 'cue') &&
    (articulation === undefined || ARTICULATIONS.has(articulation)) &&
    (slur === undefined || slur === 'start' || slur === 'stop') &&
    (tiedToNext === undefined || tiedToNext === true) &&
    (tuplet === undefined ||
      (isFields(tuplet) &&
        [tuplet['actual'], tuplet['normal']].every((count) => isTick(count) && count >= 1 && count <= 64)))
  )
}
