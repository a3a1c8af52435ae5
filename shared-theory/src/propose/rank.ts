/** The order options are shown in: best first, and the first five as unlike each other as the tune allows. */
import type { DecisionKind, RuleStep, Wish } from '../contract/index.js'
import type { Offer } from '../decisions/index.js'

/** Places at the top where two of one family do not stand side by side while another family waits. */
const UNLIKE_PLACES = 5
/** What a remedy for a part out of range, or a warning from the checks, costs in rank. */
const OUT_OF_RANGE_COST = 0.12
const WARNING_COST = 0.04
const MOST_WARNINGS = 3
/** Share of the distance in the score where a little or a lot was asked for; what another length or lift than the one asked for costs. */
const DISTANCE_WEIGHT = 0.6
const OTHER_COST = 0.3
/** Equal scores are told apart by this much, so that the list falls. */
const STEP = 0.001

export interface Candidate {
  readonly offer: Offer
  readonly kind: DecisionKind
  /** Warnings the checks give that the tune alone does not. */
  readonly warnings: number
  readonly outOfRange: readonly string[]
  /** Parts that are out of range only because of this option. */
  readonly newlyOutOfRange: readonly string[]
}

export interface Ranked<T extends Candidate> {
  readonly candidate: T
  readonly score: number
  /** What moved it from where its recipe put it. */
  readonly reason: readonly RuleStep[]
}

/** Sorted by score, which falls; a stable order for equal ones. */
export function rank<T extends Candidate>(candidates: readonly T[], wish: Wish = {}): readonly Ranked<T>[] {
  const left = candidates
    .map((candidate, order) => ({ candidate, order, own: ownScore(candidate, wish) }))
    .sort((a, b) => b.own - a.own || a.order - b.order)
  const ordered: T[] = []
  const scores: number[] = []
  const families = new Set<string>()
  let ceiling = 1
  while (left.length > 0) {
    const unlike =
      ordered.length < UNLIKE_PLACES ? left.findIndex(({ candidate }) => !families.has(familyOf(candidate))) : 0
    const [next] = left.splice(Math.max(0, unlike), 1)
    if (!next) break
    families.add(familyOf(next.candidate))
    const score = thousandth(Math.max(0, Math.min(next.own, ceiling)))
    ceiling = Math.max(0, score - STEP)
    ordered.push(next.candidate)
    scores.push(score)
  }
  const top = ordered.slice(0, UNLIKE_PLACES)
  return [...(wish.distance === undefined ? mildFirst(top) : top), ...ordered.slice(UNLIKE_PLACES)].map(
    (candidate, place) => ({
      candidate,
      score: scores[place] as number,
      reason: reasonOf(candidate, wish),
    }),
  )
}

/** New chords from a little to a lot, what changes nothing last; other kinds as they are. */
function mildFirst<T extends Candidate>(top: readonly T[]): readonly T[] {
  if (top[0]?.kind !== 'harmony') return top
  const boldness = ({ offer }: T): number => (offer.distance === 0 ? 1 : offer.distance)
  return top.toSorted((a, b) => boldness(a) - boldness(b))
}

const ownScore = ({ offer, warnings, newlyOutOfRange }: Candidate, wish: Wish): number =>
  thousandth(
    wishedFor(offer, wish) -
      (newlyOutOfRange.length > 0 ? OUT_OF_RANGE_COST : 0) -
      WARNING_COST * Math.min(MOST_WARNINGS, warnings),
  )

/** How well an offer suits the tune and what was asked for. To leave the tune as it is is no answer to "a little". */
function wishedFor({ suits, distance, params }: Offer, wish: Wish): number {
  const bars = params['bars']
  const isOtherLength = wish.bars !== undefined && typeof bars === 'number' && bars !== wish.bars
  const isOtherKey = wish.semitones !== undefined && params['semitones'] !== wish.semitones
  const cost = isOtherLength || isOtherKey ? OTHER_COST : 0
  if (wish.distance === undefined) return suits - cost
  const near = distance === 0 ? 0 : 1 - distance
  const asked = wish.distance === 'a little' ? near : distance
  return (1 - DISTANCE_WEIGHT) * suits + DISTANCE_WEIGHT * asked - cost
}

/** Near-duplicates: offers of one family (lifts to the same key), else options of one recipe. */
const familyOf = ({ offer }: Candidate): string => offer.family ?? offer.recipe

function reasonOf({ newlyOutOfRange, warnings }: Candidate, wish: Wish): readonly RuleStep[] {
  const steps: RuleStep[] = []
  if (wish.distance !== undefined)
    steps.push({ rule: 'PR12', text: `ranked by distance: ${wish.distance} was asked for` })
  if (newlyOutOfRange.length > 0) {
    const who = newlyOutOfRange.join(' and ')
    steps.push({ rule: 'PR6', text: `ranked lower: out of range for ${who}` })
  }
  if (warnings > 0) steps.push({ rule: 'PR6', text: `ranked lower: the checks have ${warnings} more to remark` })
  return steps
}

const thousandth = (value: number): number => Math.round(value * 1000) / 1000
