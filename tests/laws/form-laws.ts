/** How often the form is found on tunes whose sections are known, with the labels taken away: tunes made to a form, and written ones. */
import {
  type FormReading,
  type MelodyNote,
  type Section,
  type Tune,
  type TuneBar,
  barTicks,
  chord,
  findForm,
  keySignatureOf,
  readTune,
  pitchInKey,
  transposeChord,
  transposePitch,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

type Draw = (bound: number) => number
/** Letter and bars of each section. `A+5` is A moved up five half steps: a letter of its own to the ear. */
export type FormPlan = readonly (readonly [letter: string, bars: number])[]

const plain = (letters: string, bars: number): FormPlan => Array.from(letters, (letter) => [letter, bars] as const)

/** Forms musicians know, and forms that are their own. Common practice. */
export const FORM_PLANS: { readonly [name: string]: FormPlan } = {
  'A A B A': plain('AABA', 8),
  'A B A C': plain('ABAC', 8),
  'A A B B': plain('AABB', 8),
  'A B A B': plain('ABAB', 8),
  'A A B C': plain('AABC', 8),
  'A B C D': plain('ABCD', 8),
  'A B': plain('AB', 8),
  'A A B': plain('AAB', 8),
  'A B A': plain('ABA', 8),
  'A A B A of sixteen': plain('AABA', 16),
  'A B A C of sixteen': plain('ABAC', 16),
  'A A B A of four': plain('AABA', 4),
  'twelve bars': plain('A', 12),
  'twelve bars twice': plain('AA', 12),
  'A A B A and a tag': [...plain('AABA', 8), ['Coda', 4]],
  'A B A C and a tag of two': [...plain('ABAC', 8), ['Coda', 2]],
  'verse and A A B A': [['Verse', 16], ...plain('AABA', 8)],
  'verse of eight and A B A C': [['Verse', 8], ...plain('ABAC', 8)],
  'a bridge of four': [
    ['A', 8],
    ['A', 8],
    ['B', 4],
    ['A', 8],
  ],
  'A A of ten and a bridge of eight': [
    ['A', 10],
    ['A', 10],
    ['B', 8],
    ['A', 10],
  ],
  'A A B A of seven': plain('AABA', 7),
  'A A B A, the bridge A moved up': [
    ['A', 8],
    ['A', 8],
    ['A+5', 8],
    ['A', 8],
  ],
  'A A of six': plain('AA', 6),
  'verse and chorus, a bridge before the last': plain('ABABCB', 8),
  'one bar': plain('A', 1),
  'seven bars': plain('A', 7),
}

export interface LabelledTune {
  readonly name: string
  readonly tune: Tune
}

const ROOTS = ['C', 'D', 'E', 'F', 'G', 'A'] as const
const QUALITIES = ['maj7', 'm7', '7', '6', 'm7b5'] as const

/** Bars of a section: a motif and its answer, or eight bars that never come back, as tunes are. */
function material(bars: number, draw: Draw, withChords: boolean, beats: number): TuneBar[] {
  const key = keySignatureOf('C major')
  const metre = { beats, beatType: 4 } as const
  const scale = [60, 62, 64, 65, 67, 69, 71, 72, 74, 76]
  let at = 3 + draw(4)
  const bar = (): TuneBar => {
    const count = 1 + draw(beats)
    const melody = Array.from({ length: count }, (_, index): MelodyNote => {
      at = Math.max(0, Math.min(scale.length - 1, at + draw(5) - 2))
      const midi = scale[at] as number
      const length = index === count - 1 ? beats - index : 1
      return { startTick: index * 5040, durationTicks: length * 5040, midi, name: pitchInKey(midi, key) }
    })
    const symbol = `${ROOTS[draw(ROOTS.length)]}${QUALITIES[draw(QUALITIES.length)]}`
    return {
      barIndex: 0,
      writtenBar: 0,
      metre,
      key,
      lengthTicks: barTicks(metre),
      melody,
      chords: withChords ? [{ startTick: 0, durationTicks: barTicks(metre), chord: chord(symbol) }] : [],
    }
  }
  const made = Array.from({ length: bars }, bar)
  // Half the sections are a period: the second half begins as the first.
  const half = bars / 2
  if (bars >= 8 && bars % 2 === 0 && draw(2))
    for (let index = 0; index < Math.min(2, half - 1); index++) made[half + index] = made[index] as TuneBar
  return made
}

const movedUp = (bar: TuneBar, semitones: number): TuneBar => ({
  ...bar,
  melody: bar.melody.map((note) => ({
    ...note,
    midi: note.midi + semitones,
    name: transposePitch(note.name, '4P'),
  })),
  chords: bar.chords.map((placed) => ({ ...placed, chord: transposeChord(placed.chord, '4P') })),
})

/** A section played again: other notes in a bar or two, another close. */
function varied(bars: readonly TuneBar[], draw: Draw, own: readonly TuneBar[]): TuneBar[] {
  return bars.map((bar, index) => {
    const isClose = index >= bars.length - 1 - draw(2)
    const other = own[index] as TuneBar
    if (isClose && draw(2)) return other
    if (bars.length < 8 || draw(10) > 0) return bar
    return { ...bar, melody: other.melody }
  })
}

export function tuneOfForm(name: string, plan: FormPlan, seed: number): LabelledTune {
  const draw = drawn(seed)
  const withChords = draw(4) > 0
  const beats = 3 + draw(2)
  const known = new Map<string, TuneBar[]>()
  const bars: TuneBar[] = []
  const sections: Section[] = []
  const pickup = draw(3) === 0 && plan.length > 1 ? 1 : 0
  if (pickup) {
    const [lead] = material(1, draw, false, 1)
    bars.push({ ...(lead as TuneBar), metre: { beats, beatType: 4 } })
  }
  for (const [letter, count] of plan) {
    const base = letter.slice(0, letter.includes('+') ? 1 : undefined)
    const first = known.get(letter)
    const longest = Math.max(count, ...plan.filter(([other]) => other === letter).map(([, size]) => size))
    const fresh = material(longest, draw, withChords, beats)
    let own: TuneBar[]
    if (first) own = varied(first, draw, fresh)
    else if (letter === base) own = fresh
    else own = (known.get(base) as TuneBar[]).map((bar) => movedUp(bar, Number(letter.slice(2))))
    if (!first) known.set(letter, own)
    sections.push({
      id: `${letter}-${sections.length}`,
      letter,
      role: letter === 'Coda' ? 'coda' : letter === 'Verse' ? 'verse' : 'chorus',
      startBar: bars.length,
      bars: count,
    })
    bars.push(...own.slice(0, count))
  }
  const tune: Tune = {
    version: 1,
    title: `${name}, ${seed}`,
    rights: 'own',
    key: keySignatureOf('C major'),
    metre: { beats, beatType: 4 },
    pickupTicks: pickup ? (bars[0] as TuneBar).lengthTicks : 0,
    bars: bars.map((bar, barIndex) => ({ ...bar, barIndex, writtenBar: barIndex })),
    sections,
    source: { format: 'typed', issues: [] },
  }
  return { name, tune }
}

/** Letters in order of appearance and lengths: 'A8 A8 B8 A8', whatever the sections are called. */
export function shapeOf(sections: readonly Section[]): string {
  const names = new Map<string, string>()
  return sections
    .map(({ letter, role, bars }) => {
      if (role !== 'chorus') return `${role}${bars}`
      if (!names.has(letter)) names.set(letter, String.fromCharCode(65 + names.size))
      return `${names.get(letter)}${bars}`
    })
    .join(' ')
}

export interface FormMeasure {
  readonly tunes: number
  readonly exact: number
  readonly misses: readonly string[]
  /** Sections whose named differences are not the bars that differ. */
  readonly misnamed: readonly string[]
  readonly byForm: { readonly [name: string]: readonly [exact: number, of: number] }
}

/** Labels away, form found, compared. */
export function measureForms(labelled: Iterable<LabelledTune>): FormMeasure {
  const misses: string[] = []
  const misnamed: string[] = []
  const byForm: { [name: string]: [number, number] } = {}
  let tunes = 0
  for (const { name, tune } of labelled) {
    const { sections } = findForm({ ...tune, sections: [] })
    const found = shapeOf(sections)
    misnamed.push(...wrongDifferences(tune, sections).map((wrong) => `${tune.title}: ${wrong}`))
    const meant = shapeOf(tune.sections)
    const sum = (byForm[name] ??= [0, 0])
    sum[1]++
    tunes++
    if (found === meant) sum[0]++
    else misses.push(`${tune.title}: ${found} for ${meant}`)
  }
  return { tunes, exact: tunes - misses.length, misses, misnamed, byForm }
}

/** Bars named as different against bars that are, counted here from the notes and chords themselves. */
function wrongDifferences(tune: Tune, sections: FormReading['sections']): readonly string[] {
  const textOf = (bar: TuneBar | undefined): string =>
    JSON.stringify([
      bar?.melody.map(({ startTick, durationTicks, midi }) => [startTick, durationTicks, midi]),
      bar?.chords.map((placed) => [placed.startTick, placed.chord.symbol]),
    ])
  return sections.flatMap((section) => {
    const first = sections.find(({ id }) => id === section.sameAs?.sectionId)
    if (!first || !section.sameAs) return []
    const differing = Array.from({ length: Math.min(first.bars, section.bars) }, (_, bar) => bar).filter(
      (bar) => textOf(tune.bars[first.startBar + bar]) !== textOf(tune.bars[section.startBar + bar]),
    )
    const named = section.sameAs.differences.flatMap((text) => {
      const bar = /^bar (\d+):/.exec(text)?.[1]
      return bar === undefined ? [] : [Number(bar) - 1]
    })
    return named.join() === differing.join()
      ? []
      : [`${section.id}: bars ${named.join()} named, ${differing.join()} differ`]
  })
}

export function* formTunes(each: number, seed: number): Generator<LabelledTune> {
  for (const [name, plan] of Object.entries(FORM_PLANS))
    for (let index = 0; index < each; index++) yield tuneOfForm(name, plan, seed + index)
}

export interface TraditionalMeasure {
  readonly tunes: number
  readonly exact: number
  /** Exact, or the same form in larger or smaller sections: A for A B, A B for A A B B. */
  readonly sameForm: number
  readonly misses: readonly string[]
}

/** Patterns of the traditional tunes, as players name them, against what is found in the notes alone. */
export function measureTraditional(): TraditionalMeasure {
  const misses: string[] = []
  let exact = 0
  for (const { title, form, abc } of TRADITIONAL_TUNES) {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error(`${title}: ${read.issues[0]?.message}`)
    const { sections } = findForm({ ...read.value, sections: [] })
    const found = letters(sections.map(({ letter }) => letter))
    const meant = letters(Array.from(form))
    exact += Number(found === meant)
    if (!isSameForm(found, meant))
      misses.push(`${title}: ${shapeOf(sections)} for ${form}, ${read.value.bars.length} bars`)
  }
  const tunes = TRADITIONAL_TUNES.length
  return { tunes, exact, sameForm: tunes - misses.length, misses }
}

/** Whether the longer row, taken in equal groups, is the shorter: equal groups for equal letters, others for others. */
function isSameForm(a: string, b: string): boolean {
  const [long, short] = a.length >= b.length ? [a, b] : [b, a]
  if (long.length % short.length !== 0) return false
  const size = long.length / short.length
  const groups = Array.from(short, (_, index) => long.slice(index * size, (index + 1) * size))
  return letters(groups) === letters(Array.from(short))
}

/** Letters renamed in order of appearance. */
function letters(given: readonly string[]): string {
  const order = [...new Set(given)]
  return given.map((letter) => String.fromCharCode(65 + order.indexOf(letter))).join('')
}
