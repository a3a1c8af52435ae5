/** The whole piece as one line to scale of time: height is energy, so that an arrangement's arc is seen at a glance. */
import type { ArrangedBar, PassPlan } from '@chartloft/shared-theory'
import { barMs, basePass } from '../state/running-order.js'

/** How strong each written dynamic is felt, 0 to 1. Source: common practice. */
const DYNAMICS: { readonly [dynamic: string]: number } = { pp: 0.1, p: 0.25, mp: 0.4, mf: 0.55, f: 0.75, ff: 0.95 }
const PASS_ENERGY: { readonly [kind: string]: number } = { chorus: 0.5, solo: 0.62, verse: 0.35 }

export interface ContourPoint {
  /** Share of the whole time at the bar's middle, 0 to 1. */
  readonly at: number
  readonly energy: number
}

/**
 * One point a bar. Energy comes from the pass (as planned, else by its kind and how late it is), the written dynamic,
 * how high the melody lies, and how far the key has risen; neighbours are blended so that the line reads as a gesture.
 */
export function contour(bars: readonly ArrangedBar[], roadmap: readonly PassPlan[]): readonly ContourPoint[] {
  const pitches = bars.flatMap((bar) => bar.melody.map((note) => note.midi))
  const low = pitches.reduce((a, b) => Math.min(a, b), 127)
  const high = pitches.reduce((a, b) => Math.max(a, b), 0)
  const total = bars.reduce((sum, bar) => sum + barMs(bar), 0) || 1
  const home = bars[0]?.key.fifths ?? 0
  let dynamic: number | undefined
  let elapsed = 0
  const raw = bars.map((bar, index) => {
    if (bar.dynamic) dynamic = DYNAMICS[bar.dynamic]
    const base = dynamic ?? passEnergy(bar, roadmap, index / bars.length)
    const mean = bar.melody.reduce((sum, note) => sum + note.midi, 0) / (bar.melody.length || 1)
    const height = bar.melody.length === 0 || high <= low ? 0 : (mean - low) / (high - low) - 0.4
    const lift = bar.key.fifths === home ? 0 : 0.08
    const at = (elapsed + barMs(bar) / 2) / total
    elapsed += barMs(bar)
    return { at, energy: Math.max(0.04, Math.min(1, base + height * 0.22 + lift)) }
  })
  return raw.map(({ at }, index) => ({ at, energy: blended(raw, index) }))
}

function passEnergy(bar: ArrangedBar, roadmap: readonly PassPlan[], late: number): number {
  if (bar.pass === 'opening') return 0.22
  if (bar.pass === 'ending') return 0.3
  const pass = roadmap.find((candidate) => candidate.id === basePass(bar.pass))
  return pass?.energy ?? (PASS_ENERGY[pass?.kind ?? 'chorus'] ?? 0.5) + late * 0.25
}

function blended(points: readonly { readonly energy: number }[], index: number): number {
  const weights = [1, 3, 4, 3, 1]
  let sum = 0
  let weight = 0
  weights.forEach((share, offset) => {
    const point = points[index + offset - 2]
    if (!point) return
    sum += point.energy * share
    weight += share
  })
  return sum / weight
}

/** The line as a path in a box `width` wide and `height` high, scaled by `depth` (echoes lie lower). */
export function contourPath(points: readonly ContourPoint[], width: number, height: number, depth = 1): string {
  const [first] = points
  const last = points.at(-1)
  if (!first || !last) return ''
  return `M0 ${heightAt(first, height, depth)}L${inner(points, width, height, depth)}L${width} ${heightAt(last, height, depth)}`
}

/** The stretch of the same line over bars [from, to), for what is drawn differently there. */
export function stretchPath(
  points: readonly ContourPoint[],
  [from, to]: readonly [number, number],
  width: number,
  height: number,
): string {
  const part = points.slice(Math.max(0, from), to)
  if (part.length < 2) return ''
  return `M${inner(part, width, height, 1)}`
}

/** What remains of [0, count) when spans are taken out; neighbours share their border point, so that no gap shows. */
export function remaining(
  count: number,
  spans: readonly (readonly [number, number])[],
): readonly (readonly [number, number])[] {
  const rest: [number, number][] = []
  let at = 0
  for (const [from, to] of [...spans].sort((a, b) => a[0] - b[0])) {
    if (from > at) rest.push([at, Math.min(count, from + 1)])
    at = Math.max(at, to - 1)
  }
  if (at < count - 1) rest.push([at, count])
  return rest
}

const said = (value: number): string => String(Math.round(value * 10) / 10)
const heightAt = ({ energy }: ContourPoint, height: number, depth: number): string =>
  said(height - 4 - energy * depth * (height - 14))
const inner = (points: readonly ContourPoint[], width: number, height: number, depth: number): string =>
  points.map((point) => `${said(point.at * width)} ${heightAt(point, height, depth)}`).join('L')
