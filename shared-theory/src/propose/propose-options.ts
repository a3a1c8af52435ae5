/** Options for a decision: every recipe tried on this tune, each offer compiled and checked, the rest ranked with reasons. */
import { barsBefore, compileForm, planShape, recipesOf, sectionRef } from '../compile/index.js'
import type { Chosen, DecisionKind, Issue, Option, Plan, SectionRef, Tune, Wish } from '../contract/index.js'
import type { Offer } from '../decisions/index.js'
import { checkChanges, type Found, newFault, printed, type Printed } from './changes.js'
import { defaultPlace } from './default-place.js'
import { partsOutOfRange, secondsOf } from './effects.js'
import { optionId, uniqueId } from './option-id.js'
import { type Candidate, rank } from './rank.js'
import { remediesFor } from './remedies.js'

export interface Absent {
  readonly recipe: string
  readonly why: string
}

interface Tried extends Candidate {
  readonly id: string
  readonly addedBars: number
  readonly addedSeconds: number
  /** What helps where a part leaves its range. */
  readonly remedies: Option['reason']
}

/** Ranked options, best first; ids are unique and deterministic, scores fall. `at` is where harmony and lift act (default: see
 *  `defaultPlace`). Choices of the same kind already in the plan, and hand edits, play no part; but a lift asked for at a place starts from
 *  the lifts at other places. `wish` asks for more options, or others first. */
export function proposeOptions(tune: Tune, kind: DecisionKind, plan: Plan, at?: SectionRef, wish: Wish = {}): Option[] {
  return rank(tryRecipes(tune, kind, plan, at, wish).tried, wish).map(({ candidate, score, reason }) =>
    optionOf(candidate, score, reason),
  )
}

/** Why recipes of a kind are absent here, in a sentence each: nothing to act on, a clash, or the same as another option. */
export function explainAbsent(
  tune: Tune,
  kind: DecisionKind,
  plan: Plan,
  at?: SectionRef,
  wish: Wish = {},
): readonly Absent[] {
  return tryRecipes(tune, kind, plan, at, wish).absent
}

function optionOf(tried: Tried, score: number, ranked: Option['reason']): Option {
  const { offer, id, kind, addedBars, addedSeconds, outOfRange, remedies } = tried
  return {
    id,
    kind,
    recipe: offer.recipe,
    title: offer.title,
    params: offer.params,
    summary: offer.summary,
    reason: [...offer.reason, ...remedies, ...ranked],
    effects: {
      addedBars,
      addedSeconds,
      energy: thousandth(offer.energy),
      distance: thousandth(offer.distance),
      difficulty: thousandth(offer.difficulty),
      ...(outOfRange.length > 0 ? { outOfRange } : {}),
    },
    score,
    ...(offer.at ? { at: offer.at } : {}),
  }
}

/** What the plan is without the decision asked about: the ground every offer is compared with. */
interface Ground {
  readonly plan: Plan
  readonly made: Printed
  readonly seconds: number
  readonly outOfRange: readonly string[]
  readonly issues: ReadonlySet<string>
  readonly found: Found
}

const NOTHING = { tried: [], absent: [] }

function tryRecipes(
  given: Tune,
  kind: DecisionKind,
  asked: Plan,
  at: SectionRef | undefined,
  wish: Wish,
): { readonly tried: readonly Tried[]; readonly absent: readonly Absent[] } {
  const { plan: whole } = planShape({ ...asked, tune: given, edits: [] })
  const { tune } = whole
  if (tune.bars.length === 0 || (at !== undefined && !sectionRef(at))) return NOTHING
  const isGround = (chosen: Chosen): boolean => chosen.kind !== kind || (at !== undefined && isOtherLift(chosen, at))
  const plan: Plan = { ...whole, chosen: whole.chosen.filter(isGround) }
  const place = kind === 'harmony' || kind === 'lift' ? (at ?? defaultPlace(tune, kind, plan)) : undefined
  const ground = groundOf(plan)
  // What other lifts have moved already is where this one starts.
  const bars = barsBefore(plan, kind === 'lift' ? 'groove' : kind)
  const context = { tune, plan, bars, wish, ...(place ? { at: place } : {}) }
  const tried: Tried[] = []
  const absent: Absent[] = []
  const seen = new Map<string, string>()
  const taken = new Set<string>()
  for (const recipe of recipesOf(kind)) {
    const answer = recipe.offer(context)
    if ('absent' in answer) {
      absent.push({ recipe: recipe.id, why: answer.absent })
      continue
    }
    let kept = 0
    let refusal = ''
    for (const offer of answer.offers) {
      const id = uniqueId(optionId(kind, recipe.id, offer.params), offer.params, taken)
      const outcome = tryOffer(ground, kind, id, offer, seen)
      if (typeof outcome === 'string') {
        refusal ||= outcome
        continue
      }
      taken.add(id)
      tried.push(outcome)
      kept++
    }
    if (kept === 0) absent.push({ recipe: recipe.id, why: refusal || 'It has nothing to offer here.' })
  }
  return { tried, absent }
}

/** A lift chosen at another place than the one asked about: a second lift adds to it. */
function isOtherLift(chosen: Chosen, at: SectionRef): boolean {
  const own = chosen.at ?? chosen.option.at
  return (
    chosen.kind === 'lift' &&
    own !== undefined &&
    (own.passId !== at.passId || own.sectionId !== at.sectionId || (own.fromBar ?? 0) !== (at.fromBar ?? 0))
  )
}

/** The offer compiled and checked; a sentence where it cannot stand. */
function tryOffer(
  ground: Ground,
  kind: DecisionKind,
  id: string,
  offer: Offer,
  seen: Map<string, string>,
): Tried | string {
  const { title, params, summary, reason, recipe } = offer
  const option: Option = {
    id,
    kind,
    recipe,
    title,
    params,
    summary,
    reason,
    score: 0,
    ...(offer.at ? { at: offer.at } : {}),
  }
  const chosen: Chosen = { kind, option, ...(offer.at ? { at: offer.at } : {}) }
  const plan: Plan = { ...ground.plan, chosen: [...ground.plan.chosen, chosen] }
  const { bars, groove, issues } = compileForm(plan)
  const failed = issues.find((found) => found.severity !== 'note' && !ground.issues.has(nameOf(found)))
  if (failed) return failed.message
  const made = printed(bars)
  const print = `${groove}|${made.prints.join('|')}`
  const twin = seen.get(print)
  if (twin !== undefined) return `Here it would sound just like '${twin}'.`
  const found = checkChanges(made, ground.made)
  const fault = newFault(ground.found, found)
  if (fault) return fault.message
  seen.set(print, title)
  const outOfRange = partsOutOfRange(bars, plan)
  const newlyOutOfRange = outOfRange.filter((part) => !ground.outOfRange.includes(part))
  return {
    id,
    kind,
    offer,
    outOfRange,
    newlyOutOfRange,
    remedies: remediesFor(bars, plan, kind === 'lift' ? outOfRange : newlyOutOfRange, id),
    warnings: found.warnings,
    addedBars: bars.length - ground.made.bars.length,
    addedSeconds: thousandth(secondsOf(bars) - ground.seconds),
  }
}

function groundOf(plan: Plan): Ground {
  const { bars, issues } = compileForm(plan)
  const made = printed(bars)
  return {
    plan,
    made,
    seconds: secondsOf(bars),
    outOfRange: partsOutOfRange(bars, plan),
    issues: new Set(issues.map(nameOf)),
    found: checkChanges(made),
  }
}

const nameOf = ({ code, message }: Issue): string => `${code} ${message}`
const thousandth = (value: number): number => Math.round(value * 1000) / 1000
