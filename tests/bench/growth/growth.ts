/** How a cost grows with a size: measured at several sizes, fitted as cost = a·sizeᵉ, and told as the exponent e. 1 is in proportion, 0 not at all; where
 *  it is above 1 somebody has to say why. */
import { figure } from '../figure.js'

export interface Point {
  readonly size: number
  readonly cost: number
}
export interface Fit {
  readonly exponent: number
  /** Share of the variation the line explains, 1 for points that lie on it. */
  readonly r2: number
}

/** Above this an exponent counts as more than proportion; below, it is what measuring leaves open. */
const ABOVE_PROPORTION = 1.1

/** The straight line through the points' logarithms, by least squares. */
export function fitOf(points: readonly Point[]): Fit {
  if (points.length < 3 || points.some(({ size, cost }) => !(size > 0 && cost > 0)))
    throw new RangeError('a growth is fitted on three points or more, all above nought')
  const xs = points.map(({ size }) => Math.log(size))
  const ys = points.map(({ cost }) => Math.log(cost))
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
  const [meanX, meanY] = [mean(xs), mean(ys)]
  const sum = (term: (x: number, y: number) => number) =>
    xs.reduce((total, x, index) => total + term(x - meanX, (ys[index] as number) - meanY), 0)
  const [xx, xy, yy] = [sum((x) => x * x), sum((x, y) => x * y), sum((_x, y) => y * y)]
  if (xx === 0) throw new RangeError('a growth needs different sizes')
  return { exponent: xy / xx, r2: yy === 0 ? 1 : xy ** 2 / (xx * yy) }
}

/** Measures every size several times, in turns and turned round each time so that a busy minute falls on all of them; the least of each counts. */
export async function costsOf(
  sizes: readonly number[],
  rounds: number,
  cost: (size: number) => number | Promise<number>,
): Promise<readonly Point[]> {
  const least = new Map(sizes.map((size) => [size, Infinity]))
  for (let round = 0; round < rounds; round++) {
    for (const size of round % 2 === 0 ? sizes : sizes.toReversed())
      least.set(size, Math.min(least.get(size) ?? Infinity, await cost(size)))
  }
  return sizes.map((size) => ({ size, cost: least.get(size) as number }))
}

/** Processor milliseconds of some work, repeated until it can be measured. */
export function cpuMs(work: () => void, leastMs = 20): number {
  for (let times = 1; ; times *= 2) {
    const start = process.cpuUsage()
    for (let run = 0; run < times; run++) work()
    const { user, system } = process.cpuUsage(start)
    const ms = (user + system) / 1000
    if (ms >= leastMs) return ms / times
  }
}

export interface Growth {
  /** What costs. */
  readonly what: string
  /** What it grows with: 'bars', 'editors in a room' … */
  readonly by: string
  /** Of a point's cost. */
  readonly unit: string
  readonly points: readonly Point[]
  /** The highest exponent this may have. */
  readonly atMost: number
  /** Why it may be above 1; needed where it is. */
  readonly reason?: string
}

/** Prints and keeps the exponent with the points it was fitted on. */
export function grows({ what, by, unit, points, atMost, reason }: Growth): void {
  const { exponent, r2 } = fitOf(points)
  if (exponent > ABOVE_PROPORTION && reason === undefined)
    throw new Error(`${what} grows with the ${exponent.toFixed(2)}th power of ${by}, and nobody says why`)
  const shown = points.map(({ size, cost }) => `${size}: ${Number(cost.toPrecision(3))}`).join(', ')
  figure({
    id: 'GR1',
    what: `${what}, by ${by}: exponent`,
    value: exponent,
    unit: '',
    target: { atMost },
    note: `${shown} ${unit}; r² ${r2.toFixed(3)}${reason === undefined ? '' : `; ${reason}`}`,
    growth: { by, unit, points, r2 },
  })
}
