/** The decision desk: answers, hearing, editing, comments, votes, the lock. */
import type { DecisionKind } from '@chartloft/shared-theory'
import type { Words } from '../catalogue.js'
import { capital, counted, dateTime, plural } from './counting.js'
import { ACCUSATIVE, DECISIONS } from './decisions.js'

export const desk = {
  back: 'Zurück zum Board',
  where: (pass: string, card: string, bar: number): string => `${pass}, ${card}, Takt ${bar}`,
  lead: (count: number, comparing: number): string =>
    count === 0
      ? 'Hier passt noch nichts.'
      : `${capital(counted(count))} ${count === 1 ? 'Antwort passt' : 'Antworten passen'} zu diesem Stück.${comparing > 0 ? ` Du vergleichst ${counted(comparing)}.` : ''}`,
  all: 'Alle, die passendsten zuerst',
  listAll: (count: number): string => `Alle ${count} zeigen`,
  longer: (bars: number): string =>
    bars === 0
      ? 'gleich lang'
      : bars > 0
        ? `+${plural(bars, 'Takt', 'Takte')}`
        : `${plural(-bars, 'Takt', 'Takte')} weniger`,
  absent: 'Was hier nicht geht',
  closePlace: 'Hier nicht mehr fragen',
  hearInPlace: 'An seiner Stelle hören',
  hearNote: 'ein paar Takte vor der Änderung; alle hören dasselbe. Beim Umschalten bleibt der Takt.',
  hear: (number: number): string => `${number} hier hören`,
  hearing: (number: number, bar: number): string => `${number} läuft, Takt ${bar}`,
  hearOption: (number: number): string => `Antwort ${number} hören`,
  stopTrying: 'Zurücksetzen, was vorher da war',
  nowInPlace: (kind: DecisionKind, title: string): string => `${DECISIONS[kind]}: ${title}, jetzt für alle eingesetzt.`,
  aside: 'Beiseitegelegt, solange dies festgelegt ist. Wird wieder angeboten, sobald es offen ist.',
  asideAgain: 'Änderungen im Entwurf, die nicht eingesetzt sind',
  putInPlace: 'Einsetzen',
  hearLocked: 'Hier ist eine andere Antwort festgelegt. Sobald sie wieder offen ist, kann man diese hier hören.',
  tryingNow: 'gerade eingesetzt',
  facts(effects: { addedBars: number; addedSeconds: number; energy: number; difficulty: number } | undefined): string {
    if (!effects) return ''
    const seconds = Math.round(Math.abs(effects.addedSeconds))
    const span =
      seconds < 90 ? `${seconds} s` : `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')} min`
    const length =
      effects.addedBars === 0
        ? seconds < 2
          ? 'so lang wie im Original'
          : `etwa ${span} ${effects.addedSeconds > 0 ? 'länger' : 'kürzer'}`
        : `${plural(Math.abs(effects.addedBars), 'Takt', 'Takte')} ${effects.addedBars > 0 ? 'mehr' : 'weniger'}${seconds > 0 ? `, etwa ${span}` : ''}`
    const energy = effects.energy > 0.15 ? 'baut auf' : effects.energy < -0.15 ? 'beruhigt sich' : 'bleibt gleich stark'
    const work = effects.difficulty > 0.66 ? 'viel Arbeit' : effects.difficulty > 0.33 ? 'etwas Arbeit' : 'leicht'
    return `${length} · ${energy}, ${work}`
  },
  outOfRange: (parts: readonly string[]): string => `Unbequeme Lage für ${parts.join(', ')}.`,
  excerpt: (number: number, from: number, to: number): string => `Antwort ${number}, Takte ${from} bis ${to}`,
  more: (bars: number): string => `und noch ${plural(bars, 'Takt', 'Takte')}`,
  rebarred: 'Vorher und nachher',
  asItIs: (bar: number): string => `Das Stück ab Takt ${bar}, wie es ist`,
  asItBecomes: 'Dieselben Takte, wie sie werden',
  why: 'Die Regeln dahinter',
  talk: 'Bei einem Takt',
  say: 'Etwas bei einem Takt sagen',
  sayWhat: 'Was möchtest du sagen?',
  sayAt: 'Takt',
  send: 'Dort anheften',
  resolve: 'Erledigt',
  reopen: 'Wieder öffnen',
  remove: 'Wegnehmen',
  at: (bar: number): string => `Takt ${bar}`,
  atOption: (bar: number, option: number): string => `Takt ${bar} in Antwort ${option}`,
  sayAtBar: (bar: number, option: number | undefined): string =>
    option === undefined ? String(bar) : `${bar}, Antwort ${option}`,
  goneTitle: 'Bei Takten, die gerade nicht gespielt werden',
  goneNote: 'Sie kommen mit ihren Takten wieder.',
  frame: (sectionId: string): string =>
    sectionId === 'opening' ? 'dem Anfang' : sectionId === 'ending' ? 'dem Schluss' : sectionId,
  stood: (bar: number, section: string): string => `war Takt ${bar} von ${section}`,
  gone: (bar: string): string => `${bar}; dieser Takt wird nicht mehr gespielt`,
  editByHand: 'Von Hand ändern',
  editing: (number: number): string => `Antwort ${number} von Hand ändern`,
  editPlace: (bar: number, beat: number): string => `Takt ${bar}, Schlag ${beat}`,
  putBack: 'Zurücksetzen',
  keepDraft: 'Meinen Entwurf behalten',
  handEdited: 'von Hand geändert',
  noChord: 'Dieses Akkordsymbol kennen wir nicht.',
  noIssues: 'Die Regeln haben nichts dagegen.',
  doneEditing: 'Fertig',
  votes: 'Stimmen',
  voteIn: 'Deine Stimme ist da.',
  poll: 'Alle fragen',
  pollOpen: 'Abstimmung eröffnen',
  pollClose: 'Abstimmung schließen',
  pollQuestion: 'Die Frage',
  pollMethod: 'Wie abgestimmt wird',
  methods: { single: 'Eine Wahl', approval: 'Ja zu mehreren', score: 'Null bis fünf Punkte für jede' },
  pollAudience: 'Wer abstimmt',
  audiences: { band: 'Die Band', everyone: 'Band und Publikum', invited: 'Band und eingeladenes Publikum' },
  pollTally: 'Wer den Stand sieht',
  tallies: {
    always: 'Alle, immer',
    afterVote: 'Wer abgestimmt hat',
    afterClose: 'Alle, wenn sie geschlossen ist',
  },
  pollByRole: 'Band und Publikum getrennt zählen',
  pollCloses: 'Sie endet',
  pollClosesNever: 'wenn ich sie schließe',
  pollClosesDays: (days: number): string => (days === 1 ? 'in einem Tag' : `in ${counted(days)} Tagen`),
  choice: { single: (n: number) => `Ich wähle ${n}`, approval: (n: number) => `Mit ${n} kann ich leben` },
  scoreOf: (number: number): string => `Deine Punkte für ${number}`,
  of: (count: number, all: number): string => `${count} von ${all}`,
  tallyHidden: 'Den Stand siehst du, wenn du abgestimmt hast.',
  tallyAfterClose: 'Den Stand seht ihr, wenn die Abstimmung geschlossen ist.',
  browsers: 'Gezählt werden Browser, nicht Menschen: Eine Person kann zwei haben.',
  smallTally: 'Bei wenigen Stimmen kann ein offener Stand verraten, wer was gewählt hat.',
  band: 'Band',
  listeners: 'Publikum',
  everyone: 'Alle Stimmen',
  everybodyMay: {
    single: 'Alle wählen eine.',
    approval: 'Alle dürfen zu mehreren Ja sagen.',
    score: 'Alle geben jeder null bis fünf Punkte.',
  },
  lock: (kind: DecisionKind): string => `${ACCUSATIVE[kind]} festlegen`,
  lockNote: 'Nur du siehst das hier. Die Takte bleiben dann, wie sie sind, bis du sie mit Begründung wieder öffnest.',
  lockWhich: 'Welche',
  lockWhy: 'Warum, für alle zu lesen',
  lockButton: (number: number | undefined): string =>
    number === undefined ? 'Festlegen' : `Antwort ${number} festlegen`,
  lockFirst: 'Wähle zuerst eine Antwort',
  lockedBy: (who: string, at: number): string => `Festgelegt von ${who}, ${dateTime.format(at)}`,
  lockedWhy: (why: string): string => `„${why}“`,
  unlock: 'Wieder öffnen',
  lockInstead: (number: number): string => `Stattdessen ${number} festlegen`,
  lockInsteadWhich: 'Oder gleich wechseln',
  unlockReason: 'Warum es wieder offen ist',
  unlockNeeds: 'Sag zuerst warum; alle werden es lesen.',
  otherPlace: 'An einer anderen Stelle dasselbe fragen',
  elsewhere: 'Andere Stellen',
} satisfies Words['desk']
