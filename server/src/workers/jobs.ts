/** The heavy work by name: reading files, compiling, checking. Pure functions of plain JSON, run in worker threads by the server and directly by the command line. */
import {
  compile,
  compileForm,
  defaultPlan,
  foldLedger,
  planOfState,
  proposeOptions,
  readTune,
  tuneHash,
  validate,
  type ArrangedBar,
  type Arrangement,
  type BoardState,
  type Chosen,
  type Issue,
  type LedgerEntry,
  type Option,
  type PartSpec,
  type PassPlan,
  type Plan,
  type Result,
  type SectionRef,
  type Slot,
  type Tune,
  type TuneFormat,
} from '@chartloft/shared-theory'
import * as Y from 'yjs'
import { readBoardFile } from '../boards/board-file.js'
import { excerptOf } from './excerpt.js'

export type { TuneFormat }

export interface NewTune {
  readonly tune: Tune
  readonly lineup: readonly PartSpec[]
  readonly roadmap: readonly PassPlan[]
  readonly hash: string
}
export interface CheckedLock {
  readonly bars: readonly ArrangedBar[]
  readonly tuneHash: string
}
export interface PollExcerpt {
  readonly id: string
  /** Index of the excerpt's first bar in the whole arrangement. */
  readonly fromBar: number
  readonly arrangement: Arrangement
}

/** A tune file read, with the plan it starts from. */
export function newTune(format: TuneFormat, content: string | Uint8Array): Result<NewTune> {
  const read = readTune(format, content)
  if (!read.ok) return read
  const { roadmap, lineup } = defaultPlan(read.value)
  return { ok: true, value: { tune: read.value, roadmap, lineup, hash: tuneHash(read.value) } }
}

/** A choice laid into the board's final state: the bars it makes, or the errors it would bring that were not there before. */
export function checkLock(state: BoardState, slot: Slot, option: Option): Result<CheckedLock> {
  const plan = planWith(state, slot, option)
  if (!plan) return noTune()
  const { errors, arrangement } = newErrors(state, slot, plan)
  const [first, ...rest] = errors
  if (first) return { ok: false, issues: [first, ...rest] }
  const form = compileForm(plan).bars
  const bars = form.filter((bar) => isMadeBy(bar, option))
  return {
    ok: true,
    value: { bars: bars.length > 0 ? bars : barsAt(form, slot.at ?? option.at), tuneHash: tuneHash(plan.tune) },
    issues: noteOf(arrangement),
  }
}

/** Whether a changed line-up, running order, key or list of edits still compiles without new errors. */
export function checkState(before: BoardState, after: BoardState): Result<true> {
  const plan = planOfState(after)
  if (!plan) return { ok: true, value: true }
  const known = planOfState(before)
  const [first, ...rest] = beyond(errorsOf(plan).errors, known ? errorsOf(known).errors : [])
  return first ? { ok: false, issues: [first, ...rest] } : { ok: true, value: true }
}

/** What a poll plays: each option in its place, a few bars around it. */
export function pollExcerpts(
  state: BoardState,
  slot: Slot | undefined,
  options: readonly { readonly id: string; readonly option?: Option }[],
): Result<readonly PollExcerpt[]> {
  const excerpts: PollExcerpt[] = []
  for (const [index, { id, option }] of options.entries()) {
    if (!option) continue
    const place = slot ?? (option.at ? { decision: option.kind, at: option.at } : { decision: option.kind })
    const plan = planWith(state, place, option)
    if (!plan) return noTune()
    const { errors, arrangement } = newErrors(state, place, plan)
    if (errors.length > 0)
      return { ok: false, issues: errors.map((found) => ({ ...found, path: `options/${index}/${found.path}` })) }
    excerpts.push({ id, ...excerptOf(arrangement, option, place.at) })
  }
  return { ok: true, value: excerpts }
}

/** The options for a decision as the board stands, at a place where one is named; none while there is no tune. */
export function propose(state: BoardState, slot: Slot): readonly Option[] {
  const plan = planOfState(state)
  return plan ? proposeOptions(plan.tune, slot.decision, plan, slot.at) : []
}

/** A board file's rows and draft, replayed: does the ledger fold, does its plan compile, does the draft decode whole. */
export function checkBoardFile(
  entries: readonly LedgerEntry[],
  draft: Uint8Array,
): Result<{ readonly state: BoardState }> {
  const issues: Issue[] = []
  const refuse = (path: string, message: string) => issues.push({ code: 'BF1', severity: 'error', path, message })
  let state: BoardState | undefined
  try {
    state = foldLedger(entries)
    const plan = planOfState(state)
    if (plan) compile(plan)
  } catch {
    refuse('ledger', 'these rows do not replay to a board')
  }
  const doc = new Y.Doc()
  try {
    Y.applyUpdate(doc, draft)
    if (doc.store.pendingStructs || doc.store.pendingDs)
      refuse('draft', 'the draft is not whole: pieces it builds on are missing')
  } catch {
    refuse('draft', 'the draft does not decode')
  }
  doc.destroy()
  return state && issues.length === 0 ? { ok: true, value: { state } } : { ok: false, issues }
}

/** The choice `option` at `slot`, laid over what is locked. */
export function planWith(state: BoardState, slot: Slot, option: Option): Plan | undefined {
  const chosen: Chosen = slot.at ? { kind: slot.decision, at: slot.at, option } : { kind: slot.decision, option }
  return planOfState(state, [chosen])
}

function newErrors(
  state: BoardState,
  slot: Slot,
  plan: Plan,
): { readonly errors: readonly Issue[]; readonly arrangement: Arrangement } {
  const { errors, arrangement } = errorsOf(plan)
  if (errors.length === 0) return { errors, arrangement }
  const without = planOfState({
    ...state,
    locks: state.locks.filter((lock) => JSON.stringify(lock.slot) !== JSON.stringify(slot)),
  })
  return { errors: beyond(errors, without ? errorsOf(without).errors : []), arrangement }
}

function errorsOf(plan: Plan): { readonly errors: readonly Issue[]; readonly arrangement: Arrangement } {
  const { arrangement, issues } = compile(plan)
  const errors = [...issues, ...validate(arrangement, { plan })].filter((found) => found.severity === 'error')
  return { errors, arrangement }
}

/** Errors of a kind that are more than there were before; bars may have moved, so kinds are counted, not places. */
function beyond(errors: readonly Issue[], before: readonly Issue[]): readonly Issue[] {
  return errors.filter((found) => countOf(errors, found.code) > countOf(before, found.code))
}

const countOf = (issues: readonly Issue[], code: string): number => issues.filter((found) => found.code === code).length

const isMadeBy = (bar: ArrangedBar, option: Option): boolean =>
  (bar.provenance.decision === option.kind && bar.provenance.optionId === option.id) ||
  (bar.provenance.trail ?? []).some((step) => step.decision === option.kind && step.optionId === option.id)

function barsAt(bars: readonly ArrangedBar[], at: SectionRef | undefined): readonly ArrangedBar[] {
  if (!at) return []
  const section = bars.filter(
    (bar) => bar.pass.split('#')[0] === at.passId && (at.sectionId === undefined || bar.sectionId === at.sectionId),
  )
  const from = at.fromBar ?? 0
  return at.bars === undefined && at.fromBar === undefined
    ? section
    : section.slice(from, from + (at.bars ?? section.length))
}

const noTune = <T>(): Result<T> => ({
  ok: false,
  issues: [{ code: 'BF2', severity: 'error', path: 'tune', message: 'this board has no tune yet: bring one first' }],
})

const noteOf = (arrangement: Arrangement): readonly Issue[] =>
  arrangement.bars.length > 0
    ? []
    : [{ code: 'BF2', severity: 'warning', path: 'bars', message: 'the arrangement has no bars' }]

export const JOBS = { newTune, propose, checkLock, checkState, pollExcerpts, checkBoardFile, readBoardFile }
export type Jobs = typeof JOBS
export type JobName = keyof Jobs
