/** Hand edits, applied last and in order: a chord, a bar of melody, a voicing, the number of bars. Set aside with a word where they no longer fit. */
import { parseChord } from '../chords/index.js'
import { filled, wholeBar } from '../decisions/index.js'
import type { ArrangedBar, HandEdit, Issue, PlacedChord, Plan } from '../contract/index.js'
import { issue } from '../units/index.js'
import { type GrooveStage, findBar, grooveMaps, landEdit } from './place-edits.js'

export type VoicingEdit = Extract<HandEdit, { kind: 'voicing' }>

export interface Edited {
  readonly bars: readonly ArrangedBar[]
  readonly voicings: ReadonlyMap<number, readonly VoicingEdit[]>
  readonly issues: readonly Issue[]
}

/** Edits with the path that names each in an issue: those carried by chosen options first, then the plan's own. */
export function editsOf(plan: Plan): readonly { readonly edit: HandEdit; readonly path: string }[] {
  const carried = plan.chosen.flatMap(({ option }, index) =>
    (option.handEdits ?? []).map((edit, place) => ({ edit, path: `chosen/${index}/option/handEdits/${place}` })),
  )
  return [...carried, ...plan.edits.map((edit, place) => ({ edit, path: `edits/${place}` }))]
}

export function applyEdits(start: readonly ArrangedBar[], plan: Plan, stage: GrooveStage): Edited {
  const groove = grooveMaps(stage)
  const issues: Issue[] = []
  const voicings = new Map<number, VoicingEdit[]>()
  const bars = [...start]
  for (const { edit, path } of editsOf(plan)) {
    if (edit.kind === 'bars') continue
    const landed = landEdit(edit, bars, groove, plan)
    const where = `${edit.at.pass}, ${edit.at.sectionId}, bar ${edit.at.bar + 1}`
    if ('why' in landed) {
      issues.push(issue('CO21', 'warning', path, `Your edit in ${where} is set aside: ${landed.why}.`))
      continue
    }
    const bar = bars[landed.barIndex] as ArrangedBar
    const done = editBar(bar, landed.edit, plan)
    if ('why' in done) issues.push(issue('CO22', 'warning', path, `Your edit in ${where} is set aside: ${done.why}`))
    else if ('voicing' in done) voicings.set(landed.barIndex, [...(voicings.get(landed.barIndex) ?? []), done.voicing])
    else bars[landed.barIndex] = done.bar
  }
  return { bars, voicings, issues }
}

type Done = { readonly bar: ArrangedBar } | { readonly voicing: VoicingEdit } | { readonly why: string }

function editBar(bar: ArrangedBar, edit: Exclude<HandEdit, { kind: 'bars' }>, plan: Plan): Done {
  switch (edit.kind) {
    case 'chord':
      return editChord(bar, edit.startTick, edit.symbol)
    case 'melody': {
      const beyond = edit.notes.find(
        (note) =>
          note.startTick < 0 || note.durationTicks <= 0 || note.startTick + note.durationTicks > bar.lengthTicks,
      )
      if (beyond) return { why: `${beyond.name} runs past the bar.` }
      return { bar: edited(bar, { melody: [...edit.notes].sort((a, b) => a.startTick - b.startTick) }) }
    }
    case 'voicing':
      return plan.lineup.some((part) => part.id === edit.partId)
        ? { voicing: edit }
        : { why: `nobody called '${edit.partId}' plays in this line-up.` }
  }
}

/** The new chord sounds from its tick to the next chord's start. */
function editChord(bar: ArrangedBar, startTick: number, symbol: string): Done {
  if (startTick < 0 || startTick >= bar.lengthTicks) return { why: `the bar is over before tick ${startTick}.` }
  const read = parseChord(symbol)
  if (!read.ok) return { why: `'${symbol}' is no chord: ${read.issues[0]?.message ?? ''}` }
  if (read.value.symbol === '%') return { why: "'%' repeats a bar; write the chord itself." }
  const placed: PlacedChord = { startTick, durationTicks: 1, chord: read.value }
  const others = bar.chords.filter((known) => known.startTick !== startTick)
  const chords = [...others, placed].sort((a, b) => a.startTick - b.startTick)
  return { bar: edited(bar, { chords: filled(chords, bar.lengthTicks) }) }
}

/** A bar changed by hand keeps the decision that made it and says by its rule that a hand came after. */
function edited(bar: ArrangedBar, change: Partial<ArrangedBar>): ArrangedBar {
  return { ...bar, ...change, provenance: { ...bar.provenance, rule: 'CO7' } }
}

/** Bar counts edited by hand, before the stages: an opening's or ending's length goes into its option. */
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

/** Sections cut or lengthened by hand: cut from the end, lengthened by holding the last chord without melody. */
export function applySectionCounts(
  start: readonly ArrangedBar[],
  plan: Plan,
): { readonly bars: readonly ArrangedBar[]; readonly issues: readonly Issue[] } {
  const issues: Issue[] = []
  let bars = start
  for (const { edit, path } of editsOf(plan)) {
    if (edit.kind !== 'bars' || typeof edit.at === 'string') continue
    const { passId, sectionId } = edit.at
    const first = sectionId === undefined ? undefined : findBar(bars, { pass: passId, sectionId, bar: 0 })
    if (first === undefined || !Number.isInteger(edit.bars) || edit.bars < 1 || edit.bars > 64) {
      issues.push(
        issue(
          'CO23',
          'warning',
          path,
          `The bar count for ${passId}, ${sectionId ?? 'whole pass'} is set aside: name a section that is played, and 1 to 64 bars.`,
        ),
      )
      continue
    }
    let end = first
    while (bars[end]?.pass === passId && bars[end]?.sectionId === sectionId) end++
    const isLonger = edit.bars > end - first
    // A closing bar that others follow is full.
    const last = isLonger ? wholeBar(bars[end - 1] as ArrangedBar) : (bars[end - 1] as ArrangedBar)
    const held = last.chords.at(-1) as PlacedChord
    const extra = Array.from({ length: Math.max(0, edit.bars - (end - first)) }, (): ArrangedBar =>
      edited(last, { melody: [], chords: filled([{ ...held, startTick: 0 }], last.lengthTicks) }),
    )
    const kept = bars.slice(0, Math.min(end, first + edit.bars))
    bars = [...(isLonger ? [...kept.slice(0, -1), last] : kept), ...extra, ...bars.slice(end)]
  }
  return { bars, issues }
}
