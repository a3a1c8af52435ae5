/** Faults of names and written parts: spelling (VA3), written against sounding (VA9). */
import {
  type ArrangedBar,
  parseChord,
  formatChord,
  pitchClass,
  pitchInKey,
  plainOver,
  scaleOf,
  tonicOf,
  transposeName,
  writeMusicXml,
} from '@chartloft/shared-theory'
import {
  type Injected,
  type Shape,
  barShape,
  changed,
  draw,
  partsOf,
  shape,
  withChords,
  withMelody,
  withPart,
} from './fault.js'
import { type Random, type Scene, withBar } from './scene.js'

const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B']
const SIGNS = ['bb', 'b', '', '#', '##']
const SOUND: { readonly [letter: string]: number } = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }

/** Every name of a pitch class with at most two accidentals. */
const NAMES: readonly (readonly string[])[] = Array.from({ length: 12 }, (_, pc) =>
  LETTERS.flatMap((letter) =>
    SIGNS.flatMap((sign, place) => (((SOUND[letter] as number) + place - 2 + 12) % 12 === pc ? [letter + sign] : [])),
  ),
)

function namesOfKey(bar: ArrangedBar): ReadonlySet<string> {
  const tonic = tonicOf(bar.key.key)
  const raised = bar.key.key.endsWith(' minor') ? [transposeName(tonic, '6M'), transposeName(tonic, '7M')] : []
  return new Set([...scaleOf(bar.key.key), ...raised])
}

const namesOfChords = (bar: ArrangedBar): ReadonlySet<string> =>
  new Set(
    bar.chords.flatMap(({ chord }) => [
      ...chord.notes,
      ...(chord.bass === undefined ? [] : [chord.bass]),
      ...(chord.over?.notes ?? []),
    ]),
  )

/** In the flattest keys a chart prints some names by plainer ones: those are no faults. */
const isPrintedAs = (bar: ArrangedBar, other: string, own: string): boolean =>
  bar.key.fifths <= -5 && bar.chords.some(({ chord }) => plainOver(other, chord) === own)

/** Another name for a note that key or chord name as it stands; with the same sound, and in neither. */
function respelled(
  bar: ArrangedBar,
  { midi, name }: { midi: number; name: string },
  random: Random,
): string | undefined {
  const own = name.replace(/-?\d+$/, '')
  const key = namesOfKey(bar)
  const chords = namesOfChords(bar)
  const isPlain = (key.has(own) && !/##|bb/.test(own)) || (chords.has(own) && !/^(Cb|Fb|B#|E#)$|bb|##/.test(own))
  if (!isPlain) return undefined
  const letter = draw(
    (NAMES[midi % 12] ?? []).filter(
      (other) => other !== own && !key.has(other) && !chords.has(other) && !isPrintedAs(bar, other, own),
    ),
    random,
  )
  if (letter === undefined) return undefined
  const plain = (SOUND[letter[0] as string] as number) + SIGNS.indexOf(letter.slice(1)) - 2
  return `${letter}${Math.round((midi - plain) / 12) - 1}`
}

const VA3: readonly Shape[] = [
  barShape('VA3', 'a melody note by another name', (bar, random) => {
    const place = random(bar.melody.length || 1)
    const name = bar.melody[place] && respelled(bar, bar.melody[place], random)
    return name === undefined ? undefined : withMelody(bar, place, { name })
  }),
  barShape('VA3', 'a part note by another name', (bar, random, scene) => {
    const id = draw(
      partsOf(scene, 'horn', 'lead', 'chords', 'bass').filter((part) =>
        (bar.parts[part] ?? []).some(({ printed }) => printed !== 'slash'),
      ),
      random,
    )
    const notes = id === undefined ? [] : (bar.parts[id] ?? [])
    const place = random(notes.length || 1)
    const note = notes[place]
    if (id === undefined || !note || note.printed === 'slash') return undefined
    const name = respelled(bar, note, random)
    return name === undefined ? undefined : withPart(bar, id, changed(notes, place, { name }))
  }),
  barShape('VA3', 'every note of a melody bar in another letter', (bar, random) => {
    const melody = bar.melody.map((note) => ({ ...note, name: respelled(bar, note, random) ?? note.name }))
    return melody.some(({ name }, place) => name !== bar.melody[place]?.name) ? { ...bar, melody } : undefined
  }),
  barShape('VA3', 'a chord root by another name', (bar, random, scene, index) => {
    const place = random(bar.chords.length || 1)
    const chord = bar.chords[place]?.chord
    const usual = ['C', 'C#', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
    const isInKey = chord !== undefined && scaleOf(bar.key.key).includes(chord.root) && usual.includes(chord.root)
    if (!chord || chord.bass !== undefined || chord.over || !isInKey) return undefined
    const next = bar.chords[place + 1]?.chord.root ?? scene.music.bars[index + 1]?.chords[0]?.chord.root ?? ''
    // A half step to the next letter, G♭7 to F, is a name of its own right.
    const slides = (name: string): boolean =>
      next !== '' &&
      [1, 11].includes((pitchClass(next) - pitchClass(name) + 12) % 12) &&
      [1, 6].includes((LETTERS.indexOf(next[0] as string) - LETTERS.indexOf(name[0] as string) + 7) % 7)
    const names = NAMES[pitchClass(chord.root)] ?? []
    const other = draw(
      names.filter((name) => !namesOfKey(bar).has(name) && name.length < 3 && !slides(name)),
      random,
    )
    const read = other === undefined ? undefined : parseChord(other + formatChord(chord).slice(chord.root.length))
    return read?.ok ? withChords(bar, changed(bar.chords, place, { chord: read.value })) : undefined
  }),
  shape('VA3', "a slash bass not by its chord tone's name", (scene, random) => {
    const index = random(scene.music.bars.length)
    const bar = scene.music.bars[index] as ArrangedBar
    const place = random(bar.chords.length || 1)
    const chord = bar.chords[place]?.chord
    const tone = chord && draw(chord.notes.slice(1), random)
    if (!chord || tone === undefined || chord.over || /bb|##|Cb|Fb|E#|B#/.test(tone)) return undefined
    const wrong = draw(
      (NAMES[pitchClass(tone)] ?? []).filter((name) => name !== tone && name.length < 3),
      random,
    )
    const read =
      wrong === undefined
        ? undefined
        : parseChord(`${formatChord({ ...chord, bass: chord.root }).replace(/\/.*$/, '')}/${wrong}`)
    if (!read?.ok) return undefined
    // B∆/B♭ before B♭∆: a bass that stays keeps its name (common practice), so nothing is wrong.
    const around = [
      bar.chords[place - 1] ?? scene.music.bars[index - 1]?.chords.at(-1),
      bar.chords[place + 1] ?? scene.music.bars[index + 1]?.chords[0],
    ]
    if (around.some((other) => other && (other.chord.bass ?? other.chord.root) === wrong)) return 'same'
    const music = withBar(scene, index, withChords(bar, changed(bar.chords, place, { chord: read.value })))
    return { music, at: [`bars/${index}`] }
  }),
]

const written = (
  scene: Scene,
  random: Random,
  damage: (
    measures: readonly string[],
    random: Random,
    id: string,
  ) => { readonly measures: readonly string[]; readonly bar: number } | undefined,
): Injected | undefined => {
  const id = draw(partsOf(scene, 'lead', 'horn', 'voice'), random)
  if (id === undefined) return undefined
  const [head, ...measures] = writeMusicXml(scene.music, { part: id }).split(/(?=<measure )/) as [string, ...string[]]
  const done = damage(measures, random, id)
  return done && { written: { [id]: [head, ...done.measures].join('') }, at: [`bars/${done.bar}/`] }
}

const NOTE = /<pitch>\s*<step>([A-G])<\/step>(\s*<alter>-?\d<\/alter>)?\s*<octave>(\d)<\/octave>\s*<\/pitch>/

const NOTE_ELEMENT = /<note(?:\s[^>]*)?>[\s\S]*?<\/note>/g
/** A measure with its first note of the part's own changed: small notes are another's, and no reader takes them for the line. */
const changeFirst = (measure: string, change: (note: string) => string): string => {
  let isDone = false
  return measure.replace(NOTE_ELEMENT, (note) => {
    if (isDone || /<cue\/>/.test(note) || !NOTE.test(note)) return note
    isDone = true
    return change(note)
  })
}
const isNoted = (measure: string): boolean => changeFirst(measure, () => '') !== measure

/** A damaged note in one measure, its first that no tie leads to. */
const inMeasure = (
  name: string,
  change: (step: string, alter: string, octave: number, random: Random) => string,
): Shape =>
  shape('VA9', name, (scene, random) =>
    written(scene, random, (measures) => {
      const places = measures.flatMap((text, index) => (isNoted(text) && !/<tie type="stop"/.test(text) ? [index] : []))
      const bar = draw(places, random)
      if (bar === undefined) return undefined
      const text = changeFirst(measures[bar] as string, (note) =>
        note.replace(NOTE, (_whole, step: string, alter: string | undefined, octave: string) =>
          change(step, alter ?? '', Number(octave), random),
        ),
      )
      return { bar, measures: measures.map((own, index) => (index === bar ? text : own)) }
    }),
  )

const pitch = (step: string, alter: string, octave: number): string =>
  `<pitch><step>${step}</step>${alter}<octave>${octave}</octave></pitch>`

/** The first bar with notes of the part's own. */
const firstNoted = (measures: readonly string[]): number => measures.findIndex(isNoted)

const everywhere = (name: string, change: (text: string, random: Random) => string): Shape =>
  shape('VA9', name, (scene, random) =>
    written(scene, random, (measures) => {
      const bar = firstNoted(measures)
      const changedMeasures = measures.map((text) => change(text, random))
      return bar < 0 || changedMeasures.every((text, index) => text === measures[index])
        ? undefined
        : { bar, measures: changedMeasures }
    }),
  )

const VA9: readonly Shape[] = [
  barShape('VA9', 'a melody name that sounds otherwise', (bar, random) => {
    const place = random(bar.melody.length || 1)
    const note = bar.melody[place]
    return note && withMelody(bar, place, { midi: note.midi + 1 + random(3) })
  }),
  barShape('VA9', 'a part name that sounds otherwise', (bar, random, scene) => {
    const id = draw(
      partsOf(scene, 'lead', 'horn', 'chords', 'bass').filter((part) => (bar.parts[part] ?? []).length > 0),
      random,
    )
    const notes = id === undefined ? [] : (bar.parts[id] ?? [])
    const place = random(notes.length || 1)
    const note = notes[place]
    return id === undefined || !note
      ? undefined
      : withPart(bar, id, changed(notes, place, { midi: note.midi + (random(2) === 0 ? 1 : -1) * (1 + random(12)) }))
  }),
  barShape('VA9', 'a part name that is none', (bar, random, scene) => {
    const id = draw(
      partsOf(scene, 'lead', 'horn', 'bass').filter((part) => (bar.parts[part] ?? []).length > 0),
      random,
    )
    const notes = id === undefined ? [] : (bar.parts[id] ?? [])
    return id === undefined
      ? undefined
      : withPart(
          bar,
          id,
          changed(notes, random(notes.length), { name: draw(['H4', '', 'x', 'C', '4'], random) as string }),
        )
  }),
  barShape('VA9', 'a cue that is not the melody', (bar, random, scene) => {
    const cued = partsOf(scene, 'lead', 'horn').filter((part) =>
      (bar.parts[part] ?? []).some(({ printed }) => printed === 'cue'),
    )
    const id = draw(cued, random)
    const notes = id === undefined ? [] : (bar.parts[id] ?? [])
    const place = random(notes.length || 1)
    const note = notes[place]
    if (id === undefined || !note) return undefined
    const midi = note.midi + (random(2) === 0 ? 1 : -1) * (1 + random(5))
    return withPart(bar, id, changed(notes, place, { midi, name: pitchInKey(midi, bar.key) }))
  }),
  inMeasure('one written note an octave off', (step, alter, octave, random) =>
    pitch(step, alter, octave + (random(2) === 0 ? 1 : -1)),
  ),
  inMeasure('one written note on another line', (step, alter, octave) =>
    pitch(LETTERS[(LETTERS.indexOf(step) + 2) % 7] as string, alter, octave),
  ),
  inMeasure('one written note a half step off', (step, alter, octave) =>
    pitch(step, alter.includes('1') ? '' : `<alter>${step === 'C' || step === 'F' ? 1 : -1}</alter>`, octave),
  ),
  shape('VA9', 'one written note left out', (scene, random) =>
    written(scene, random, (measures) => {
      const places = measures.flatMap((text, index) => (isNoted(text) && !/<tie type="/.test(text) ? [index] : []))
      const bar = draw(places, random)
      return bar === undefined
        ? undefined
        : {
            bar,
            measures: measures.map((own, index) =>
              index === bar ? changeFirst(own, (note) => note.replace(NOTE, '<rest/>')) : own,
            ),
          }
    }),
  ),
  everywhere('the whole written part an octave off', (text) =>
    text.replace(
      /<octave>(\d)<\/octave>(?=\s*<\/pitch>)/g,
      (_all, octave: string) => `<octave>${Number(octave) - 1}</octave>`,
    ),
  ),
  everywhere('transposed the wrong way', (text) =>
    text.replace(
      /<(diatonic|chromatic)>(-?)(\d+)</g,
      (_all, what: string, sign: string, size: string) => `<${what}>${sign === '-' || size === '0' ? '' : '-'}${size}<`,
    ),
  ),
  everywhere('the transposition forgotten', (text) => text.replace(/<transpose>[\s\S]*?<\/transpose>/g, '')),
  shape('VA9', 'a wrong key signature in the written part', (scene, random) =>
    written(scene, random, (measures) => {
      const signed = measures.flatMap((text, index) => (/<fifths>/.test(text) ? [index] : []))
      const bar = draw(signed, random)
      const by = random(2) === 0 ? 2 : -2
      if (bar === undefined) return undefined
      return {
        bar,
        measures: measures.map((own, index) =>
          index === bar
            ? own.replace(
                /<fifths>(-?\d)</,
                (_all, fifths: string) =>
                  `<fifths>${Math.abs(Number(fifths) + by) > 7 ? Number(fifths) - by : Number(fifths) + by}<`,
              )
            : own,
        ),
      }
    }),
  ),
]

export const SPELLING_SHAPES: readonly Shape[] = [...VA3, ...VA9]
