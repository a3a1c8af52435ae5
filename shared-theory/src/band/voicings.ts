/** The hand's voicing of every chord: least movement inside the groove's register, thinner when quiet, under the melody. */
import type { VoicingOptions } from '../contract/index.js'
import { LOW_INTERVAL_LIMITS, memberOf, voiceProgression } from '../chords/index.js'
import { mod, pitchClass } from '../units/index.js'
import type { BarFrame, ChordSpan, Extent, Frames } from './frame.js'
import { guitarVoicing } from './guitar-hand.js'
import { rubsUnder } from './melody-room.js'

/** The top voice stays so far below the melody, or doubles it. */
const BELOW_MELODY = 3
/** A hand needs so many half steps; four voices need more. */
const LEAST_REGISTER = 15
const FOUR_VOICE_REGISTER = 19
const THREE_VOICE_REGISTER = 10
/** Lowest place for a third and seventh alone: fourths and fifths are clear from B♭2. Source: low-interval limits, Lowell & Pullig 2003. */
const GUIDE_TONES_LOW = 46
/** Half steps in which third and seventh have a place whatever the chord, and the highest place from which chords above a low voice still
 *  sound like a piano. Source: from memory. */
const LEAST_BELOW_VOICE = 7
const HIGHEST_ABOVE_VOICE = 70

type Style = NonNullable<VoicingOptions['style']>
const STYLES: { readonly [kind: string]: Style } = {
  rootless: 'rootless',
  spread: 'spread',
  close: 'close',
  octaves: 'close',
  quartal: 'quartal',
}

interface Register {
  readonly voices: number
  readonly style: Style
  readonly range: readonly [number, number]
}

/** MIDI of every span's voicing by span index for a guitarist: what one hand holds; empty under N.C. */
export function guitarVoicingsOf(frames: Frames): readonly (readonly number[])[] {
  const known = new Map<string, readonly number[]>()
  let before: readonly number[] | undefined
  return frames.bars.flatMap((frame) => {
    const { voices, range } = registerOf(frame, frames.extents.get(frame.sectionOrdinal))
    return frame.chords.map((span) => {
      if (span.bassPc === undefined) return []
      const id = `${span.chord.symbol} ${voices} ${range[1]} ${before?.join() ?? ''}`
      const voicing = known.get(id) ?? guitarVoicing(span, { voices, high: range[1] }, before)
      known.set(id, voicing)
      if (voicing.length > 0) before = voicing
      return voicing
    })
  })
}

/** MIDI of every span's voicing by span index for a keyboard; empty under N.C. */
export function voicingsOf(frames: Frames): readonly (readonly number[])[] {
  const voiced: (readonly number[])[] = frames.spans.map(() => [])
  let run: ChordSpan[] = []
  let register: Register | undefined
  const close = () => {
    if (!register || run.length === 0) return
    const first = run[0] && voiced[run[0].index - 1]
    const isWhole = first !== undefined && first.length === register.voices
    const voicings = voiceProgression(
      run.map(({ chord }) => chord),
      { ...register, ...(isWhole ? { first } : {}) },
    )
    run.forEach((span, index) => (voiced[span.index] = withoutMud(voicings[index]?.midi ?? [])))
    run = []
  }
  for (const frame of frames.bars) {
    const next = registerOf(frame, frames.extents.get(frame.sectionOrdinal))
    if (!register || !sameRegister(register, next)) close()
    register = next
    run.push(...frame.chords)
  }
  close()
  return voiced
}

/** Where no clean voicing was to be had, the lower note of a muddy interval is left out. */
function withoutMud(midi: readonly number[]): readonly number[] {
  return midi.filter((low, index) => {
    const next = midi[index + 1]
    return next === undefined || low >= (LOW_INTERVAL_LIMITS[next - low] ?? 0)
  })
}

/** A voicing under a melody note: what would crowd it is left out; where too little remains, third and seventh lower down. */
export function underMelody(
  midi: readonly number[],
  melody: number | undefined,
  span: ChordSpan,
  sung?: Extent,
): readonly number[] {
  if (melody === undefined || midi.length === 0) return midi
  const lowest = midi[0] as number
  // Above a low voice: what makes a minor ninth with it is left out.
  if (sung && lowest >= sung[1] + BELOW_MELODY) return midi.filter((note) => !rubsUnder(melody, note, span.chord))
  const clear = midi.filter(
    (note) => (note <= melody - BELOW_MELODY && !rubsUnder(note, melody, span.chord)) || note === melody,
  )
  if (clear.length >= Math.min(2, midi.length)) return clear
  return guideTones(span, melody - BELOW_MELODY).filter((note) => !rubsUnder(note, melody, span.chord))
}

/** What is struck and held also keeps clear of the melody notes that come while it sounds, where two notes at least remain. */
export function underComing(
  midi: readonly number[],
  coming: readonly number[],
  span: ChordSpan,
  sung?: Extent,
): readonly number[] {
  if (sung && (midi[0] ?? 0) > sung[1]) return midi
  const clear = midi.filter((note) => coming.every((melody) => note <= melody && !rubsUnder(note, melody, span.chord)))
  return clear.length >= 2 ? clear : midi
}

/** Third and seventh alone, as high as they may lie. */
export function guideTones(span: ChordSpan, high: number): readonly number[] {
  const notes: number[] = []
  for (const member of [3, 7] as const) {
    const name = memberOf(span.chord, member)
    if (name === undefined) continue
    const midi = high - mod(high - pitchClass(name), 12)
    if (midi >= GUIDE_TONES_LOW && !notes.includes(midi)) notes.push(midi)
  }
  return notes.sort((a, b) => a - b)
}

function registerOf(frame: BarFrame, extent: Extent | undefined): Register {
  const { voicing } = frame.groove
  const whole: Extent = [voicing.lowMidi, voicing.highMidi]
  const [low, high] =
    extent === undefined || frame.isSolo ? whole : frame.sung ? besideVoice(frame.sung, whole) : under(extent[0], whole)
  const room = high - low
  const isNarrow = room < FOUR_VOICE_REGISTER && STYLES[voicing.kind] !== 'rootless'
  const voices = room < THREE_VOICE_REGISTER ? 2 : frame.level <= 2 || isNarrow || room < LEAST_REGISTER ? 3 : 4
  const style = isNarrow ? 'rootless' : (STYLES[voicing.kind] ?? 'any')
  return { voices, style, range: [low, high] }
}

/** Below a line, as far as a hand needs. */
function under(melodyLow: number, [low, high]: Extent): Extent {
  return [low, Math.max(low + LEAST_REGISTER, Math.min(high, melodyLow - BELOW_MELODY))]
}

/** Out of a singer's way altogether: below everything they sing, above it where they sing low; where neither has room for two notes, under
 *  each note as under other leads. */
function besideVoice([lowest, highest]: Extent, whole: Extent): Extent {
  const high = Math.min(whole[1], lowest - BELOW_MELODY)
  if (high - GUIDE_TONES_LOW >= LEAST_BELOW_VOICE)
    return [Math.min(whole[0], Math.max(GUIDE_TONES_LOW, high - LEAST_REGISTER)), high]
  const low = highest + BELOW_MELODY
  return low <= HIGHEST_ABOVE_VOICE ? [low, low + LEAST_REGISTER] : under(lowest, whole)
}

function sameRegister(a: Register, b: Register): boolean {
  return a.voices === b.voices && a.style === b.style && a.range[0] === b.range[0] && a.range[1] === b.range[1]
}
