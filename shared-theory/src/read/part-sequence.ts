/** The order of parts printed at a tune's head ('AABA', 'A2(BC)3', 'A.B.A'), played out over labelled stretches. */
import { LIMITS } from '../units/index.js'
import type { IssueList } from './issue-list.js'
import { playingOrder } from './playing-order.js'
import type { WrittenBar } from './written.js'
import { said } from './said.js'

/** Nesting of brackets in a part order; more is no music. */
const DEEPEST = 8

/** 'A2(BC)2' → A A B C B C. Source: ABC standard 2.1, section 3.1.9. Undefined where it can't be read. */
export function expandParts(text: string): readonly string[] | undefined {
  const letters = text.replace(/[\s.]/g, '')
  let at = 0
  const group = (depth: number): string[] | undefined => {
    const out: string[] = []
    while (at < letters.length && letters[at] !== ')') {
      const sign = letters[at] as string
      at++
      let unit: string[] | undefined
      if (sign === '(') {
        unit = depth < DEEPEST ? group(depth + 1) : undefined
        if (letters[at] !== ')') return undefined
        at++
      } else if (/[A-Z]/.test(sign)) unit = [sign]
      if (!unit) return undefined
      const times = /^\d{1,3}/.exec(letters.slice(at, at + 3))?.[0] ?? ''
      at += times.length
      for (let count = times ? Number(times) : 1; count > 0; count--) {
        out.push(...unit)
        if (out.length > LIMITS.tuneBars) return undefined
      }
    }
    return out
  }
  const parts = group(0)
  return parts && parts.length > 0 && at === letters.length ? parts : undefined
}

/** Playing order of written bars under a part order; where the labels are not all there the bars are played as they stand. */
export function partSequence(bars: readonly WrittenBar[], parts: readonly string[], issues: IssueList): number[] {
  const stretches = labelledStretches(bars)
  const known = new Map<string, Stretch>()
  for (const stretch of stretches) if (stretch.label && !known.has(stretch.label)) known.set(stretch.label, stretch)
  const missing = [...new Set(parts)].filter((part) => !known.has(part))
  if (missing.length > 0) {
    issues.add(
      'RD8',
      'warning',
      'file',
      said`The order of parts names ${missing.join(', ')}, which no P: in the tune begins; the bars are read as they stand.`,
    )
    return playingOrder(bars, issues)
  }
  const asStanding = stretches.filter((stretch) => stretch.label).map((stretch) => stretch.label)
  if (asStanding.length === parts.length && asStanding.every((label, at) => label === parts[at]))
    return playingOrder(bars, issues)
  const lead = stretches[0]?.label ? [] : playStretch(bars, stretches[0], issues)
  const order = [...lead, ...parts.flatMap((part) => playStretch(bars, known.get(part), issues))]
  return order.slice(0, LIMITS.tuneBars + 1)
}

interface Stretch {
  readonly label?: string
  readonly from: number
  readonly to: number
}

function labelledStretches(bars: readonly WrittenBar[]): Stretch[] {
  const starts = bars.flatMap((bar, at) => (bar.label || at === 0 ? [at] : []))
  return starts.map((from, at) => {
    const label = bars[from]?.label
    return { ...(label ? { label } : {}), from, to: starts[at + 1] ?? bars.length }
  })
}

function playStretch(bars: readonly WrittenBar[], stretch: Stretch | undefined, issues: IssueList): number[] {
  if (!stretch) return []
  return playingOrder(bars.slice(stretch.from, stretch.to), issues).map((index) => index + stretch.from)
}
