/** The poll page and the list of polls. */
import type { Words } from '../catalogue.js'
import { counted, listed, moment, plural } from './counting.js'

export const polls = {
  title: 'Abstimmungen',
  none: 'Gerade gibt es nichts abzustimmen.',
  noneNote: 'Wenn die Leitung etwas fragt, steht es hier.',
  open: 'offen',
  closed: 'geschlossen',
  asksYou: (title: string): string => `${title}: Die Band fragt dich`,
  how: (count: number): string => `Hör dir ${counted(count)} Antworten an. Tipp dann auf die, die du willst.`,
  howSeveral: (count: number): string => `Hör dir ${counted(count)} Antworten an. Tipp dann auf alle, die du magst.`,
  howScore: (count: number): string => `Hör dir ${counted(count)} Antworten an. Gib dann jeder Punkte.`,
  options: 'Die Antworten',
  inTurn: 'Eine nach der anderen hören',
  hear: (title: string): string => `${title} hören`,
  stop: (title: string): string => `${title} anhalten`,
  seconds: (seconds: number): string => `${Math.round(seconds)} s`,
  secondsLeft: (seconds: number): string => `noch ${Math.max(0, Math.round(seconds))} s`,
  earsTitle: 'Deine Ohren.',
  ears: 'Es beginnt leise. Dreh mit Kopfhörern langsam auf.',
  vote: 'Abstimmen',
  voteFor: (title: string): string => `Für „${title}“ stimmen`,
  voteForSeveral: (count: number): string => `Für ${counted(count)} stimmen`,
  chooseFirst: 'Wähle zuerst eine Antwort.',
  changeUntil: (at: number): string => `Du kannst sie ändern bis ${moment.format(at)}. Ohne Konto.`,
  change: 'Du kannst sie ändern, bis die Abstimmung schließt. Ohne Konto.',
  thanks: 'Deine Stimme ist da.',
  thanksFor: (titles: readonly string[]): string => `Für ${titles.join(', ')}.`,
  thanksNext: 'Die Band entscheidet, wenn die Abstimmung geschlossen ist.',
  changeVote: 'Meine Stimme ändern',
  backToAll: 'Alle Abstimmungen',
  isClosed: 'Diese Abstimmung ist geschlossen.',
  stands: (titles: readonly string[]): string =>
    titles.length === 0
      ? 'Niemand hat abgestimmt.'
      : titles.length === 1
        ? `„${titles[0] ?? ''}“ liegt vorn; die Leitung entscheidet.`
        : `${listed(titles.map((title) => `„${title}“`))} liegen gleichauf; die Leitung entscheidet.`,
  yourVote: 'deine Stimme',
  votesCount: (count: number): string => plural(count, 'Stimme', 'Stimmen'),
  points: (count: number): string => plural(count, 'Punkt', 'Punkte'),
  rightsTitle: 'Wessen Musik.',
  rights:
    'Diese Ausschnitte sind zum Abstimmen da. Frag bitte die Band, bevor du eine Aufnahme weitergibst: Das Stück eines anderen zu arrangieren oder zu teilen kann eine Erlaubnis erfordern, und die Regeln sind von Land zu Land verschieden.',
  mark: (value: number): string => (value === 0 ? 'gar nicht' : value === 5 ? 'sehr' : String(value)),
} satisfies Words['polls']
