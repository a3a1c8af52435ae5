/** States of the board one may look at or compare: after an entry, as locked now, as heard now. */
import type { BoardState, LedgerEntry, Plan } from '@chartloft/shared-theory'
import { planOfState } from '@chartloft/shared-theory/board'
import type { Room } from '../state/room.js'

/** '7', 'now' or 'heard', as it stands in an address. */
export type Moment = string

/** Kinds of entries that change what is played. */
const MUSICAL = new Set([
  'createBoard',
  'importBoard',
  'lock',
  'unlock',
  'setLineup',
  'setRoadmap',
  'setTune',
  'setKey',
  'setEdits',
  'restoreVersion',
])
export const isMusical = ({ command }: LedgerEntry): boolean => MUSICAL.has(command.kind)

/** What an address of the history names: nothing, one entry, or two moments. */
export function readAddress(
  at: string,
):
  | { readonly kind: 'list' }
  | { readonly kind: 'one'; readonly seq: number }
  | { readonly kind: 'two'; readonly before: Moment; readonly after: Moment } {
  const [before = '', after] = at.split('-')
  if (after !== undefined) return { kind: 'two', before, after }
  return /^\d{1,9}$/.test(before) ? { kind: 'one', seq: Number(before) } : { kind: 'list' }
}

/** State and plan at a moment; undefined where the ledger has no such entry. */
export function momentOf(
  room: Room,
  moment: Moment,
): { readonly state: BoardState; readonly plan: Plan | undefined } | undefined {
  const { board } = room
  if (!board) return undefined
  if (moment === 'now') return { state: board, plan: planOfState(board) }
  if (moment === 'heard') return { state: board, plan: room.plan.value }
  const seq = Number(moment)
  if (!room.ledger.entries.value.some((entry) => entry.seq === seq)) return undefined
  const state = room.ledger.stateAt(seq)
  return { state, plan: planOfState(state) }
}
