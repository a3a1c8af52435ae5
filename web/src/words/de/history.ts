/** The history, and what a row of it says. */
import type { LedgerEntry, Slot } from '@chartloft/shared-theory'
import type { Words } from '../catalogue.js'
import { board } from './board.js'
import { dateTime } from './counting.js'
import { DECISIONS } from './decisions.js'
import { people } from './people.js'

export const history = {
  title: 'Verlauf',
  lead: 'Jede angenommene Änderung, die neueste zuerst. Nichts wird je überschrieben.',
  namedTitle: 'Benannte Fassungen',
  entriesTitle: 'Jeder Eintrag',
  noNames: 'Noch keine. Unter einem Namen findet man einen Stand leicht wieder.',
  whatStood: 'Was damals galt',
  compareNow: 'Mit jetzt vergleichen',
  actOn: (act: string, seq: number): string => `${act}, nach Eintrag ${seq}`,
  showAll: (count: number): string => `Alle ${count} Einträge zeigen`,
  after: (seq: number): string => `nach Eintrag ${seq}`,
  restored: 'Es gilt wieder, was damals galt. Was dazwischen kam, steht weiter im Verlauf.',
  nameIt: 'Den jetzigen Stand benennen',
  nameButton: 'Benennen',
  restore: 'Zurückholen',
  restoreNote: 'Einen Stand zurückzuholen ist ein neuer Eintrag; nichts danach geht verloren.',
  named: (name: string): string => `„${name}“ genannt`,
  empty: 'Noch ist nichts geschehen.',
  row: (entry: LedgerEntry): string => ledgerWords(entry),
  when: (at: number): string => dateTime.format(at),
} satisfies Words['history']

/** What is read out when a row arrives; nothing for rows that concern nobody else. */
export function ledgerNews(entry: LedgerEntry): string | undefined {
  const { kind } = entry.command
  const silent = ['createBoard', 'issueLink', 'revokeLink', 'markPrinted']
  return silent.includes(kind) ? undefined : `${ledgerWords(entry)}, von ${entry.by.name || 'jemandem'}.`
}

function ledgerWords({ command }: LedgerEntry): string {
  const slot = command['slot'] as Slot | undefined
  const decision = slot ? DECISIONS[slot.decision] : ''
  const title = (command['option'] as { title?: string } | undefined)?.title
  switch (command.kind) {
    case 'createBoard':
      return `Board eröffnet: ${String(command['title'])}`
    case 'importBoard':
      return 'Aus einer Board-Datei geholt'
    case 'lock':
      return `${decision} festgelegt: ${title ?? ''}`
    case 'unlock':
      return `${decision} wieder offen: „${String(command['reason'])}“`
    case 'openPoll':
      return `Abstimmung eröffnet: ${String(command['question'])}`
    case 'closePoll':
      return 'Abstimmung geschlossen'
    case 'setLineup':
      return 'Besetzung geändert'
    case 'setRoadmap':
      return 'Ablauf geändert'
    case 'nameVersion':
      return `„${String(command['name'])}“ genannt`
    case 'restoreVersion':
      return `Stand nach Eintrag ${String(command['toSeq'])} zurückgeholt`
    case 'issueLink':
      return `Ein neuer Link: ${people.roleNames[command['role'] as keyof typeof people.roleNames] ?? ''}`
    case 'revokeLink':
      return 'Ein Link wurde zurückgenommen'
    case 'setRights':
      return `Rechte: ${board.rights[command['rights'] as keyof typeof board.rights] ?? ''}`
    case 'setTune':
      return 'Das Stück wurde neu mitgebracht'
    case 'setKey':
      return `Tonart: ${(command['key'] as string | undefined) ?? 'die des Stücks'}`
    case 'setEdits':
      return 'Handänderungen übernommen'
    case 'openPlace':
      return `${decision}: an einer neuen Stelle gefragt`
    case 'closePlace':
      return `${decision}: dort nicht mehr gefragt`
    case 'markPrinted':
      return `Noten gedruckt, Fassung ${String(command['version'])}`
    default:
      return command.kind
  }
}
