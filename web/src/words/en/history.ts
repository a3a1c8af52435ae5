/** The history, and what a row of it says. */
import type { LedgerEntry, Slot } from '@chartloft/shared-theory'
import { board } from './board.js'
import { dateTime } from './counting.js'
import { DECISIONS } from './decisions.js'

export const history = {
  title: 'History',
  lead: 'Every change that was accepted, newest first. Nothing is ever overwritten.',
  namedTitle: 'Named versions',
  entriesTitle: 'Every entry',
  noNames: 'None yet. A name makes a state easy to find again.',
  whatStood: 'What stood then',
  compareNow: 'Compare with now',
  actOn: (act: string, seq: number): string => `${act}, after entry ${seq}`,
  showAll: (count: number): string => `Show all ${count} entries`,
  after: (seq: number): string => `after entry ${seq}`,
  restored: 'It stands as it did then. What came in between is still in the history.',
  nameIt: 'Name the board as it stands now',
  nameButton: 'Name it',
  restore: 'Bring it back',
  restoreNote: 'Bringing a state back adds a new entry; nothing after it is lost.',
  named: (name: string): string => `called “${name}”`,
  empty: 'Nothing has happened yet.',
  row: (entry: LedgerEntry): string => ledgerWords(entry),
  when: (at: number): string => dateTime.format(at),
} as const

/** What is read out when a row arrives; nothing for rows that concern nobody else. */
export function ledgerNews(entry: LedgerEntry): string | undefined {
  const { kind } = entry.command
  const silent = ['createBoard', 'issueLink', 'revokeLink', 'markPrinted']
  return silent.includes(kind) ? undefined : `${ledgerWords(entry)}, by ${entry.by.name || 'somebody'}.`
}

function ledgerWords({ command }: LedgerEntry): string {
  const slot = command['slot'] as Slot | undefined
  const decision = slot ? DECISIONS[slot.decision] : ''
  const title = (command['option'] as { title?: string } | undefined)?.title
  switch (command.kind) {
    case 'createBoard':
      return `Board opened: ${String(command['title'])}`
    case 'importBoard':
      return 'Brought in from a board file'
    case 'lock':
      return `${decision} locked: ${title ?? ''}`
    case 'unlock':
      return `${decision} unlocked: “${String(command['reason'])}”`
    case 'openPoll':
      return `Vote opened: ${String(command['question'])}`
    case 'closePoll':
      return 'Vote closed'
    case 'setLineup':
      return 'Line-up changed'
    case 'setRoadmap':
      return 'Running order changed'
    case 'nameVersion':
      return `Called “${String(command['name'])}”`
    case 'restoreVersion':
      return `Restored the state after entry ${String(command['toSeq'])}`
    case 'issueLink':
      return `A new ${String(command['role'])} link was made`
    case 'revokeLink':
      return 'A link was taken back'
    case 'setRights':
      return `Rights: ${board.rights[command['rights'] as keyof typeof board.rights] ?? ''}`
    case 'setTune':
      return 'The tune was brought in again'
    case 'setKey':
      return `Key: ${(command['key'] as string | undefined) ?? 'the tune’s own'}`
    case 'setEdits':
      return 'Hand edits taken over'
    case 'openPlace':
      return `${decision} asked at a new place`
    case 'closePlace':
      return `${decision} no longer asked there`
    case 'markPrinted':
      return `Charts printed, version ${String(command['version'])}`
    default:
      return command.kind
  }
}
