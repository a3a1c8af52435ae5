/** The commands of a board: their shapes as rows of the ledger, who may give each, and what each one changes. */
import type { ArrangedBar, HandEdit, KeyName, Option, PartSpec, PassPlan, Slot, Tune } from '../contract/index.js'
import { slotKey } from './slot.js'
import type { PollAudience, PollMethod, Role, TallyRule } from './wire.js'

/** A choice of a poll, as the ledger keeps it. */
export interface PollOption {
  readonly id: string
  readonly title: string
  readonly option?: Option
}
export interface LinkRow {
  readonly linkId: string
  readonly role: Role
}

/** What an accepted row holds besides `commandId`: the request normalised, with what the server worked out (bars, ids, the tune). */
export interface CommandFields {
  createBoard: {
    readonly title: string
    readonly tune?: Tune
    readonly lineup?: readonly PartSpec[]
    readonly roadmap?: readonly PassPlan[]
    readonly links: readonly LinkRow[]
  }
  /** The history before this row came from a board file; its links and polls ended there. */
  importBoard: { readonly from: string; readonly links: readonly LinkRow[] }
  lock: {
    readonly slot: Slot
    readonly option: Option
    readonly bars: readonly ArrangedBar[]
    readonly tuneHash: string
    readonly why?: string
  }
  unlock: { readonly slot: Slot; readonly reason: string }
  openPoll: {
    readonly pollId: string
    readonly question: string
    readonly method: PollMethod
    readonly options: readonly PollOption[]
    readonly slot?: Slot
    readonly audience: PollAudience
    readonly closesAt?: number
    readonly tally: TallyRule
    readonly byRole?: true
  }
  closePoll: { readonly pollId: string }
  setLineup: { readonly lineup: readonly PartSpec[] }
  setRoadmap: { readonly roadmap: readonly PassPlan[] }
  nameVersion: { readonly name: string }
  restoreVersion: { readonly toSeq: number }
  issueLink: {
    readonly linkId: string
    readonly role: Role
    readonly label?: string
    readonly expiresAt?: number
    readonly personal?: true
  }
  revokeLink: { readonly linkId: string }
  setRights: { readonly rights: Tune['rights'] }
  setTune: {
    readonly format: string
    readonly tune: Tune
    readonly lineup?: readonly PartSpec[]
    readonly roadmap?: readonly PassPlan[]
  }
  setKey: { readonly key?: KeyName }
  setEdits: { readonly edits: readonly HandEdit[] }
  openPlace: { readonly slot: Slot }
  closePlace: { readonly slot: Slot }
  markPrinted: { readonly version: number }
}
export type CommandKind = keyof CommandFields
export type Command<K extends CommandKind = CommandKind> = {
  [Kind in K]: { readonly commandId: string; readonly kind: Kind } & CommandFields[Kind]
}[K]

/** Rows only the server itself writes. */
export const SERVER_KINDS = ['createBoard', 'importBoard'] as const satisfies readonly CommandKind[]

/** Who may give a command. A member adds one kind of row: a name for the state everybody sees. */
export const PERMISSIONS = {
  lock: ['leader'],
  unlock: ['leader'],
  openPoll: ['leader'],
  closePoll: ['leader'],
  setLineup: ['leader'],
  setRoadmap: ['leader'],
  nameVersion: ['leader', 'member'],
  restoreVersion: ['leader'],
  issueLink: ['leader'],
  revokeLink: ['leader'],
  setRights: ['leader'],
  setTune: ['leader'],
  setKey: ['leader'],
  setEdits: ['leader'],
  openPlace: ['leader'],
  closePlace: ['leader'],
  markPrinted: ['leader'],
} as const satisfies { readonly [kind in Exclude<CommandKind, (typeof SERVER_KINDS)[number]>]: readonly Role[] }
export type UserCommandKind = keyof typeof PERMISSIONS
export const COMMAND_KINDS = Object.keys(PERMISSIONS) as readonly UserCommandKind[]

export function isCommandKind(kind: unknown): kind is UserCommandKind {
  return typeof kind === 'string' && Object.hasOwn(PERMISSIONS, kind)
}

export function mayCommand(role: Role, kind: UserCommandKind): boolean {
  return (PERMISSIONS[kind] as readonly Role[]).includes(role)
}

/** Commands that must say which state they were given on. */
export const NEEDS_BASE: ReadonlySet<UserCommandKind> = new Set([
  'lock',
  'unlock',
  'setLineup',
  'setRoadmap',
  'restoreVersion',
  'setTune',
])

/** Everything at once: what a new tune or a restored version changes. */
export const EVERYTHING = '*'

/** What a row changed, by name: 'slot:lift', 'lineup', 'tune' … ; nothing for rows that change no music. */
export function targetOf(command: { readonly kind: string; readonly [field: string]: unknown }): string | undefined {
  switch (command.kind) {
    case 'lock':
    case 'unlock':
    case 'openPlace':
    case 'closePlace':
      return `slot:${slotKey(command['slot'] as Slot)}`
    case 'openPoll':
    case 'closePoll':
      return `poll:${String(command['pollId'])}`
    case 'setLineup':
      return 'lineup'
    case 'setRoadmap':
      return 'roadmap'
    case 'setKey':
      return 'key'
    case 'setEdits':
      return 'edits'
    case 'setTune':
    case 'restoreVersion':
    case 'importBoard':
      return EVERYTHING
    default:
      return undefined
  }
}

/** When each target last changed: the one thing staleness needs to remember. */
export type LastChanges = ReadonlyMap<string, number>

export function noteChange(
  changes: Map<string, number>,
  command: { readonly kind: string; readonly [field: string]: unknown },
  seq: number,
): void {
  const target = targetOf(command)
  if (target !== undefined) changes.set(target, seq)
}

/** Whether the command's target changed after the state its giver had seen. `restoreVersion` and `setTune` look at every target. */
export function isStale(
  changes: LastChanges,
  command: { readonly kind: string; readonly [field: string]: unknown },
  baseSeq: number,
): boolean {
  const target = targetOf(command)
  if (target === undefined) return false
  if (command.kind === 'restoreVersion') return [...changes.values()].some((seq) => seq > baseSeq)
  return (changes.get(target) ?? 0) > baseSeq || (changes.get(EVERYTHING) ?? 0) > baseSeq
}
