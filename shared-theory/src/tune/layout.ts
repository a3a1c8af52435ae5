/** Finds a tune's sections where nobody wrote them: layouts on 4-, 8-, 12- and 16-bar grids are compared by what repeats. */
import type { PlacedChord, Section, Tune } from '../contract/index.js'
import { mod, pitchClass, tonicOf } from '../units/index.js'
import { type LikenessView, likenessOf } from './likeness.js'
import { type SectionName, withIds } from './section-names.js'
import { firstFormBar, soundingChords } from './sounding.js'

export interface Layout {
  readonly sections: readonly Section[]
  readonly confidence: number
  /** What spoke for it, in words. */
  readonly evidence: readonly string[]
}

interface Candidate {
  readonly lead: number
  readonly tail: number
  readonly grid: number
  readonly letters: readonly string[]
  readonly score: number
  readonly isBlues: boolean
  /** Mean likeness of the blocks that repeat another. */
  readonly repeated: number
}

/** Blocks at least this alike are one letter; first and second endings stay above it. From judgement on the demo tunes. */
export const SAME_LETTER = 0.72
/** How far each known form is believed when it appears. From judgement. */
const FORMS: { readonly [pattern: string]: number } = {
  AABA: 1,
  ABAC: 0.95,
  AABB: 0.85,
  ABAB: 0.8,
  AABC: 0.75,
  AABBA: 0.75,
  AA: 0.6,
  AB: 0.55,
  A: 0.3,
}
const LEADS = [0, 2, 4, 8, 12, 16] as const
const MOST_TAIL = 8

export function layoutOf(tune: Tune): Layout {
  const start = firstFormBar(tune)
  const total = tune.bars.length - start
  const view = likenessOf(tune)
  const chords = soundingChords(tune)
  let best: Candidate | undefined
  for (const lead of LEADS)
    for (let tail = 0; tail <= MOST_TAIL; tail++)
      for (const grid of [8, 16, 4, 12]) {
        const candidate = judge(tune, view, chords, { start, total, lead, tail, grid })
        if (candidate && (!best || candidate.score > best.score + 1e-9)) best = candidate
      }
  return best ? spell(best, start, total) : plainLayout(start, total)
}

function judge(
  tune: Tune,
  view: LikenessView,
  chords: readonly (readonly PlacedChord[])[],
  place: { start: number; total: number; lead: number; tail: number; grid: number },
): Candidate | undefined {
  const { start, total, lead, tail, grid } = place
  const body = total - lead - tail
  if (body < grid || body % grid !== 0 || (lead > 0 && body < 16)) return undefined
  if (grid === 16 && body < 48) return undefined
  if (tail > 0 && body < 12) return undefined
  const count = body / grid
  if (count > 64) return undefined
  const from = start + lead
  const isBlues =
    grid === 12 && Array.from({ length: count }, (_, at) => isBluesChorus(tune, chords, from + at * 12)).every(Boolean)
  if (grid === 12 && !isBlues && count === 1 && total !== 12) return undefined
  const { letters, repeated } = letter(view, from, count, grid)
  const pattern = letters.join('')
  const known = FORMS[pattern]
  const repeats = (count - new Set(letters).size) / count
  let score = isBlues ? 1 : grid === 12 ? (count === 1 ? 0.4 : 0.2 + 0.5 * repeats) : (known ?? 0.3 + 0.5 * repeats)
  if (grid === 8) score += 0.05
  if (grid === 4) score -= 0.35
  if (lead > 0) score -= 0.1 + ((known ?? 0) >= 0.8 || isBlues ? 0 : 0.3)
  if (tail > 0) score -= (total % 4 === 0 ? 0.1 : 0.05) + 0.002 * tail
  return { lead, tail, grid, letters, score, isBlues, repeated }
}

function letter(
  view: LikenessView,
  from: number,
  count: number,
  grid: number,
): { letters: string[]; repeated: number } {
  const firsts: number[] = []
  const letters: string[] = []
  let sum = 0
  let repeats = 0
  for (let block = 0; block < count; block++) {
    const bar = from + block * grid
    const alike = firsts.map((first) => view.ofStretches(first, bar, grid))
    const most = Math.max(0, ...alike)
    if (most >= SAME_LETTER) {
      letters.push(letterAt(alike.indexOf(most)))
      sum += most
      repeats++
    } else {
      letters.push(letterAt(firsts.length))
      firsts.push(bar)
    }
  }
  return { letters, repeated: repeats > 0 ? sum / repeats : 0 }
}

const letterAt = (index: number): string => (index < 26 ? String.fromCharCode(65 + index) : 'Z')

/** I in bar 1, IV in bar 5, I in bar 7, V or ii in bar 9 (common practice), on the tonic or on bar 1's own root. */
export function isBluesChorus(tune: Tune, chords: readonly (readonly PlacedChord[])[], from: number): boolean {
  const rootAt = (bar: number): number | undefined => {
    const root = chords[from + bar]?.[0]?.chord.root
    return root ? pitchClass(root) : undefined
  }
  const home = pitchClass(tonicOf(tune.bars[from]?.key.key ?? tune.key.key))
  const above = [0, 4, 6, 8, 9].map((bar) => {
    const root = rootAt(bar)
    return root === undefined ? -1 : mod(root - home, 12)
  })
  const [first, fifth, seventh, ninth, tenth] = above
  return first === 0 && fifth === 5 && seventh === 0 && [ninth, tenth].some((degree) => degree === 7 || degree === 2)
}

function spell(best: Candidate, start: number, total: number): Layout {
  const parts: (SectionName & { startBar: number; bars: number })[] = []
  if (best.lead > 0)
    parts.push({
      ...(best.lead >= 8 ? { letter: 'Verse', role: 'verse' as const } : { letter: 'Intro', role: 'intro' as const }),
      startBar: start,
      bars: best.lead,
    })
  for (const [at, one] of best.letters.entries())
    parts.push({ letter: one, role: 'chorus', startBar: start + best.lead + at * best.grid, bars: best.grid })
  if (best.tail > 0) parts.push({ letter: 'Coda', role: 'coda', startBar: start + total - best.tail, bars: best.tail })
  const pattern = best.letters.join(' ')
  const evidence = best.isBlues
    ? ['12-bar blues: I in bar 1, IV in bar 5, I in bar 7, then V or ii']
    : [`${pattern} in sections of ${best.grid} bars by what melody and chords repeat`]
  const sure = best.isBlues ? 1 : best.repeated > 0 ? best.repeated : 0.8
  return {
    sections: withIds(parts),
    confidence: Math.round(Math.max(0.1, Math.min(1, best.score * sure)) * 100) / 100,
    evidence,
  }
}

/** Where no grid fits: eight bars at a time, the last as long as it is. */
function plainLayout(start: number, total: number): Layout {
  const size = total <= 12 ? total : 8
  const parts: (SectionName & { startBar: number; bars: number })[] = []
  for (let at = 0; at < total; at += size)
    parts.push({
      letter: letterAt(parts.length),
      role: 'chorus',
      startBar: start + at,
      bars: Math.min(size, total - at),
    })
  return { sections: withIds(parts), confidence: 0.2, evidence: ['no stretch repeats; cut into eights'] }
}
