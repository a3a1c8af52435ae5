/** How notes are played against how they are written: swing, lay-back, anticipation, length, and the small unevenness of people.
 *  Moves play ticks only; what is written stays. Percentages and milliseconds from memory where no source is named. */
import type { ArrangedBar, Arrangement } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { fitOf } from '../fit/index.js'
import { instrumentOf } from '../instruments/index.js'
import {
  type Groove,
  defaultGroove,
  findGroove,
  grooveLayBackMsAt,
  grooveOfBar,
  grooveRatioAt,
  isTripletSpan,
  swingRatioAt,
  swungTick,
} from '../rhythm/index.js'
import { barTicks, groupStarts, mod, nameOfPitch, seeded } from '../units/index.js'
import type { StruckNote } from './collect-notes.js'
import { usableBpm } from './tempo-map.js'

const EIGHTH = TICKS_PER_QUARTER / 2
const MS_A_MINUTE = 60_000
/** Onsets are uneven by at most this many ms, loudness by this many steps. */
export const JITTER_MS = 6
export const JITTER_VELOCITY = 5
/** In rubato the melody comes as much before the chord. */
export const FREE_MS = 30
/** A rolled rubato chord spreads so many ms from note to note, the top on the beat's time. */
const ROLL_MS = 35

export interface Phrased {
  readonly note: StruckNote
  playTick: number
  playEndTick: number
  velocity: number
  /** A held melody note that grows and falls. */
  readonly swells: boolean
}

export interface PhrasingOptions {
  readonly tempoScale: number
  readonly humanise: boolean
  readonly seed: number
}

/** What phrasing needs to know of one bar. */
interface BarFeel {
  readonly bar: ArrangedBar
  readonly startTick: number
  readonly groove: Groove
  readonly ratioHundredths: number
  /** What swings: pairs in a quarter; in double time pairs in an eighth. */
  readonly swungUnit: number
  readonly layBackMs: number
  readonly ticksAMs: number
  /** A pickup counts its beats from the bar it is the end of. */
  readonly phaseTicks: number
  readonly isSectionStart: boolean
  readonly isLast: boolean
}

/** Every note with the ticks it is played at; same order as given. */
export function phraseNotes(
  notes: readonly StruckNote[],
  arrangement: Arrangement,
  barStartTicks: readonly number[],
  options: PhrasingOptions,
): Phrased[] {
  const feels = feelsOf(arrangement, barStartTicks, options.tempoScale)
  const firstOfSection = firstNotes(notes, feels)
  const hits = barsOfHits(notes)
  const phrased = notes.map((note): Phrased => {
    const feel = feels[note.barIndex] as BarFeel
    const isHit = hits.has(note.barIndex) && !note.isMelody
    const isStraight = firstOfSection.has(note) || feel.isLast || isHit
    const late = isStraight ? 0 : layBackTicks(note, feel)
    const endFeel = feels[barAt(barStartTicks, note.endTick - 1, note.barIndex)] as BarFeel
    return {
      note,
      playTick: playedTick(note.startTick, note, feel) + late,
      playEndTick: playedTick(note.endTick, note, endFeel) + late,
      velocity: note.velocity,
      swells: isSwelled(note, feel),
    }
  })
  anticipate(phrased, feels, chordsHeardEarly(notes))
  const lastWords = phraseEnds(notes)
  for (const played of phrased) shorten(played, feels[played.note.barIndex] as BarFeel, lastWords.has(played.note))
  cutOffTogether(phrased, feels)
  rollRubatoChords(phrased, feels)
  if (options.humanise) for (const played of phrased) loosen(played, feels, options.seed)
  separateRepeats(phrased)
  return phrased
}

function feelsOf(arrangement: Arrangement, barStartTicks: readonly number[], tempoScale: number): readonly BarFeel[] {
  let steadyBpm = 0
  return arrangement.bars.map((bar, index) => {
    const before = arrangement.bars[index - 1]
    const bpm = usableBpm(bar.tempoBpm)
    // In a ritardando the ratio stays what it was at the starting tempo.
    const slows = before?.tempoEndBpm !== undefined && Math.abs(before.tempoEndBpm - bpm) < 0.01
    if (!slows || steadyBpm === 0) steadyBpm = bpm
    const chosen = findGroove(arrangement.groove) ?? defaultGroove(bar.metre, bpm)
    const groove = grooveOfBar(chosen, bar)
    const isDoubled = isDoubleTime(bar, groove)
    const countedBpm = steadyBpm * tempoScale * (isDoubled ? 2 : 1)
    const ratio = isDoubled ? swingRatioAt(countedBpm) : grooveRatioAt(groove, countedBpm)
    return {
      bar,
      startTick: barStartTicks[index] as number,
      groove,
      ratioHundredths: bar.metre.beatType > 4 ? 100 : ratio,
      swungUnit: isDoubled ? EIGHTH : TICKS_PER_QUARTER,
      layBackMs: grooveLayBackMsAt(groove, bpm * tempoScale),
      ticksAMs: (bpm * tempoScale * TICKS_PER_QUARTER) / MS_A_MINUTE,
      phaseTicks: index === 0 ? mod(barTicks(bar.metre) - bar.lengthTicks, TICKS_PER_QUARTER) : 0,
      isSectionStart: before?.sectionId !== bar.sectionId || before.pass !== bar.pass,
      isLast: index === arrangement.bars.length - 1,
    }
  })
}

/** A swung ride that strikes sixteenths plays double time: every beat is halved, and everybody swings by that. */
function isDoubleTime(bar: ArrangedBar, { ratio }: Groove): boolean {
  if (ratio === 100) return false
  return Object.values(bar.parts).some((notes) =>
    notes.some(({ name, startTick }) => name === 'ride' && startTick % EIGHTH === EIGHTH / 2),
  )
}

/** The written tick, moved to its swung place where the groove swings and the tick is no triplet. */
function playedTick(tick: number, note: StruckNote, feel: BarFeel): number {
  if (feel.ratioHundredths === 100 || note.isTuplet) return tick
  const { swungUnit } = feel
  const inBar = tick - feel.startTick + feel.phaseTicks
  const inBeat = mod(inBar, swungUnit)
  const inQuarter = mod(inBar, TICKS_PER_QUARTER)
  if (inBeat === 0 || isTripletSpan(inQuarter, inQuarter)) return tick
  const scale = TICKS_PER_QUARTER / swungUnit
  return tick - inBeat + Math.round(swungTick(inBeat * scale, feel.ratioHundredths) / scale)
}

/** Melody notes on the beat lay back, chords half as much; off the beat everybody is with the ride. */
function layBackTicks(note: StruckNote, feel: BarFeel): number {
  const { role } = note.part
  if (role === 'bass' || role === 'drums') return 0
  const beat = feel.bar.metre.beatType > 4 ? (TICKS_PER_QUARTER * 3) / 2 : TICKS_PER_QUARTER
  if (mod(note.startTick - feel.startTick + feel.phaseTicks, beat) !== 0) return 0
  const share = role === 'chords' && !note.isMelody ? 2 : 1
  return Math.round((feel.layBackMs * feel.ticksAMs) / share)
}

/** Notes at the first onset of each section: nobody lays back there. */
function firstNotes(notes: readonly StruckNote[], feels: readonly BarFeel[]): ReadonlySet<StruckNote> {
  const firstTick = new Map<string, number>()
  const key = (note: StruckNote) => `${note.barIndex}/${note.part.id}`
  for (const note of notes) {
    if (!feels[note.barIndex]?.isSectionStart) continue
    firstTick.set(key(note), Math.min(firstTick.get(key(note)) ?? Infinity, note.startTick))
  }
  return new Set(notes.filter((note) => firstTick.get(key(note)) === note.startTick))
}

/** Bars in which horns and chords strike the same rhythm, two strokes or more: hits, which nobody lays back. */
function barsOfHits(notes: readonly StruckNote[]): ReadonlySet<number> {
  const horns = new Map<number, Set<number>>()
  const chords = new Map<number, Set<number>>()
  for (const { part, barIndex, startTick, isMelody } of notes) {
    const struck = part.role === 'chords' ? chords : part.role === 'horn' ? horns : undefined
    if (!struck || isMelody) continue
    const own = struck.get(barIndex)
    if (own) own.add(startTick)
    else struck.set(barIndex, new Set([startTick]))
  }
  const isHit = (barIndex: number, own: ReadonlySet<number>): boolean => {
    const others = chords.get(barIndex)
    return own.size > 1 && others?.size === own.size && [...own].every((tick) => others.has(tick))
  }
  return new Set([...horns].flatMap(([barIndex, own]) => (isHit(barIndex, own) ? [barIndex] : [])))
}

/** Melody notes on beat 1 (or the middle of a 4/4 bar) that are long, free to move and agree with the chord before, or come with chords that
 *  are struck early too, come an eighth early: at most the groove's number in two bars, never in two bars running, never the first of a
 *  section, and not where the tune is whispered (level 1: softer than the groove's plain stroke). */
function anticipate(phrased: readonly Phrased[], feels: readonly BarFeel[], heardEarly: ReadonlySet<number>): void {
  const melody = phrased.filter(({ note }) => note.isMelody).sort((a, b) => a.note.startTick - b.note.startTick)
  const count = new Map<number, number>()
  melody.forEach((played, index) => {
    const { note } = played
    const feel = feels[note.barIndex] as BarFeel
    const before = melody[index - 1]
    const allowed = feel.groove.melody.anticipations
    const inPair = (count.get(note.barIndex) ?? 0) + (note.barIndex % 2 === 1 ? (count.get(note.barIndex - 1) ?? 0) : 0)
    if (!before || inPair >= allowed || (count.get(note.barIndex - 1) ?? 0) > 0 || feel.isLast) return
    if (!isAnticipationPlace(note, feel) || note.isTuplet || note.endTick - note.startTick < TICKS_PER_QUARTER) return
    const gap = note.startTick - before.note.endTick
    const beforeLength = before.note.endTick - before.note.startTick
    if (gap < EIGHTH && beforeLength < TICKS_PER_QUARTER) return
    if (before.note.endTick > note.startTick || note.velocity < feel.groove.dyn) return
    if (!agreesEarly(note, feels) && !heardEarly.has(note.startTick - EIGHTH)) return
    const early = earlyFeel(note, feels)
    if (!early) return
    const moved = playedTick(note.startTick - EIGHTH, note, early)
    played.playTick = moved
    before.playEndTick = Math.min(before.playEndTick, moved)
    count.set(note.barIndex, (count.get(note.barIndex) ?? 0) + 1)
  })
}

function isAnticipationPlace(note: StruckNote, feel: BarFeel): boolean {
  const inBar = note.startTick - feel.startTick
  if (inBar === 0) return !feel.isSectionStart
  const { metre, groups } = feel.bar
  const isCommon = metre.beats === 4 && metre.beatType === 4 && groupStarts(metre, groups).length <= 2
  return isCommon && inBar === 2 * TICKS_PER_QUARTER
}

/** The bar in which the early note falls; none before the first. */
function earlyFeel(note: StruckNote, feels: readonly BarFeel[]): BarFeel | undefined {
  const feel = feels[note.barIndex] as BarFeel
  return note.startTick > feel.startTick ? feel : feels[note.barIndex - 1]
}

/** Whether a melody note fits the chord that still sounds an eighth before it. */
function agreesEarly(note: StruckNote, feels: readonly BarFeel[]): boolean {
  const feel = earlyFeel(note, feels)
  if (!feel) return false
  const tick = note.startTick - EIGHTH - feel.startTick
  const placed = feel.bar.chords.filter(({ startTick }) => startTick <= tick).at(-1)
  return placed !== undefined && fitOf(placed.chord, nameOfPitch(note.name)) === 'ok'
}

/** Ticks, an eighth before a bar line, at which chords strike what is coming and hold it over the line: the melody may come with them. */
function chordsHeardEarly(notes: readonly StruckNote[]): ReadonlySet<number> {
  const found = new Set<number>()
  for (const { part, startTick, anticipates } of notes) if (part.role === 'chords' && anticipates) found.add(startTick)
  return found
}

/** Eighths of a line that a rest follows: said short in swing. */
function phraseEnds(notes: readonly StruckNote[]): ReadonlySet<StruckNote> {
  const ends = new Set<StruckNote>()
  const last = new Map<string, StruckNote>()
  const close = (note: StruckNote | undefined, nextTick: number) => {
    if (note && note.endTick - note.startTick <= EIGHTH && nextTick - note.endTick >= EIGHTH) ends.add(note)
  }
  for (const note of notes) {
    const { role, id } = note.part
    if (role !== 'lead' && role !== 'horn' && role !== 'voice') continue
    close(last.get(id), note.startTick)
    last.set(id, note)
  }
  for (const note of last.values()) close(note, Infinity)
  return ends
}

/** Three beats and more, on an instrument that can, in a groove that lets notes grow. */
function isSwelled(note: StruckNote, feel: BarFeel): boolean {
  const isHeld = note.isMelody && note.endTick - note.startTick >= 3 * TICKS_PER_QUARTER && !feel.isLast
  return isHeld && feel.groove.melody.held !== 'plain' && SWELLING.has(instrumentOf(note.part).family)
}

const SWELLING: ReadonlySet<string> = new Set(['voice', 'brass', 'reed', 'flute', 'string'])

/** How long notes sound: by the mark they carry, else melody and horns by the groove's articulation. */
function shorten(played: Phrased, feel: BarFeel, isLastWord: boolean): void {
  const { note } = played
  if (note.part.role === 'drums') return
  const written = note.endTick - note.startTick
  const length = Math.max(1, played.playEndTick - played.playTick)
  const percent = note.articulation
    ? MARKED_PERCENT[note.articulation]
    : articulationPercent(note, feel, written, isLastWord)
  const share = Math.round((length * percent) / 100)
  // However long it is tied, a note that carries no mark is let go an eighth early at most.
  const sounding = note.articulation ? share : Math.max(share, length - EIGHTH)
  played.playEndTick = played.playTick + Math.max(1, sounding)
  if (note.isMelody && written >= 3 * TICKS_PER_QUARTER && !feel.isLast)
    played.playEndTick = Math.min(played.playEndTick, played.playTick + length - breathTicks(feel))
}

/** Who holds the last chord to the end lets it go with everybody else, however the note began. */
function cutOffTogether(phrased: readonly Phrased[], feels: readonly BarFeel[]): void {
  const last = feels.at(-1)
  if (!last) return
  const end = last.startTick + last.bar.lengthTicks
  for (const played of phrased) {
    const { note } = played
    const isHeld = note.endTick >= end && end - Math.max(note.startTick, last.startTick) > TICKS_PER_QUARTER
    if (isHeld && note.articulation === undefined) played.playEndTick = Math.max(played.playTick + 1, end)
  }
}
/** A held note ends an eighth before the next phrase; over a samba, which goes on without a brake, a quarter. */
const breathTicks = ({ groove }: BarFeel): number => (groove.id === 'samba' ? TICKS_PER_QUARTER : EIGHTH)

const MARKED_PERCENT: { readonly [mark in NonNullable<StruckNote['articulation']>]: number } = {
  staccato: 50,
  tenuto: 97,
  accent: 90,
  marcato: 75,
  fall: 85,
}

function articulationPercent(note: StruckNote, feel: BarFeel, writtenTicks: number, isLastWord: boolean): number {
  const { role } = note.part
  if (role === 'bass') return 95
  if (role === 'chords' && !note.isMelody) return 95
  const isQuarter = writtenTicks === TICKS_PER_QUARTER
  // A samba's melody is short where it moves in quarters, as a cha-cha's is.
  if (feel.groove.id === 'samba' && isQuarter) return 60
  switch (feel.groove.melody.articulation) {
    case 'legato':
      return 97
    case 'short':
      return isQuarter ? 60 : 85
    case 'swing':
      if (isQuarter) return 70
      if (isLastWord) return 50
      return writtenTicks < TICKS_PER_QUARTER ? 97 : 92
    default:
      return 90
  }
}

/** In rubato a chord is rolled from low to high, its top note on the beat's time. */
function rollRubatoChords(phrased: readonly Phrased[], feels: readonly BarFeel[]): void {
  const chords = new Map<string, Phrased[]>()
  for (const played of phrased) {
    const { note } = played
    if (note.part.role !== 'chords' || note.isMelody || feels[note.barIndex]?.groove.feel !== 'rubato') continue
    const key = `${note.part.id}/${note.startTick}`
    chords.set(key, [...(chords.get(key) ?? []), played])
  }
  for (const chord of chords.values()) {
    chord.sort((a, b) => b.note.midi - a.note.midi)
    chord.forEach((played, below) => {
      const feel = feels[played.note.barIndex] as BarFeel
      played.playTick = Math.max(0, played.playTick - Math.round(below * ROLL_MS * feel.ticksAMs))
    })
  }
}

/** Seeded unevenness: one offset an onset for the whole rhythm section, so that what coincides stays together, another for the melody. */
function loosen(played: Phrased, feels: readonly BarFeel[], seed: number): void {
  const { note } = played
  const feel = feels[note.barIndex] as BarFeel
  const leads = note.isMelody || note.part.role === 'lead' || note.part.role === 'horn' || note.part.role === 'voice'
  // Two draws: small offsets are likelier than large ones.
  const draw = seeded(mixed(seed, note.startTick, leads ? 1 : 0))
  const isFree = note.isMelody && feel.groove.feel === 'rubato'
  const onset = isFree ? -draw(FREE_MS + 1) : (draw(2 * JITTER_MS + 1) + draw(2 * JITTER_MS + 1)) / 2 - JITTER_MS
  // Towards nothing, so that no rounding carries it past its bound.
  const offset = Math.trunc(onset * feel.ticksAMs)
  const moved = Math.max(0, played.playTick + offset)
  played.playEndTick += moved - played.playTick
  played.playTick = moved
  const louder = seeded(mixed(seed, note.startTick, 2 + note.midi))(2 * JITTER_VELOCITY + 1) - JITTER_VELOCITY
  played.velocity = Math.min(127, Math.max(1, played.velocity + louder))
}

const mixed = (seed: number, tick: number, salt: number): number =>
  Math.imul(seed ^ Math.imul(tick + 1, 0x9e3779b1), 0x85ebca6b) ^ Math.imul(salt + 1, 0xc2b2ae35)

/** A pitch struck again stops the stroke before it on the same part. */
function separateRepeats(phrased: readonly Phrased[]): void {
  const voices = new Map<string, Phrased[]>()
  for (const played of phrased) {
    const key = `${played.note.part.id}/${played.note.midi}`
    const voice = voices.get(key)
    if (voice) voice.push(played)
    else voices.set(key, [played])
  }
  for (const voice of voices.values()) {
    voice.sort((a, b) => a.playTick - b.playTick)
    voice.forEach((played, index) => {
      const next = voice[index + 1]
      const end = next ? Math.min(played.playEndTick, next.playTick) : played.playEndTick
      played.playEndTick = Math.max(played.playTick + 1, end)
    })
  }
}

function barAt(barStartTicks: readonly number[], tick: number, from: number): number {
  let index = from
  while (index + 1 < barStartTicks.length && (barStartTicks[index + 1] as number) <= tick) index++
  return index
}
