/** The ledger folded to what is final: a pure function of the rows, the same on server, page and command line. */
import type { BoardState, LedgerEntry, PassPlan, PartSpec, Slot } from '../contract/index.js'
import type { CommandFields, CommandKind } from './commands.js'
import { isObject } from './fields.js'
import { readableKind } from './row-shape.js'
import { slotKey } from './slot.js'

type Fields = { -readonly [K in keyof BoardState]: BoardState[K] }

export const EMPTY_STATE: BoardState = {
  seq: 0,
  title: '',
  rights: 'unknown',
  lineup: [],
  roadmap: [],
  edits: [],
  places: [],
  locks: [],
  polls: [],
  links: [],
  versions: [],
  printed: [],
}

/** The whole truth of what is final; keys in the order of `BoardState`, so that its JSON text can be compared. Rows of kinds it does not know, or without what their
 *  kind needs, change nothing but `seq`; what is no row at all is passed over. */
export function foldLedger(entries: readonly LedgerEntry[]): BoardState {
  const wanted = restoredRows(entries)
  const states = new Map([[0, EMPTY_STATE]])
  let state = EMPTY_STATE
  let append = appending()
  for (const entry of entries) {
    if (!isObject(entry) || !Number.isSafeInteger(entry.seq)) continue
    state = folded(state, entry, (seq) => states.get(seq), append)
    if (!wanted.has(entry.seq)) continue
    states.set(entry.seq, state)
    // Its lists are its own from now on.
    append = appending()
  }
  return state
}

type Append = <T>(list: readonly T[], item: T) => readonly T[]

const copied: Append = (list, item) => [...list, item]

/** Adds to lists it has made itself, so that a ledger of thousands of rows does not copy them row by row. */
function appending(): Append {
  const own = new WeakSet<object>()
  return (list, item) => {
    if (own.has(list)) {
      ;(list as (typeof item)[]).push(item)
      return list
    }
    const made = copied(list, item)
    own.add(made)
    return made
  }
}

/** Rows whose state comes back later: of a long ledger only these are kept, since every state has lists of its own. */
function restoredRows(entries: readonly LedgerEntry[]): ReadonlySet<unknown> {
  const restoring = entries.filter((entry) => isObject(entry) && readableKind(entry.command) === 'restoreVersion')
  return new Set(restoring.map(({ command }) => command['toSeq']))
}

/** One more row. `stateAt` gives the state after an earlier row: only a restored version asks for it. */
export function foldEntry(
  state: BoardState,
  entry: LedgerEntry,
  stateAt: (seq: number) => BoardState | undefined,
): BoardState {
  return folded(state, entry, stateAt, copied)
}

function folded(
  state: BoardState,
  entry: LedgerEntry,
  stateAt: (seq: number) => BoardState | undefined,
  append: Append,
): BoardState {
  const kind = readableKind(entry.command)
  if (!kind) return ordered({ ...state, seq: entry.seq })
  const fold = FOLDS[kind] as Fold<CommandKind>
  const changed = fold(state, entry.command as unknown as CommandFields[CommandKind], { entry, stateAt, append })
  return ordered({ ...state, ...changed, seq: entry.seq })
}

type Fold<K extends CommandKind> = (
  state: BoardState,
  command: CommandFields[K],
  at: {
    readonly entry: LedgerEntry
    readonly stateAt: (seq: number) => BoardState | undefined
    readonly append: Append
  },
) => Partial<Fields>

const FOLDS: { readonly [K in CommandKind]: Fold<K> } = {
  createBoard: (_state, { title, tune, lineup, roadmap, links }) => ({
    title,
    rights: tune?.rights ?? 'unknown',
    ...(tune ? { tune } : {}),
    ...band({ lineup, roadmap }),
    links: links.map(({ linkId, role }) => ({ linkId, role })),
  }),
  importBoard: (state, { links }) => ({
    links: [
      ...state.links.map((link) => ({ ...link, revoked: true as const })),
      ...links.map(({ linkId, role }) => ({ linkId, role })),
    ],
    polls: state.polls.map((poll) => ({ ...poll, open: false })),
  }),
  lock: (state, { slot, option, bars, tuneHash, why }, { entry: { seq } }) => ({
    places: without(state.places, slot),
    locks: [...unlocked(state, slot), { slot, option, bars, tuneHash, ...(why === undefined ? {} : { why }), seq }],
  }),
  unlock: (state, { slot }) => ({
    places: slot.at ? [...without(state.places, slot), slot] : state.places,
    locks: unlocked(state, slot),
  }),
  openPoll: (state, { pollId, question, slot }, { append }) => ({
    polls: append(state.polls, { pollId, question, open: true, ...(slot ? { slot } : {}) }),
  }),
  closePoll: (state, { pollId }) => ({
    polls: state.polls.map((poll) => (poll.pollId === pollId ? { ...poll, open: false } : poll)),
  }),
  setLineup: (_state, { lineup }) => ({ lineup }),
  setRoadmap: (_state, { roadmap }) => ({ roadmap }),
  nameVersion: (state, { name }, { entry: { seq }, append }) => ({
    versions: append(state.versions, { name, seq: seq - 1 }),
  }),
  restoreVersion: (state, { toSeq }, { stateAt }) => restored(state, stateAt(toSeq)),
  issueLink: (state, { linkId, role, label, personal }, { append }) => ({
    links: append(state.links, {
      linkId,
      role,
      ...(label === undefined ? {} : { label }),
      ...(personal ? { personal: true as const } : {}),
    }),
  }),
  revokeLink: (state, { linkId }) => ({
    links: state.links.map((link) => (link.linkId === linkId ? { ...link, revoked: true as const } : link)),
  }),
  setRights: (_state, { rights }) => ({ rights }),
  setTune: (_state, { tune, lineup, roadmap }) => ({ tune, ...band({ lineup, roadmap }) }),
  setKey: (_state, { key }) => ({ key: key as string }),
  setEdits: (_state, { edits }) => ({ edits }),
  openPlace: (state, { slot }) => ({ places: [...without(state.places, slot), slot] }),
  closePlace: (state, { slot }) => ({ places: without(state.places, slot) }),
  markPrinted: (state, { version }, { entry: { seq, at }, append }) => ({
    printed: append(state.printed, { version, seq, at }),
  }),
}

function band(given: {
  lineup: readonly PartSpec[] | undefined
  roadmap: readonly PassPlan[] | undefined
}): Partial<Fields> {
  return { ...(given.lineup ? { lineup: given.lineup } : {}), ...(given.roadmap ? { roadmap: given.roadmap } : {}) }
}

const without = (places: readonly Slot[], slot: Slot): readonly Slot[] =>
  places.filter((place) => slotKey(place) !== slotKey(slot))

const unlocked = (state: BoardState, slot: Slot): BoardState['locks'] =>
  state.locks.filter((lock) => slotKey(lock.slot) !== slotKey(slot))

/** The music of an earlier state; polls, links, names of versions and prints are history and stay. */
function restored(state: BoardState, earlier: BoardState | undefined): Partial<Fields> {
  if (!earlier) return {}
  const { tune, key, lineup, roadmap, edits, places, locks } = earlier
  return { ...state, tune, key, lineup, roadmap, edits, places, locks } as Partial<Fields>
}

/** Keys in contract order; absent where there is nothing to say. */
function ordered(state: BoardState): BoardState {
  return {
    seq: state.seq,
    title: state.title,
    rights: state.rights,
    ...(state.tune === undefined ? {} : { tune: state.tune }),
    ...(state.key === undefined ? {} : { key: state.key }),
    lineup: state.lineup,
    roadmap: state.roadmap,
    edits: state.edits,
    places: state.places,
    locks: state.locks,
    polls: state.polls,
    links: state.links,
    versions: state.versions,
    printed: state.printed,
  }
}
