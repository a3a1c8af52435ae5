/** The maps that take bars of one metre to another, as exact points in ticks; compositions are one map with more points.
 *  Source: the maps of the trade as the groove book lists them (common practice). */
import type { Metre } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { assert, barTicks, must } from '../../units/index.js'

/** `[in, out]` in ticks over all joined bars, straight lines between; first `[0, 0]`, last `[all, all]`. */
export type MapPoints = readonly (readonly [inTick: number, outTick: number])[]

export interface BarMap {
  readonly id: string
  readonly from: Metre
  readonly fromBars: number
  readonly to: Metre
  readonly toBars: number
  readonly points: MapPoints
}

const M24: Metre = { beats: 2, beatType: 4 }
const M34: Metre = { beats: 3, beatType: 4 }
const M44: Metre = { beats: 4, beatType: 4 }
const M54: Metre = { beats: 5, beatType: 4 }
const M64: Metre = { beats: 6, beatType: 4 }
const M74: Metre = { beats: 7, beatType: 4 }
const M68: Metre = { beats: 6, beatType: 8 }
const M128: Metre = { beats: 12, beatType: 8 }
const M78: Metre = { beats: 7, beatType: 8 }
const M98: Metre = { beats: 9, beatType: 8 }
const M38: Metre = { beats: 3, beatType: 8 }
const M118: Metre = { beats: 11, beatType: 8 }

/** Points in quarters, `from>to`; joined bars count on through. */
const ROWS: readonly (readonly [
  id: string,
  from: Metre,
  fromBars: number,
  to: Metre,
  toBars: number,
  points: string,
])[] = [
  ['43a', M44, 1, M34, 1, '0>0 2>2 4>3'],
  ['43b', M44, 1, M34, 1, '0>0 2>1 4>3'],
  ['43-long', M44, 1, M34, 2, '0>0 4>6'],
  ['44-long', M44, 1, M44, 2, '0>0 4>8'],
  ['45a', M44, 1, M54, 1, '0>0 1>2 2>3 4>5'],
  ['45b', M44, 1, M54, 1, '0>0 2>3 4>5'],
  ['45c', M44, 1, M54, 1, '0>0 2>2 4>5'],
  ['46', M44, 1, M64, 1, '0>0 1>2 2>3 3>5 4>6'],
  ['47', M44, 2, M74, 1, '0>0 4>4 6>6 8>7'],
  ['47b', M44, 2, M74, 1, '0>0 4>4 6>5 8>7'],
  ['74', M44, 2, M74, 1, '0>0 2>2 4>3 8>7'],
  ['34', M34, 1, M44, 1, '0>0 1>2 3>4'],
  ['34b', M34, 1, M44, 1, '0>0 2>2 3>4'],
  ['35', M34, 2, M54, 1, '0>0 3>3 4>4 6>5'],
  ['35b', M34, 2, M54, 1, '0>0 1>1 3>2 6>5'],
  ['37', M34, 2, M74, 1, '0>0 1>2 3>4 6>7'],
  ['37b', M34, 2, M74, 1, '0>0 2>2 3>4 6>7'],
  ['37c', M34, 2, M74, 1, '0>0 3>3 4>5 6>7'],
  ['36', M34, 2, M64, 1, '0>0 6>6'],
  ['36-8', M34, 1, M68, 1, '0>0 3>3'],
  ['24', M24, 2, M44, 1, '0>0 4>4'],
  ['24d', M24, 1, M44, 1, '0>0 2>4'],
  ['68-3', M68, 1, M34, 1, '0>0 3>3'],
  ['68-12', M68, 2, M128, 1, '0>0 6>6'],
  ['12-68', M128, 1, M68, 2, '0>0 6>6'],
  ['54a', M54, 1, M44, 1, '0>0 2>1 3>2 5>4'],
  ['54b', M54, 1, M44, 1, '0>0 3>2 5>4'],
  ['63', M64, 1, M34, 2, '0>0 6>6'],
  ['744a', M74, 1, M44, 2, '0>0 4>4 6>6 7>8'],
  ['744b', M74, 1, M44, 2, '0>0 4>4 5>6 7>8'],
  ['38-68', M38, 2, M68, 1, '0>0 3>3'],
  ['11-12', M118, 1, M128, 1, '0>0 4.5>4.5 5.5>6'],
  ['78-7', M78, 1, M74, 1, '0>0 3.5>7'],
  ['784a', M78, 1, M44, 1, '0>0 2>2 2.5>3 3.5>4'],
  ['784b', M78, 1, M44, 1, '0>0 3>3 3.5>4'],
]

/** Maps that go beat by beat, a quarter to a dotted quarter or back; a beat with a real triplet in it goes evenly instead. */
const BY_BEAT: readonly (readonly [
  id: string,
  from: Metre,
  fromBars: number,
  to: Metre,
  toBars: number,
  'out' | 'back',
])[] = [
  ['412', M44, 1, M128, 1, 'out'],
  ['46-8', M44, 1, M68, 2, 'out'],
  ['124', M128, 1, M44, 1, 'back'],
  ['864', M68, 2, M44, 1, 'back'],
  ['934', M98, 1, M34, 1, 'back'],
]

/** Where each metre can be taken, and through which maps, dearest first: a chain `a+b` is the composition. */
const ROUTES: readonly (readonly [from: Metre, to: Metre, groups: readonly number[], mapIds: readonly string[]])[] = [
  [M44, M34, [3], ['43a', '43b', '43-long']],
  [M44, M54, [3, 2], ['45a', '45b']],
  [M44, M54, [2, 3], ['45c']],
  [M44, M64, [3, 3], ['46']],
  [M44, M74, [4, 3], ['47', '47b']],
  [M44, M74, [3, 4], ['74']],
  [M44, M128, [3, 3, 3, 3], ['412']],
  [M44, M68, [3, 3], ['46-8']],
  [M34, M44, [4], ['34', '34b']],
  [M34, M54, [3, 2], ['35']],
  [M34, M54, [2, 3], ['35b']],
  [M34, M64, [3, 3], ['36']],
  [M34, M74, [4, 3], ['37', '37b']],
  [M34, M74, [3, 4], ['37c']],
  [M34, M128, [3, 3, 3, 3], ['34+412', '34b+412']],
  [M34, M68, [3, 3], ['34+46-8', '34b+46-8', '36-8']],
  [M24, M44, [4], ['24', '24d']],
  [M24, M34, [3], ['24d+43a', '24d+43b']],
  [M24, M54, [3, 2], ['24d+45a', '24d+45b']],
  [M24, M54, [2, 3], ['24d+45c']],
  [M24, M64, [3, 3], ['24+46']],
  [M24, M74, [4, 3], ['24d+47', '24d+47b']],
  [M24, M74, [3, 4], ['24d+74']],
  [M24, M128, [3, 3, 3, 3], ['24+412', '24d+412']],
  [M24, M68, [3, 3], ['24+46-8']],
  [M68, M34, [3], ['68-3']],
  [M68, M44, [4], ['864', '68-3+34', '68-3+34b']],
  [M68, M54, [3, 2], ['68-3+35']],
  [M68, M54, [2, 3], ['68-3+35b']],
  [M68, M64, [3, 3], ['68-3+36']],
  [M68, M74, [3, 4], ['68-3+37c']],
  [M68, M74, [4, 3], ['68-3+37', '68-3+37b']],
  [M68, M128, [3, 3, 3, 3], ['68-12']],
  [M128, M44, [4], ['124']],
  [M128, M34, [3], ['124+43a', '124+43b', '124+43-long']],
  [M128, M54, [3, 2], ['124+45a', '124+45b']],
  [M128, M54, [2, 3], ['124+45c']],
  [M128, M64, [3, 3], ['124+46']],
  [M128, M74, [4, 3], ['124+47', '124+47b']],
  [M128, M74, [3, 4], ['124+74']],
  [M128, M68, [3, 3], ['12-68']],
  [M54, M44, [4], ['54a', '54b']],
  [M54, M34, [3], ['54b+43a', '54a+43b']],
  [M54, M74, [4, 3], ['54b+47', '54b+47b']],
  [M54, M128, [3, 3, 3, 3], ['54a+412', '54b+412']],
  [M78, M74, [4, 3], ['78-7']],
  [M78, M44, [4], ['784a', '784b']],
  [M78, M128, [3, 3, 3, 3], ['784a+412', '784b+412']],
  [M74, M44, [4], ['744a', '744b']],
  [M74, M34, [3], ['744a+43a', '744b+43a']],
  [M74, M128, [3, 3, 3, 3], ['744a+412', '744b+412']],
  [M74, M68, [3, 3], ['744a+46-8', '744b+46-8']],
  [M64, M34, [3], ['63']],
  [M64, M44, [4], ['63+34', '63+34b']],
  [M64, M128, [3, 3, 3, 3], ['63+34+412', '63+34b+412']],
  [M38, M34, [3], ['38-68+68-3']],
  [M38, M44, [4], ['38-68+864']],
  [M38, M68, [3, 3], ['38-68']],
  [M118, M128, [3, 3, 3, 3], ['11-12']],
  [M118, M44, [4], ['11-12+124']],
  [M118, M34, [3], ['11-12+124+43a', '11-12+124+43b']],
  [M118, M68, [3, 3], ['11-12+12-68']],
  [M98, M128, [3, 3, 3, 3], ['934+34+412', '934+34b+412']],
  [M98, M68, [3, 3], ['934+36-8']],
  [M98, M34, [3], ['934']],
  [M98, M44, [4], ['934+34', '934+34b']],
  [M98, M54, [3, 2], ['934+35']],
  [M98, M74, [4, 3], ['934+37', '934+37b']],
]

/** A metre a tune can be taken to, and the maps that lead there, in order of preference. */
export interface RebarTarget {
  readonly metre: Metre
  readonly groups: readonly number[]
  readonly mapIds: readonly string[]
}

const isMetre = (a: Metre, b: Metre) => a.beats === b.beats && a.beatType === b.beatType
/** 2/2 holds the same ticks as 4/4 and is mapped as such. */
export const asMapped = (metre: Metre): Metre => (isMetre(metre, { beats: 2, beatType: 2 }) ? M44 : metre)

/** Every other metre a tune in `from` can be taken to. */
export function rebarTargets(from: Metre): readonly RebarTarget[] {
  return ROUTES.filter(([source]) => isMetre(source, asMapped(from))).map(([, metre, groups, mapIds]) => ({
    metre,
    groups,
    mapIds,
  }))
}

/** The map of an id: a row, a chain of rows `a+b`, and after `~` the beats (from 1) that a beat-by-beat map takes evenly. */
export function findMap(id: string): BarMap | undefined {
  const stages = id.split('+').map(findStage)
  let whole: BarMap | undefined
  for (const stage of stages) {
    if (!stage) return undefined
    if (!whole) whole = stage
    else if (isMetre(whole.to, stage.from)) whole = compose(whole, stage)
    else return undefined
  }
  return whole && { ...whole, id }
}

/** The id without its even beats. */
export const plainMapId = (id: string): string => id.replace(/~\d+/g, '')

/** Where a tick of the joined input lands, or undefined where that is no whole tick. */
export function throughMap(points: MapPoints, tick: number): number | undefined {
  const [from, to] = segmentAt(points, tick, 0)
  const scaled = (tick - from[0]) * (to[1] - from[1])
  const length = to[0] - from[0]
  return scaled % length === 0 ? from[1] + scaled / length : undefined
}

/** The same, rounded down: for edits that may stand anywhere. */
export function throughMapFloor(points: MapPoints, tick: number): number {
  const [from, to] = segmentAt(points, tick, 0)
  return from[1] + Math.floor(((tick - from[0]) * (to[1] - from[1])) / (to[0] - from[0]))
}

export const inverted = (points: MapPoints): MapPoints => points.map(([a, b]) => [b, a] as const)

/** For a beat-by-beat map: the id with those beats taken evenly that hold a real triplet, given the joined input's note edges. */
export function withEvenBeats(id: string, edges: readonly number[]): string {
  const ids = id.split('+')
  const at = ids.findIndex((stage) => BY_BEAT.some(([row]) => row === stage))
  const row = BY_BEAT.find(([stage]) => stage === ids[at])
  if (!row) return id
  const before = at > 0 ? must(findMap(ids.slice(0, at).join('+')), id) : undefined
  const inBeat = row[5] === 'out' ? TICKS_PER_QUARTER : (TICKS_PER_QUARTER * 3) / 2
  const third = inBeat / 3
  const beats = new Set<number>()
  for (const edge of edges) {
    const tick = before ? throughMap(before.points, edge) : edge
    if (tick === undefined) continue
    const offset = tick % inBeat
    // Out of quarters a triplet stands on the thirds; back from dotted quarters it is the second eighth that makes three.
    if (offset === third || (row[5] === 'out' && offset === 2 * third)) beats.add(Math.floor(tick / inBeat) + 1)
  }
  if (beats.size === 0) return id
  const list = [...beats].sort((a, b) => a - b).join('')
  return ids.map((stage, index) => (index === at ? `${stage}~${list}` : stage)).join('+')
}

function segmentAt(points: MapPoints, tick: number, side: 0 | 1): readonly [MapPoints[number], MapPoints[number]] {
  for (let index = 1; index < points.length; index++) {
    const to = points[index] as MapPoints[number]
    if (tick <= to[side] || index === points.length - 1) return [points[index - 1] as MapPoints[number], to]
  }
  throw new Error('broken promise: a map has two points')
}

function findStage(text: string): BarMap | undefined {
  const [id, evenBeats] = text.split('~')
  const row = ROWS.find(([rowId]) => rowId === id)
  if (row && evenBeats === undefined) {
    const [rowId, from, fromBars, to, toBars, quarters] = row
    const points = quarters.split(' ').map((point): readonly [number, number] => {
      const [a, b] = point.split('>').map(Number)
      return [(a as number) * TICKS_PER_QUARTER, (b as number) * TICKS_PER_QUARTER]
    })
    return checked({ id: rowId, from, fromBars, to, toBars, points })
  }
  const beatRow = BY_BEAT.find(([rowId]) => rowId === id)
  if (!beatRow) return undefined
  const [rowId, from, fromBars, to, toBars, way] = beatRow
  const beats = (fromBars * barTicks(from)) / (way === 'out' ? TICKS_PER_QUARTER : (TICKS_PER_QUARTER * 3) / 2)
  const out = beatPoints(beats, new Set((evenBeats ?? '').split('').map(Number)))
  return checked({ id: rowId, from, fromBars, to, toBars, points: way === 'out' ? out : inverted(out) })
}

/** So many quarters to as many dotted quarters: in each beat 0→0 ½→1 1→1½, or straight in the even ones. */
function beatPoints(beats: number, even: ReadonlySet<number>): MapPoints {
  const points: (readonly [number, number])[] = [[0, 0]]
  for (let beat = 0; beat < beats; beat++) {
    if (!even.has(beat + 1)) points.push([beat * 5040 + 2520, beat * 7560 + 5040])
    points.push([(beat + 1) * 5040, (beat + 1) * 7560])
  }
  return points
}

/** `second` after `first`, over as many bars of each as fit together. */
function compose(first: BarMap, second: BarMap): BarMap {
  const middleBars = leastCommonMultiple(first.toBars, second.fromBars)
  const a = repeated(first, middleBars / first.toBars)
  const b = repeated(second, middleBars / second.fromBars)
  const back = inverted(a.points)
  const ticks = new Set(a.points.map(([tick]) => tick))
  for (const [middle] of b.points)
    ticks.add(must(throughMap(back, middle), `${first.id}+${second.id} has whole points`))
  const points = [...ticks]
    .sort((x, y) => x - y)
    .map((tick) => {
      const middle = must(throughMap(a.points, tick), `${first.id} has whole points`)
      return [tick, must(throughMap(b.points, middle), `${second.id} has whole points`)] as const
    })
  return { id: `${first.id}+${second.id}`, from: a.from, fromBars: a.fromBars, to: b.to, toBars: b.toBars, points }
}

function repeated(map: BarMap, times: number): BarMap {
  const inLength = map.fromBars * barTicks(map.from)
  const outLength = map.toBars * barTicks(map.to)
  const points: (readonly [number, number])[] = [[0, 0]]
  for (let time = 0; time < times; time++)
    for (const [a, b] of map.points.slice(1)) points.push([a + time * inLength, b + time * outLength])
  return { ...map, fromBars: map.fromBars * times, toBars: map.toBars * times, points }
}

function checked(map: BarMap): BarMap {
  const last = must(map.points.at(-1), map.id)
  assert(last[0] === map.fromBars * barTicks(map.from), `${map.id} covers its bars`)
  assert(last[1] === map.toBars * barTicks(map.to), `${map.id} fills its bars`)
  return map
}

function leastCommonMultiple(a: number, b: number): number {
  let multiple = a
  while (multiple % b !== 0) multiple += a
  return multiple
}
