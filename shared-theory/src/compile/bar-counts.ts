/** Numbers of bars asked for by hand: of the opening, the ending, or a section. What was not to be had is said. */
import { filled, wholeBar } from '../decisions/index.js'
import type { ArrangedBar, HandEdit, Issue, PlacedChord, Plan, SectionRef } from '../contract/index.js'
import { issue } from '../units/index.js'
import { chosenOnce } from './stages.js'
import { bars as counted, edited, editsOf, passName } from './edit-words.js'

type CountEdit = Extract<HandEdit, { kind: 'bars' }>

/** Most bars a section may be given. */
const MOST_BARS = 64

/** Counts of opening and ending go into their options before the stages. */
export function withBarCounts(plan: Plan): Plan {
  const counts = editsOf(plan).flatMap(({ edit }) =>
    edit.kind === 'bars' && typeof edit.at === 'string' ? [edit] : [],
  )
  if (counts.length === 0) return plan
  const chosen = plan.chosen.map((choice) => {
    const count = counts.findLast((edit) => edit.at === choice.kind)
    return count
      ? { ...choice, option: { ...choice.option, params: { ...choice.option.params, bars: count.bars } } }
      : choice
  })
  return { ...plan, chosen }
}

export interface Counted {
  readonly bars: readonly ArrangedBar[]
  readonly issues: readonly Issue[]
}

/** Sections cut or lengthened by hand: cut from the end, lengthened by holding the last chord without melody. `tuneBars` are the bars before
 *  the groove, which counts them; `grooved` those after it. */
export function applySectionCounts(
  start: readonly ArrangedBar[],
  plan: Plan,
  tuneBars: readonly ArrangedBar[],
  grooved: readonly ArrangedBar[],
): Counted {
  const issues: Issue[] = []
  // Of several counts for one section the last stands by itself: what an earlier one would have cut is still there.
  const standing = new Map<string, { readonly edit: CountEdit; readonly path: string; readonly place: string }>()
  for (const { edit, path } of editsOf(plan)) {
    if (edit.kind !== 'bars' || typeof edit.at === 'string') continue
    const { passId, sectionId } = edit.at
    const place = `${passName(passId)}, ${sectionId ?? 'whole pass'}`
    const refuse = (why: string): void => {
      issues.push(issue('CO23', 'warning', path, `The bar count for ${place} is set aside: ${why}`))
    }
    if (sectionId === undefined || !Number.isInteger(edit.bars) || edit.bars < 1 || edit.bars > MOST_BARS) {
      refuse(`name a section that is played, and 1 to ${MOST_BARS} bars.`)
      continue
    }
    if (runsOf(start, edit.at, plan).length === 0) {
      refuse('this section is not played any more.')
      continue
    }
    const id = `${passId}/${sectionId}`
    const earlier = standing.get(id)
    if (earlier !== undefined)
      issues.push(
        issue('CO25', 'note', earlier.path, `A later edit gives ${place} another number of bars; that one stands.`),
      )
    standing.delete(id)
    standing.set(id, { edit, path, place })
  }
  let bars = start
  for (const { edit, path, place } of standing.values()) {
    const wanted = countHere(edit, plan, tuneBars, grooved)
    if (!Number.isInteger(wanted)) {
      const text = `${place}: ${counted(edit.bars)} of the tune don't fill whole bars of this groove; there are ${counted(Math.ceil(wanted))} now.`
      issues.push(issue('CO23', 'note', path, text))
    }
    for (const run of runsOf(bars, edit.at as SectionRef, plan).reverse()) bars = resized(bars, run, Math.ceil(wanted))
  }
  return { bars, issues }
}

/** How many bars of the groove the tune bars asked for are: two may be one, or one two. */
function countHere(
  edit: CountEdit,
  plan: Plan,
  tuneBars: readonly ArrangedBar[],
  grooved: readonly ArrangedBar[],
): number {
  const before = runsOf(tuneBars, edit.at as SectionRef, plan)[0]
  const after = runsOf(grooved, edit.at as SectionRef, plan)[0]
  if (!before || !after) return edit.bars
  return (edit.bars * (after.end - after.first)) / (before.end - before.first)
}

interface Run {
  readonly first: number
  readonly end: number
}

/** Every playing of a section in a pass and its repetitions; a section named twice in a row is two. */
function runsOf(bars: readonly ArrangedBar[], { passId, sectionId }: SectionRef, plan: Plan): Run[] {
  const isIn = (bar: ArrangedBar | undefined): bar is ArrangedBar =>
    bar !== undefined && bar.sectionId === sectionId && (bar.pass === passId || bar.pass.startsWith(`${passId}#`))
  const runs: Run[] = []
  for (let index = 0; index < bars.length; index++) {
    const bar = bars[index] as ArrangedBar
    // A pickup leads in and is not counted.
    if (!isIn(bar) || (index === 0 && wholeBar(bar) !== bar && bars.length > 1)) continue
    let end = index + 1
    while (isIn(bars[end]) && bars[end]?.pass === bar.pass && !beginsAgain(bars[end - 1], bars[end], plan)) end++
    runs.push({ first: index, end })
    index = end - 1
  }
  return runs
}

/** Where the running order plays a section twice in a row, the second begins where the tune starts over. */
function beginsAgain(before: ArrangedBar | undefined, bar: ArrangedBar | undefined, plan: Plan): boolean {
  const [from, to] = [before?.provenance.tuneBar, bar?.provenance.tuneBar]
  if (from === undefined || to === undefined || to >= from) return false
  const pass = plan.roadmap.find(({ id }) => bar?.pass === id || bar?.pass.startsWith(`${id}#`))
  return pass?.sections.some((id, index) => id === bar?.sectionId && pass.sections[index - 1] === id) ?? false
}

function resized(bars: readonly ArrangedBar[], { first, end }: Run, wanted: number): readonly ArrangedBar[] {
  const isLonger = wanted > end - first
  // A closing bar that others follow is full.
  const last = isLonger ? wholeBar(bars[end - 1] as ArrangedBar) : (bars[end - 1] as ArrangedBar)
  const held = last.chords.at(-1) as PlacedChord
  const extra = Array.from({ length: Math.max(0, wanted - (end - first)) }, (): ArrangedBar =>
    edited(last, { melody: [], chords: filled([{ ...held, startTick: 0 }], last.lengthTicks) }),
  )
  const kept = bars.slice(0, Math.min(end, first + wanted))
  return [...(isLonger ? [...kept.slice(0, -1), last] : kept), ...extra, ...bars.slice(end)]
}

/** Issues for counts of opening and ending that did not come about; `added` is how many bars each has put in. */
export function missedCounts(plan: Plan, added: { readonly [at in 'opening' | 'ending']: number }): readonly Issue[] {
  const last = new Map<string, string>()
  const issues: Issue[] = []
  const counts = editsOf(plan).flatMap(({ edit, path }) => (edit.kind === 'bars' ? [{ edit, path }] : []))
  const isNamed = ({ edit }: (typeof counts)[number]): boolean => typeof edit.at === 'string'
  for (const { edit, path } of [...counts.filter(isNamed), ...counts.filter((count) => !isNamed(count))]) {
    // The opening or ending as a section is the same place, and its count comes last.
    const at = typeof edit.at === 'string' ? edit.at : edit.at.passId
    if (at !== 'opening' && at !== 'ending') continue
    const earlier = last.get(at)
    if (earlier !== undefined)
      issues.push(
        issue('CO25', 'note', earlier, `A later edit gives the ${at} another number of bars; that one stands.`),
      )
    last.set(at, path)
  }
  for (const { edit, path } of editsOf(plan)) {
    if (edit.kind !== 'bars' || typeof edit.at !== 'string' || last.get(edit.at) !== path) continue
    if (edit.bars === added[edit.at]) continue
    const choice = chosenOnce(plan, edit.at)
    const why = choice
      ? `'${choice.option.title}' has ${counted(added[edit.at])} here.`
      : `no ${edit.at} is chosen. Choose one, or take the edit back.`
    issues.push(
      issue('CO23', 'warning', path, `The ${edit.at} does not get the ${counted(edit.bars)} asked for: ${why}`),
    )
  }
  return issues
}
