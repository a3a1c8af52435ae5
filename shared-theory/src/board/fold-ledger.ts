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
  const states: BoardState[] = [EMPTY_STATE]
  let state = EMPTY_STATE
  for (const entry of entries) {
    if (!isObject(entry) || !Number.isSafeInteger(entry.seq)) continue
    state = foldEntry(state, entry, (seq) => states[seq])
    states[entry.seq] = state
  }
  return state
}

/** One more row. `stateAt` gives the state after an earlier row: only a restored version asks for it. */
export function foldEntry(
  state: BoardState,
  entry: LedgerEntry,
  stateAt: (seq: number) => BoardState | undefined,
): BoardState {
  const kind = readableKind(entry.command)
  if (!kind) return ordered({ ...state, seq: entry.seq })
  const fold = FOLDS[kind] as Fold<CommandKind>
  const changed = fold(state, entry.command as unknown as CommandFields[CommandKind], entry, stateAt)
  return ordered({ ...state, ...changed, seq: entry.seq })
}

type Fold<K extends CommandKind> = (
  state: BoardState,
  command: CommandFields[K],
  entry: LedgerEntry,
  stateAt: (seq: number) => BoardState | undefined,
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
  lock: (state, { slot, option, bars, tuneHash, why }, { seq }) => ({
    places: without(state.places, slot),
    locks: [...unlocked(state, slot), { slot, option, bars, tuneHash, ...(why === undefined ? {} : { why }), seq }],
  }),
  unlock: (state, { slot }) => ({
    places: slot.at ? [...without(state.places, slot), slot] : state.places,
    locks: unlocked(state, slot),
  }),
  openPoll: (state, { pollId, question, slot }) => ({
    polls: [...state.polls, { pollId, question, open: true, ...(slot ? { slot } : {}) }],
  }),
  closePoll: (state, { pollId }) => ({
    polls: state.polls.map((poll) => (poll.pollId === pollId ? { ...poll, open: false } : poll)),
  }),
  setLineup: (_state, { lineup }) => ({ lineup }),
  setRoadmap: (_state, { roadmap }) => ({ roadmap }),
  nameVersion: (state, { name }, { seq }) => ({ versions: [...state.versions, { name, seq: seq - 1 }] }),
  restoreVersion: (state, { toSeq }, _entry, stateAt) => restored(state, stateAt(toSeq)),
  issueLink: (state, { linkId, role, label, personal }) => ({
    links: [
      ...state.links,
      { linkId, role, ...(label === undefined ? {} : { label }), ...(personal ? { personal: true as const } : {}) },
    ],
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
  markPrinted: (state, { version }, { seq, at }) => ({ printed: [...state.printed, { version, seq, at }] }),
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
