/** Coming in, links, people. */
import type { Words } from '../catalogue.js'

export const join = {
  gone: 'Dieser Link öffnet kein Board',
  goneWhy:
    'Vielleicht wurde er zurückgenommen, ist abgelaufen oder unterwegs unvollständig geworden. Bitte die Person, von der er kam, um einen neuen.',
  noSession: 'Du brauchst den Link, um hereinzukommen',
  noSessionWhy: 'Dieser Browser war noch nicht hier. Öffne den Link, den du bekommen hast; er ist dein Schlüssel.',
  unreachable: 'Der Server ist nicht zu erreichen',
  unreachableWhy:
    'Dieser Browser hat von diesem Board noch nichts, was er zeigen könnte. Öffne es wieder, wenn du Netz hast.',
  home: 'Ein eigenes Stück mitbringen',
  name: 'Wie nennt dich die Band?',
  plays: 'und du spielst',
  thatsMe: 'Das bin ich',
  nobody: 'jemand',
} satisfies Words['join']

export const links = {
  leader: 'Leitung',
  member: 'Band',
  listener: 'Publikum',
  leaderNote: 'Legt fest, eröffnet Abstimmungen, druckt. Für dich.',
  memberNote: 'Hört, ändert Entwürfe, kommentiert, stimmt ab. Für deine Band.',
  listenerNote: 'Hört die Antworten und stimmt ab. Für alle, die du magst.',
  copy: 'Kopieren',
  copied: 'Kopiert.',
  copyByHand: 'Dieser Browser lässt die Seite nicht kopieren. Markier den Link und kopiere ihn selbst.',
  share: 'Teilen',
  code: 'QR-Code',
  codeOf: (what: string): string => `QR-Code: ${what}`,
  scan: 'Halt die Kamera eines Telefons darauf.',
  tooLong: 'Dieser Link ist zu lang für einen Code.',
} satisfies Words['links']

export const people = {
  title: 'Leute und Links',
  here: 'Gerade da',
  you: 'du',
  nobodyElse: 'Im Moment nur du.',
  me: 'Du',
  name: 'Dein Name',
  plays: 'Was du spielst',
  save: 'So heiße ich',
  savedName: 'Alle sehen jetzt deinen Namen.',
  links: 'Links',
  linksNote:
    'Der Server behält keine lesbare Kopie eines Links. Ist einer verloren, mach einen neuen und nimm den alten zurück.',
  issue: 'Einen neuen Link machen',
  issueRole: 'Für',
  issueLabel: 'Eine Notiz, damit du ihn wiedererkennst',
  issuePersonal: 'Für eine Person: Alle ihre Browser zählen als eine Stimme',
  issueButton: 'Link machen',
  issued: 'Hier ist er. Er wird nur jetzt gezeigt.',
  revoke: 'Zurücknehmen',
  revoked: 'zurückgenommen',
  personal: 'eine Person',
  roleNames: { leader: 'Leitung', member: 'Band', listener: 'Publikum' },
  at: (page: string): string => `auf ${page}`,
  delete: 'Dieses Board löschen',
  deleteNote:
    'Entwurf, Festgelegtes, Stimmen und Links sind dann vom Server verschwunden. Sicherungskopien, Heruntergeladenes und Papier bleiben. Tipp den Titel ein, damit es kein Versehen ist.',
  deleteButton: 'Endgültig löschen',
  deleted: 'Das Board ist weg.',
} satisfies Words['people']
