/** Which groove plays where nothing was chosen, or where a bar's metre is not the groove's own; total for every metre. */
import type { Metre, Tune } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { defaultGroups, mod, must, sameMetre } from '../units/index.js'
import { bassRow, cells, drumRows } from './grid.js'
import type { Groove } from './groove.js'
import { GROOVES } from './grooves/index.js'
import { RUBATO } from './grooves/rubato.js'
import { isTurned, turnedGroove } from './rotate.js'

const BY_ID: ReadonlyMap<string, Groove> = new Map(GROOVES.map((groove) => [groove.id, groove]))
const TURNED: ReadonlyMap<string, Groove> = new Map(
  GROOVES.flatMap((groove) => {
    const turned = turnedGroove(groove)
    return turned ? [[groove.id, turned] as const] : []
  }),
)
const PLAIN_ID = /^plain-(\d{1,3})-(2|4|8|16)$/

/** A groove of the catalogue, or the plain one of a metre ('plain-9-8'). */
export function findGroove(id: string): Groove | undefined {
  const plain = PLAIN_ID.exec(id)
  if (plain && Number(plain[1]) > 0)
    return plainGroove({ beats: Number(plain[1]), beatType: Number(plain[2]) as Metre['beatType'] })
  return BY_ID.get(id)
}

/** Whether a groove's patterns fit a bar of this metre; 2/2 is played as 4/4. */
export function playsIn(groove: Groove, metre: Metre): boolean {
  return groove.metre === 'any' || sameMetre(groove.metre, asCounted(metre))
}

/** What plays where nothing was chosen. Source: common practice of a small band. */
export function defaultGroove(metre: Metre, tempoBpm?: number): Groove {
  const counted = asCounted(metre)
  const byTempo = (slow: string, slowBelow: number, middle: string, fast: string, fastAbove: number): Groove => {
    if (tempoBpm !== undefined && tempoBpm < slowBelow) return named(slow)
    return tempoBpm !== undefined && tempoBpm > fastAbove ? named(fast) : named(middle)
  }
  switch (`${counted.beats}/${counted.beatType}`) {
    case '4/4':
      return byTempo('ballad-swing', 84, 'swing-medium', 'swing-fast', 190)
    case '3/4':
      return named('jazz-waltz')
    case '6/8':
      // Two dotted quarters at 73 or more are a dance, no ballad.
      return byTempo('ballad-6-8', 0, 'ballad-6-8', plainId(counted), 110)
    case '12/8':
      return named('afro-12-8')
    case '5/4':
      return named('five-4')
    case '7/4':
      return byTempo('seven-4-even', 0, 'seven-4-even', 'seven-4-fast', 156)
    default:
      return plainGroove(counted)
  }
}

/** Quarters a minute of a jig where nobody says: 115 dotted quarters. Source: common practice (110 to 130 for dancing). */
const JIG_BPM = 172
/** Melody notes to a dotted quarter from which a tune in threes is a dance: jigs run in eighths, songs mix quarters with eighths. Measured
 *  on traditional tunes: jigs 2.5 to 2.9, songs and carols 1.4 to 2.1. */
const NOTES_OF_A_JIG = 2.3

/** The tempo a tune is played at: its own; where it says none, a jig's for a tune in threes that runs in eighths; else undefined, and the
 *  groove's own is taken. */
export function tempoOf({ tempoBpm, metre, bars }: Pick<Tune, 'tempoBpm' | 'metre' | 'bars'>): number | undefined {
  if (tempoBpm !== undefined || !isCompound(metre) || metre.beats > 9) return tempoBpm
  const beats = bars.reduce((sum, { lengthTicks }) => sum + lengthTicks, 0) / DOTTED_QUARTER
  const notes = bars.reduce((sum, { melody }) => sum + melody.length, 0)
  return beats > 0 && notes / beats >= NOTES_OF_A_JIG ? JIG_BPM : undefined
}

const DOTTED_QUARTER = (TICKS_PER_QUARTER * 3) / 2
const isCompound = ({ beats, beatType }: Metre): boolean => beatType === 8 && beats > 3 && beats % 3 === 0
const plainId = ({ beats, beatType }: Metre): string => `plain-${beats}-${beatType}`

interface GroovedBar {
  readonly feel: string
  readonly metre: Metre
  readonly groups: readonly number[]
  readonly tempoBpm: number
}

/** The groove a bar is really played in: rubato where the bar says so; the arrangement's groove where the metre fits; else a
 *  relative of the same feel in that metre, else the plain pattern of the metre with the groove's sound. A bar whose groups stand
 *  the other way round (3+4, 2+3) gets its patterns turned. */
export function grooveOfBar(groove: Groove, bar: GroovedBar): Groove {
  const found = grooveInMetre(groove, bar)
  return (isTurned(found, bar.groups) && TURNED.get(found.id)) || found
}

function grooveInMetre(groove: Groove, bar: GroovedBar): Groove {
  if (bar.feel === 'rubato') return RUBATO
  const fits = (candidate: Groove) => candidate.metre !== 'any' && playsIn(candidate, bar.metre)
  if (fits(groove) && (groove.feel === bar.feel || groove.id === bar.feel)) return groove
  const named = BY_ID.get(bar.feel)
  if (named && fits(named)) return named
  const relatives = GROOVES.filter((candidate) => fits(candidate) && candidate.feel === bar.feel)
  const inTempo = relatives.find(({ tempo }) => tempo.low <= bar.tempoBpm && bar.tempoBpm <= tempo.high)
  const relative = inTempo ?? relatives[0]
  if (relative) return relative
  if (fits(groove)) return groove
  const plain = plainGroove(bar.metre, bar.groups, groove.ratio === 'table' || groove.ratio > 100)
  return {
    ...plain,
    feel: groove.feel,
    ratio: groove.ratio,
    dyn: groove.dyn,
    voicing: groove.voicing,
    melody: groove.melody,
    stop: groove.stop,
  }
}

/** Counted in dotted quarters: 60 to 144, by default 92. */
const COMPOUND_TEMPO = { low: 90, high: 216, default: 138 } as const

/** Hats on the beats, kick, bass and chords on the group starts: playable in any metre. */
export function plainGroove(metre: Metre, groups: readonly number[] = defaultGroups(metre), isSwung = false): Groove {
  const stepsAUnit = metre.beatType === 2 ? 4 : metre.beatType === 4 ? (isSwung ? 3 : 2) : 1
  const steps = metre.beats * stepsAUnit
  const starts: number[] = []
  let unit = 0
  for (const group of groups) {
    starts.push(unit)
    unit += group
  }
  const row = (sign: (unit: number) => string): string =>
    Array.from({ length: steps }, (_, step) => (mod(step, stepsAUnit) === 0 ? sign(step / stepsAUnit) : '.')).join('')
  const onStart = (index: number) => starts.includes(index)
  const held = Array.from({ length: steps }, (_, step) => (starts.includes(step / stepsAUnit) ? 'x' : '-')).join('')
  const answered = row((index) => (!onStart(index) && onStart(index - 1) ? 'x' : '.'))
  const tokens = (degrees: readonly string[]) =>
    bassRow(
      groups
        .map(
          (group, index) =>
            `${(starts[index] as number) * stepsAUnit}:${degrees[index % degrees.length]}/${group * stepsAUnit}`,
        )
        .join(' '),
    )
  return {
    id: plainId(metre),
    name: `Plain ${metre.beats}/${metre.beatType}`,
    metre,
    groups,
    grid: steps,
    span: 1,
    tempo: isCompound(metre) ? COMPOUND_TEMPO : { low: 60, high: 200, default: 112 },
    feel: isSwung ? 'swing' : 'even',
    ratio: isSwung ? 'table' : 100,
    dyn: 60,
    drums: {
      main: drumRows({
        hat: row((index) => (onStart(index) ? 'x' : 'o')),
        kick: row((index) => (onStart(index) ? 'x' : '.')),
      }),
      var1: drumRows({
        ride: row(() => 'x'),
        hatfoot: row((index) => (onStart(index) ? '.' : 'x')),
        kick: row((index) => (onStart(index) ? 'x' : '.')),
      }),
      var2: drumRows({
        ride: row((index) => (onStart(index) ? 'X' : 'x')),
        snare: row((index) => (onStart(index) ? '.' : 'o')),
        kick: row((index) => (onStart(index) ? 'x' : '.')),
      }),
      fill: drumRows({
        hat: row((index) => (index * 2 < metre.beats ? 'x' : '.')),
        snare: row((index) => (index * 2 < metre.beats ? '.' : 'x')),
        kick: row((index) => (onStart(index) ? 'x' : '.')),
      }),
      end: drumRows({ crash: `x${'-'.repeat(steps - 1)}`, kick: `x${'.'.repeat(steps - 1)}` }),
    },
    bass: { one: tokens(['1', '5']), two: tokens(['1']), ped: tokens(['P']) },
    comp: cells(`${held}|${held}`, `${answered}|${answered}`),
    riff: [held, row(() => '.')],
    voicing: { kind: 'spread', lowMidi: 48, highMidi: 72 },
    melody: { anticipations: 0, layBackMs: 0, articulation: 'tenuto', held: 'plain' },
    leftHand: row((index) => (onStart(index) ? 'B' : 'C')),
    guitar: row(() => 'x'),
    duoGuitar: { way: 'strum', strings: 3 },
    level1: ['hat'],
    stop: ['held'],
    duo: 'guitar plays the beats, bass the group starts',
    thicken: 'ride from 4',
  }
}

function asCounted(metre: Metre): Metre {
  return metre.beats === 2 && metre.beatType === 2 ? { beats: 4, beatType: 4 } : metre
}

function named(id: string): Groove {
  return must(findGroove(id), `groove '${id}' is in the catalogue`)
}
