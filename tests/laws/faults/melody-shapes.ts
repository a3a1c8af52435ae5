/** Melody against chord (VA2). */
import { type ArrangedBar, type Chord, chord, parseChord, pitchClass, pitchInKey } from '@chartloft/shared-theory'
import { type Shape, barShape, changed, draw, endOf, withChords, withMelody } from './fault.js'
import type { Random, Scene } from './scene.js'

const QUARTER = 5040

/** Hard degrees above the root. Source: the fit table of the rules, typed again so that the table itself is under test. */
const HARD: { readonly [suffix: string]: readonly number[] } = {
  maj7: [1, 3, 8, 10],
  '6': [1, 3, 8, 10],
  m7: [1, 4, 6, 8, 11],
  m6: [1, 4, 6, 8, 10],
  '7': [11],
  '7sus': [3, 4, 6, 11],
  m7b5: [4, 7, 9, 11],
  dim7: [1, 4, 7, 10],
}
const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']

const beatOf = ({ metre }: ArrangedBar): number => {
  const unit = (QUARTER * 4) / metre.beatType
  return metre.beatType >= 8 && metre.beats % 3 === 0 && metre.beats > 3 ? 3 * unit : unit
}

/** A note that cannot pass: the bar's first, or a beat or longer — longer than one where another metre has drawn the tune's notes out. */
function standing(bar: ArrangedBar, random: Random, { plan }: Scene): number | undefined {
  const beat = beatOf(bar)
  const places = bar.melody.flatMap((note, place) => {
    const was = note.source && plan.tune.bars[note.source.bar]?.melody[note.source.index]
    const isDrawnOut = was !== undefined && was.durationTicks < note.durationTicks
    return note.startTick === 0 || note.durationTicks >= (isDrawnOut ? beat + 1 : beat) ? [place] : []
  })
  return draw(places, random)
}

function clashing(pc: number, suffix: string, random: Random): Chord | undefined {
  const degree = draw(HARD[suffix] ?? [], random)
  return degree === undefined ? undefined : chord(`${ROOTS[(pc - degree + 12) % 12]}${suffix}`)
}

const chordAgainst = (suffix: string): Shape =>
  barShape('VA2', `a chord the melody refuses: ${suffix}`, (bar, random, scene) => {
    const place = standing(bar, random, scene)
    const note = place === undefined ? undefined : bar.melody[place]
    const wrong = note && clashing(note.midi % 12, suffix, random)
    return wrong && withChords(bar, [{ startTick: 0, durationTicks: bar.lengthTicks, chord: wrong }])
  })

const SUFFIX_OF: { readonly [kind: string]: string } = {
  'major-seventh': 'maj7',
  'major-sixth': '6',
  'minor-seventh': 'm7',
  'minor-sixth': 'm6',
  dominant: '7',
  'half-diminished': 'm7b5',
  'diminished-seventh': 'dim7',
}

/** A pitch that clashes with a chord, near the melody's place. */
function wrongPitch({ root, kind, degrees, bass }: Chord, random: Random): number | undefined {
  const degree =
    degrees.length === 0 && bass === undefined ? draw(HARD[SUFFIX_OF[kind] ?? ''] ?? [], random) : undefined
  return degree === undefined ? undefined : 60 + ((pitchClass(root) + degree) % 12)
}

export const MELODY_SHAPES: readonly Shape[] = [
  ...Object.keys(HARD).map(chordAgainst),
  barShape('VA2', 'a wrong melody note held through the bar', (bar, random) => {
    const only = bar.chords.length === 1 ? bar.chords[0] : undefined
    const midi = only && wrongPitch(only.chord, random)
    return midi === undefined
      ? undefined
      : { ...bar, melody: [{ startTick: 0, durationTicks: bar.lengthTicks, midi, name: pitchInKey(midi, bar.key) }] }
  }),
  barShape('VA2', 'one melody note of a bar wrong', (bar, random, scene) => {
    const place = standing(bar, random, scene)
    const note = place === undefined ? undefined : bar.melody[place]
    const over =
      note && bar.chords.find((placed) => placed.startTick <= note.startTick && endOf(placed) > note.startTick)
    const midi = over && wrongPitch(over.chord, random)
    // A pitch the bar has already may be a clash of the tune's own, told before the fault was there.
    if (place === undefined || midi === undefined || bar.melody.some((own) => own.midi % 12 === midi % 12))
      return undefined
    return withMelody(bar, place, { midi, name: pitchInKey(midi, bar.key) })
  }),
  barShape('VA2', 'the second chord of a bar wrong', (bar, random) => {
    const place = bar.chords.length - 1
    const placed = bar.chords[place]
    const note =
      placed &&
      bar.melody.find(({ startTick, durationTicks }) => startTick === placed.startTick && durationTicks >= beatOf(bar))
    const wrong =
      note && place > 0 ? clashing(note.midi % 12, draw(Object.keys(HARD), random) as string, random) : undefined
    return wrong && withChords(bar, changed(bar.chords, place, { chord: wrong }))
  }),
  barShape('VA2', 'minor for major, major for minor', (bar, random, scene) => {
    const place = standing(bar, random, scene)
    const note = place === undefined ? undefined : bar.melody[place]
    const at = bar.chords.findIndex(
      (placed) => note !== undefined && placed.startTick <= note.startTick && endOf(placed) > note.startTick,
    )
    const own = bar.chords[at]?.chord
    if (!note || !own || own.bass !== undefined || own.root === '') return undefined
    const suffix = /^minor(-seventh)?$/.test(own.kind)
      ? 'maj7'
      : /^major(-seventh|-sixth)?$/.test(own.kind)
        ? 'm7'
        : undefined
    if (suffix === undefined) return undefined
    const other = parseChord(`${own.root}${suffix}`)
    const degree = (note.midi - pitchClass(own.root) + 24) % 12
    const isHard = (HARD[suffix] ?? []).includes(degree)
    return other.ok && isHard ? withChords(bar, changed(bar.chords, at, { chord: other.value })) : undefined
  }),
]
