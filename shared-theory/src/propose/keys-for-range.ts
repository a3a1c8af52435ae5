/** The keys in which a lead's melody lies well: all twelve tried, from the tune's own key outwards. */
import { compileForm, planShape } from '../compile/index.js'
import type { ArrangedBar, KeyFit, KeyName, KeySignature, PartSpec, Plan, Tune } from '../contract/index.js'
import { findInstrument } from '../instruments/index.js'
import { isFields } from '../tune/index.js'
import { isMinorKey, keyAway, noteOfFifths, pitchInKey } from '../units/index.js'
import { writtenInterval, writtenKey } from '../write/index.js'

const LOWEST = -5
const HIGHEST = 6
/** Accidentals a player reads without a thought; each more costs a little. Source: judgement. */
const EASY_ACCIDENTALS = 4

/** One answer for every distance from −5 to +6 half steps (how the compiler moves to a key), best first. The range is that of the whole
 *  arrangement's lead, lifts included. Keys that fit come first, those nearest the middle of the range before others; signatures of
 *  more than four accidentals, in any player's part and after any lift, and keys far from the tune's own cost a little. The reason
 *  says how much room there is and what the transposing players read. A tune without melody fits everywhere. */
export function keysForRange(given: Tune, wanted: Plan, asked: readonly [lowMidi: number, highMidi: number]): KeyFit[] {
  const { key: _key, ...rest } = isFields(wanted) ? wanted : ({} as Partial<Plan>)
  const { plan } = planShape({ ...rest, tune: given })
  const { tune } = plan
  const range = rangeOf(asked)
  const { bars } = compileForm(plan)
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const { melody } of bars) {
    for (const { midi } of melody) {
      low = Math.min(low, midi)
      high = Math.max(high, midi)
    }
  }
  if (low > high) [low, high] = range
  const frame: Frame = { tune, low, high, range, keys: keysOf(bars, tune), lineup: plan.lineup }
  const fits: KeyFit[] = []
  for (let semitones = LOWEST; semitones <= HIGHEST; semitones++) fits.push(fitOf(semitones, frame))
  return fits.sort(
    (a, b) => b.score - a.score || Math.abs(a.semitones) - Math.abs(b.semitones) || b.semitones - a.semitones,
  )
}

/** Two MIDI numbers, low first; the whole keyboard where they are none. */
function rangeOf(asked: unknown): readonly [low: number, high: number] {
  const [low, high] = Array.isArray(asked) ? (asked as readonly unknown[]) : []
  const isRange = typeof low === 'number' && typeof high === 'number' && low >= 0 && high <= 127 && low <= high
  return isRange ? [low, high] : [0, 127]
}

interface Frame {
  readonly tune: Tune
  readonly low: number
  readonly high: number
  readonly range: readonly [low: number, high: number]
  /** Keys the arrangement goes through, in order, each once. */
  readonly keys: readonly KeySignature[]
  readonly lineup: readonly PartSpec[]
}

function keysOf(bars: readonly ArrangedBar[], tune: Tune): readonly KeySignature[] {
  const keys = new Map(bars.map(({ key }) => [key.key, key]))
  return keys.size > 0 ? [...keys.values()] : [tune.key]
}

function fitOf(semitones: number, { tune, low, high, range, keys, lineup }: Frame): KeyFit {
  const [rangeLow, rangeHigh] = range
  const key = keyAway(tune.key, semitones)
  const lowMidi = low + semitones
  const highMidi = high + semitones
  const below = Math.max(0, rangeLow - lowMidi)
  const above = Math.max(0, highMidi - rangeHigh)
  const isInside = below === 0 && above === 0
  const offCentre = Math.abs(lowMidi + highMidi - rangeLow - rangeHigh) / 2
  const reading = readingOf(
    keys.map((own) => keyAway(own, semitones)),
    lineup,
  )
  const effort = Math.max(0, reading.most - EASY_ACCIDENTALS) / 50
  const score = isInside
    ? 1 - Math.min(0.3, offCentre / 40) - Math.abs(key.fifths) / 100 - effort - Math.abs(semitones) / 200
    : 0.45 - Math.min(0.4, (below + above) / 30) - effort / 10 - Math.abs(semitones) / 400
  const lowest = pitchInKey(lowMidi, key)
  const highest = pitchInKey(highMidi, key)
  const out = [
    ...(below > 0 ? [`${lowest} is ${halfSteps(below)} too low`] : []),
    ...(above > 0 ? [`${highest} is ${halfSteps(above)} too high`] : []),
  ]
  const room = isInside
    ? `${lowest} to ${highest}: ${spare(rangeHigh - highMidi)} above, ${spare(lowMidi - rangeLow)} below.`
    : `${out.join(', ')}.${octaveWords(lowMidi, highMidi, range)}`
  return {
    key: key.key,
    semitones,
    lowMidi,
    highMidi,
    fits: isInside,
    score: Math.round(Math.max(0, score) * 1000) / 1000,
    reason: `${room}${reading.words}`,
  }
}

/** What the transposing players read through the keys of the arrangement, and the most accidentals anybody has. */
function readingOf(keys: readonly KeySignature[], lineup: readonly PartSpec[]): { words: string; most: number } {
  let most = Math.max(...keys.map(({ fifths }) => Math.abs(fifths)))
  const byReading = new Map<string, string[]>()
  for (const part of lineup) {
    const instrument = findInstrument(part.instrument)
    const interval = instrument && writtenInterval(instrument, 'written')
    if (!instrument || !interval || instrument.transposeSemitones % 12 === 0) continue
    const written = keys.map((key) => ({ fifths: writtenKey(key, interval).fifths, key }))
    most = Math.max(most, ...written.map(({ fifths }) => Math.abs(fifths)))
    const names = [...new Set(written.map(({ fifths, key }) => nameOf(fifths, key)))]
    const reading = names.join(', then ')
    byReading.set(reading, [...(byReading.get(reading) ?? []), part.name])
  }
  const said = [...byReading].map(([reading, names]) => `${names.join(' and ')}: ${reading}`)
  return { words: said.length > 0 ? ` Written for ${said.join('; ')}.` : '', most }
}

/** A written signature as a key of the sounding one's mode. */
const nameOf = (fifths: number, { key }: KeySignature): KeyName =>
  isMinorKey(key) ? `${noteOfFifths(fifths + 3)} minor` : `${noteOfFifths(fifths)} major`

const spare = (count: number): string => (count === 0 ? 'nothing to spare' : `${halfSteps(count)} to spare`)

/** A voice that reads the tune where it is written may well sing it an octave away. */
function octaveWords(lowMidi: number, highMidi: number, [low, high]: Frame['range']): string {
  const fits = (shift: number): boolean => lowMidi + shift >= low && highMidi + shift <= high
  if (fits(-12)) return ' An octave lower it lies inside.'
  return fits(12) ? ' An octave higher it lies inside.' : ''
}

const halfSteps = (count: number): string => (count === 1 ? 'a half step' : `${count} half steps`)
