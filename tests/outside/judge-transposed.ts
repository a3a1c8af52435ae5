/** Parts in their players' transposition, un-transposed by arithmetic of our own and by the reader, against the concert part. */
import {
  type ArrangedBar,
  type Arrangement,
  INSTRUMENTS,
  type KeySignature,
  type Option,
  type PartSpec,
  type Plan,
  type Tune,
  chord,
  compile,
  defaultPlan,
  keySignature,
  midiOfName,
  pitchInKey,
  proposeOptions,
  readTune,
  scaleOf,
  validate,
  writeMusicXml,
} from '@chartloft/shared-theory'
import {
  type XmlElement,
  childOf,
  childrenOf,
  numberOf,
  parseXml,
  textOf,
} from '../../shared-theory/src/read/musicxml/xml.js'

const MAJOR = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#']
const MINOR = ['Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'G#', 'D#', 'A#']
/** All signatures from seven flats to seven sharps, in major and minor. */
export const ALL_KEYS: readonly KeySignature[] = [
  ...MAJOR.map((tonic) => keySignature(tonic, 'major')),
  ...MINOR.map((tonic) => keySignature(tonic, 'minor')),
].filter((key) => key !== undefined)
export const PITCHED = INSTRUMENTS.filter(({ family }) => family !== 'drums')

const QUARTER = 5040

/** Two octaves of the key's scale and every chromatic step, inside the instrument's range, four notes a bar, under the tonic's chord. */
export function scalesFor(instrument: (typeof PITCHED)[number], key: KeySignature): Arrangement {
  const part: PartSpec = { id: 'one', instrument: instrument.id, name: instrument.name, role: 'lead' }
  // Of a keyboard the right hand's staff.
  const [low, high] = instrument.clef === 'grand' ? [60, 96] : instrument.range
  const middle = Math.round((low + high) / 2)
  const span = Array.from({ length: Math.min(25, high - low) }, (_, index) => Math.max(low, middle - 12) + index)
  const inScale = new Set(scaleOf(key.key).map((name) => midiOfName(`${name}4`) % 12))
  const row = [...span.filter((midi) => inScale.has(midi % 12)), ...span]
  const tonic = key.key.split(' ')[0] as string
  const bars = Array.from({ length: Math.ceil(row.length / 4) }, (_, barIndex): ArrangedBar => {
    const notes = row.slice(barIndex * 4, barIndex * 4 + 4).map((midi, beat) => ({
      startTick: beat * QUARTER,
      durationTicks: QUARTER,
      midi,
      name: pitchInKey(midi, key),
    }))
    return {
      barIndex,
      sectionId: 'A1',
      pass: 'chorus-1',
      metre: { beats: 4, beatType: 4 },
      groups: [4],
      lengthTicks: 4 * QUARTER,
      key,
      tempoBpm: 120,
      feel: 'even',
      chords: [
        { startTick: 0, durationTicks: 4 * QUARTER, chord: chord(key.key.endsWith('minor') ? `${tonic}m` : tonic) },
      ],
      melody: notes,
      parts: { one: notes.map((note) => ({ ...note, velocity: 80 })) },
      provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
    }
  })
  return { version: 1, title: 'Scales', lineup: [part], groove: 'as-written', bars }
}

const STEPS: { readonly [step: string]: number } = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }

export interface WrittenPart {
  readonly fifths: readonly number[]
  readonly sounding: readonly number[]
  readonly alters: readonly number[]
  readonly roots: readonly string[]
}

/** Pitches as a reader of the file hears them: written pitch, plus chromatic and octave-change of its transposition (MusicXML 4.0, transpose). */
export function soundOf(xml: string): WrittenPart {
  const part = childOf(parseXml(xml), 'part')
  let semitones = 0
  const fifths: number[] = []
  const sounding: number[] = []
  const alters: number[] = []
  const roots: string[] = []
  for (const measure of childrenOf(part, 'measure'))
    for (const child of measure.children) {
      if (child.name === 'attributes') {
        const transpose = childOf(child, 'transpose')
        if (transpose)
          semitones = (numberOf(transpose, 'chromatic') ?? 0) + 12 * (numberOf(transpose, 'octave-change') ?? 0)
        const key = childOf(child, 'key')
        if (key) fifths.push(numberOf(key, 'fifths') ?? 0)
      }
      if (child.name === 'harmony') roots.push(...childrenOf(child, 'root').map(rootText))
      const pitch = child.name === 'note' && textOf(child, 'notehead') !== 'slash' ? childOf(child, 'pitch') : undefined
      if (!pitch || childOf(child, 'grace') || childOf(child, 'cue') || isTiedIn(child)) continue
      const alter = numberOf(pitch, 'alter') ?? 0
      alters.push(alter)
      sounding.push(
        (STEPS[textOf(pitch, 'step')] as number) + alter + 12 * ((numberOf(pitch, 'octave') as number) + 1) + semitones,
      )
    }
  return { fifths, sounding, alters, roots }
}
const rootText = (root: XmlElement): string => `${textOf(root, 'root-step')}${numberOf(root, 'root-alter') ?? ''}`
const isTiedIn = (note: XmlElement): boolean =>
  childrenOf(note, 'tie').some(({ attributes }) => attributes['type'] === 'stop')

/** What a part in one key shows or sounds otherwise than it must. */
export function transpositionFaults(instrument: (typeof PITCHED)[number], key: KeySignature): readonly string[] {
  const arrangement = scalesFor(instrument, key)
  const meant = arrangement.bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))
  const faults: string[] = []
  for (const pitch of ['written', 'concert'] as const) {
    const xml = writeMusicXml(arrangement, { part: 'one', pitch })
    const { fifths, sounding } = soundOf(xml)
    if (JSON.stringify(sounding) !== JSON.stringify(meant)) faults.push(`${pitch}: sounds otherwise`)
    if (fifths.some((count) => Math.abs(count) > 7)) faults.push(`${pitch}: ${fifths.join(' ')} accidentals`)
    const read = readTune('musicxml', xml)
    const back = read.ok ? read.value.bars.flatMap(({ melody }) => melody.map(({ midi }) => midi)) : []
    if (JSON.stringify(back) !== JSON.stringify(meant)) faults.push(`${pitch}: read back otherwise`)
    if (read.ok && ((read.value.key.fifths - key.fifths) % 12 !== 0 || read.value.key.mode !== key.mode))
      faults.push(`${pitch}: key ${read.value.key.key} for ${key.key}`)
  }
  return faults.map((fault) => `${instrument.name}, ${key.key}: ${fault}`)
}

/** Every transposition there is: B flat, E flat, octaves, none. */
const WIDE_BAND: readonly PartSpec[] = [
  { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' },
  { id: 'alto', instrument: 'alto-sax', name: 'Alto sax', role: 'horn' },
  { id: 'tenor', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' },
  { id: 'bari', instrument: 'baritone-sax', name: 'Baritone sax', role: 'horn' },
  { id: 'guitar', instrument: 'guitar', name: 'Guitar', role: 'chords' },
  { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' },
  { id: 'drums', instrument: 'drum-kit', name: 'Drums', role: 'drums' },
]

export const liftsOf = (tune: Tune): readonly Option[] =>
  proposeOptions(tune, 'lift', defaultPlan(tune)).filter(
    ({ params }) => params.semitones !== undefined && params.semitones !== 0,
  )

/** Every part after a lift: at most seven accidentals, names players read, the right sound, and no note named against its chord or key that was not before. */
export function liftedFaults(tune: Tune, lift: Option): readonly string[] {
  const base: Plan = { ...defaultPlan(tune), lineup: WIDE_BAND }
  const plan: Plan = { ...base, chosen: [{ kind: 'lift', ...(lift.at ? { at: lift.at } : {}), option: lift }] }
  const { arrangement } = compile(plan)
  const faults: string[] = []
  const written: { [partId: string]: string } = {}
  for (const { id, role } of WIDE_BAND) {
    if (role === 'drums') continue
    const xml = writeMusicXml(arrangement, { part: id })
    written[id] = xml
    const { fifths, sounding, alters, roots } = soundOf(xml)
    if (fifths.some((count) => Math.abs(count) > 7)) faults.push(`${id}: ${fifths.join(' ')} accidentals`)
    if (alters.some((alter) => alter < -1 || alter > 2)) faults.push(`${id}: a double flat is printed`)
    if (roots.some((root) => /-?2$/.test(root))) faults.push(`${id}: a chord root with a double accidental`)
    const meant = attacksOf(arrangement, id)
    if (JSON.stringify(sounding) !== JSON.stringify(meant)) faults.push(`${id}: sounds otherwise than the concert part`)
  }
  const misnamed = (of: Plan, context: Parameters<typeof validate>[1] = {}): number =>
    validate(of === plan ? arrangement : compile(of).arrangement, { plan: of, ...context }).filter(
      ({ code, severity }) => code === 'VA3' && severity !== 'note',
    ).length
  const [before, after] = [misnamed(base), misnamed(plan)]
  if (after > before) faults.push(`${after} notes named against chord or key, ${before} before the lift`)
  const wrong = validate(arrangement, { plan, written }).filter(({ code }) => code === 'VA9')
  if (wrong.length > 0) faults.push(wrong[0]?.message ?? '')
  return faults.map((fault) => `${tune.title}, ${lift.id}: ${fault}`)
}

/** Attacks of a part's written notes in printed order: bar by bar, low first; tied ones once. */
function attacksOf({ bars }: Arrangement, partId: string): readonly number[] {
  let tied: ReadonlySet<number> = new Set()
  return bars.flatMap((bar) => {
    const notes = (bar.parts[partId] ?? [])
      .filter((note) => note.printed === undefined)
      .toSorted((a, b) => a.startTick - b.startTick || a.midi - b.midi)
    return notes.flatMap((note) => {
      const goesOn = tied.has(note.midi)
      const same = notes.filter(({ startTick }) => startTick === note.startTick)
      if (note === same.at(-1)) tied = new Set(same.filter(({ tiedToNext }) => tiedToNext).map(({ midi }) => midi))
      return goesOn ? [] : [note.midi]
    })
  })
}
