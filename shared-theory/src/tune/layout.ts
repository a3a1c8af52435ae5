/** Finds a tune's sections where nobody wrote them: layouts on 4-, 8-, 12- and 16-bar grids are compared by what repeats. */
import type { PlacedChord, Section, Tune } from '../contract/index.js'
import { mod, pitchClass, tonicOf } from '../units/index.js'
import { type LikenessView, likenessOf } from './likeness.js'
import { type SectionName, withIds } from './section-names.js'
import { firstFormBar, soundingChords } from './sounding.js'
import { unevenForms } from './uneven-forms.js'

export interface Layout {
  readonly sections: readonly Section[]
  readonly confidence: number
  /** What spoke for it, in words. */
  readonly evidence: readonly string[]
}

interface Candidate {
  readonly lead: number
  readonly tail: number
  /** Bars of each letter's section. */
  readonly sizes: readonly number[]
  readonly letters: readonly string[]
  readonly score: number
  readonly isBlues: boolean
  /** Mean likeness of the blocks that repeat another. */
  readonly repeated: number
}

/** Blocks at least this alike are one letter; first and second endings stay above it. From judgement on the demo tunes. */
export const SAME_LETTER = 0.66
/** A first half this alike counts so much for the whole. From judgement. */
const SURE_START = 0.9
const START_COUNTS = 0.1
/** A first half less alike than this is another section's. From judgement. */
const LEAST_START = 0.55
/** How far each known form is believed when it appears. From judgement. */
const FORMS: { readonly [pattern: string]: number } = {
  AABA: 1,
  ABAC: 0.95,
  AABBCC: 0.9,
  AABB: 0.85,
  ABAB: 0.8,
  AABC: 0.75,
  ABABCB: 0.85,
  AABBA: 0.75,
  AAB: 0.65,
  ABA: 0.65,
  AA: 0.6,
  AB: 0.55,
  A: 0.3,
}
const LEADS = [0, 2, 4, 8, 12, 16] as const
const MOST_TAIL = 8
/** A tail longer than this is a section, unless a whole form stands before it. */
const SHORT_TAIL = 4
/** What sections of unequal length, and of a length that is no four, eight, twelve or sixteen, cost. From judgement. */
const UNEQUAL_COST = 0.1
const ODD_COST = 0.08
const SHORT_COST = 0.2
/** What repeats is about this much alike where the sections are the right ones. From judgement. */
const TRUE_REPEAT = 0.9

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
  for (const lead of [0, 8, 16])
    for (const tail of [0, 2, 4])
      for (const candidate of uneven(view, { start, total, lead, tail }))
        if (!best || candidate.score > best.score + 1e-9) best = candidate
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
  if (tail > SHORT_TAIL && (known ?? 0) < 0.8 && !isBlues) return undefined
  // A verse or coda that comes back in the form, or from it, is a section of it.
  const comesBack = (bar: number): boolean =>
    Array.from({ length: count }, (_, at) => from + at * grid).some(
      (other) => view.ofStretches(bar, other, grid) >= SAME_LETTER,
    )
  if (isTwice(view, start, lead)) return undefined
  if ((lead >= grid && comesBack(start)) || (tail >= grid && comesBack(start + total - tail))) return undefined
  const repeats = (count - new Set(letters).size) / count
  let score = isBlues ? 1 : grid === 12 ? (count === 1 ? 0.4 : 0.2 + 0.5 * repeats) : (known ?? 0.3 + 0.5 * repeats)
  if (repeats > 0 && !isBlues) score += (repeated - TRUE_REPEAT) / 2
  if (grid === 8) score += 0.05
  if (grid === 4) score -= 0.35
  if (lead > 0) score -= 0.1 + ((known ?? 0) >= 0.8 || isBlues ? 0 : 0.3)
  if (tail > 0) score -= (total % 4 === 0 ? 0.1 : 0.05) + 0.002 * tail
  return { lead, tail, sizes: letters.map(() => grid), letters, score, isBlues, repeated }
}

/** What is played twice is a strain of the form, no verse. */
const isTwice = (view: LikenessView, start: number, lead: number): boolean =>
  lead >= 16 && view.ofStretches(start, start + lead / 2, lead / 2) >= SAME_LETTER

function* uneven(
  view: LikenessView,
  { start, total, lead, tail }: { start: number; total: number; lead: number; tail: number },
): Generator<Candidate> {
  const body = total - lead - tail
  if (((lead > 0 || tail > 0) && body < 16) || isTwice(view, start, lead)) return
  for (const { letters, sizes, repeated } of unevenForms(view, start + lead, body)) {
    const [a] = sizes as [number]
    let score = (FORMS[letters.join('')] ?? 0) + (repeated - TRUE_REPEAT) / 2
    if (sizes.some((size) => size !== a)) score -= UNEQUAL_COST
    if (a % 4 !== 0) score -= ODD_COST
    if (a < 6) score -= SHORT_COST
    if (lead > 0) score -= letters.length === 4 ? 0.1 : 0.4
    if (tail > 0) score -= 0.1 + 0.002 * tail
    yield { lead, tail, sizes, letters, score: Math.min(1, score), isBlues: false, repeated }
  }
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
    const alike = firsts.map((first) => sameSection(view, first, bar, grid))
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

/** Likeness as musicians give letters: who begins alike is expected to be the same section, wherever it goes in the end. */
function sameSection(view: LikenessView, first: number, again: number, bars: number): number {
  const whole = view.ofStretches(first, again, bars)
  if (bars < 8) return whole
  const begins = view.ofStretches(first, again, Math.floor(bars / 2))
  // Strains that only close alike, as in many dances, are two.
  if (begins < LEAST_START) return Math.min(whole, begins)
  return begins >= SURE_START ? Math.min(1, whole + START_COUNTS) : whole
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
  let startBar = start + best.lead
  for (const [at, one] of best.letters.entries()) {
    const bars = best.sizes[at] as number
    parts.push({ letter: one, role: 'chorus', startBar, bars })
    startBar += bars
  }
  if (best.tail > 0) parts.push({ letter: 'Coda', role: 'coda', startBar: start + total - best.tail, bars: best.tail })
  const pattern = best.letters.join(' ')
  const evidence = best.isBlues
    ? ['12-bar blues: I in bar 1, IV in bar 5, I in bar 7, then V or ii']
    : [`${pattern} in sections of ${sizeWords(best.sizes)} bars by what melody and chords repeat`]
  const sure = best.isBlues ? 1 : best.repeated > 0 ? best.repeated : 0.8
  return {
    sections: withIds(parts),
    confidence: Math.round(Math.max(0.1, Math.min(1, best.score * sure)) * 100) / 100,
    evidence,
  }
}

/** '8', or '10, 10, 8 and 10'. */
function sizeWords(sizes: readonly number[]): string {
  return new Set(sizes).size === 1 ? `${sizes[0]}` : `${sizes.slice(0, -1).join(', ')} and ${sizes.at(-1)}`
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
