/** The board: title, what is left to settle, contour, running order; and the wishes of a desk. */
import type { DecisionKind } from '@chartloft/shared-theory'
import type { SlotStatus } from '../../state/slots.js'
import type { Words } from '../catalogue.js'
import { counted, halfSteps, moment, plural } from './counting.js'
import { DECISIONS, STATUS } from './decisions.js'

const bars = (count: number): string => plural(count, 'Takt', 'Takte')

export const board = {
  sub(facts: { key: string; bars: number; form: string; groove?: string; metre?: string; bpm?: number }): string {
    const how = [facts.groove, facts.metre ? `im ${facts.metre}` : ''].filter((part) => part).join(' ')
    return [
      facts.key,
      `${bars(facts.bars)} ${facts.form}`.trim(),
      how,
      facts.bpm ? `${Math.round(facts.bpm)} Schläge in der Minute` : '',
    ]
      .filter((part) => part)
      .join(', ')
  },
  by: (composer: string): string => `Von ${composer}.`,
  rights: {
    unknown: 'Wessen Stück es ist, hat noch niemand gesagt.',
    own: 'Ein eigenes Stück der Band.',
    'public-domain': 'Gemeinfrei.',
    licensed: 'Das Stück von jemand anderem, mit Erlaubnis.',
  },
  iPlay: 'Ich spiele',
  iPlayNothing: 'noch nichts',
  iPlayOther: 'etwas anderes …',
  iPlayThis: 'Was du spielst',
  hearPart: 'Nur meine Stimme hören',
  readPart: 'Meine Noten',
  hereNow: 'Gerade da',
  you: 'du',
  leads: 'leitet',
  left: (count: number): string =>
    count === 0 ? 'Alles ist entschieden' : `Noch ${counted(count)} ${count === 1 ? 'Sache' : 'Sachen'} offen`,
  decide: (kind: DecisionKind, status: SlotStatus): string => `${DECISIONS[kind]}, ${STATUS[status]}`,
  votesSoFar: (voters: number): string =>
    voters === 0 ? 'Noch keine Stimmen' : `bisher ${plural(voters, 'Stimme', 'Stimmen')}`,
  closes: (at: number): string => `Endet ${moment.format(at)}`,
  allLocked: 'Druckt die Noten, wann ihr wollt.',
  contour: 'Das ganze Stück im Verlauf der Zeit',
  listenFrom: (bar: number): string => `Ab Takt ${bar} hören`,
  listenFromSection: (letter: string, pass: string, bar: number): string => `Ab ${letter} hören, ${pass}, Takt ${bar}`,
  pass(kind: string, turn: number, turns: number): string {
    if (kind === 'opening') return 'Anfang'
    if (kind === 'ending') return 'Schluss'
    if (kind === 'verse') return turns > 1 ? `Strophe ${turn + 1}` : 'Strophe'
    if (kind === 'solo') return turns > 1 ? `Soli ${turn + 1}` : 'Soli'
    if (turns === 1) return 'Chorus'
    if (turn === 0) return 'Erster Chorus'
    if (turn === turns - 1) return 'Letzter Chorus'
    return `${turn + 1}. Chorus`
  },
  card(letter: string, turn: number, turns: number): string {
    if (turns < 2 || turn === 1) return letter
    return turn === turns ? `letztes ${letter}` : `${letter} noch einmal`
  },
  barsFrom: (first: number, last: number, time: string): string =>
    first === last ? `Takt ${first}, ab ${time}` : `Takte ${first}–${last}, ab ${time}`,
  bars,
  times: (count: number): string =>
    count === 1 ? '' : count === 2 ? ', zweimal' : count <= 12 ? `, ${counted(count)}mal` : `, ${count}-mal`,
  keyFrom: (now: string, before: string): string => `${now}, vorher ${before}`,
  chordsOf: (card: string, pass: string): string => `${card}, ${pass}, Akkorde`,
  showBars: 'Takte zeigen',
  hideBars: 'Takte verbergen',
  asInFirst: 'Akkorde wie im ersten Chorus',
  solo: (who: string): string => `${who}: Solo`,
  trading: (count: number): string => `je ${bars(count)} im Wechsel mit dem Schlagzeug`,
  tuneWith: 'Melodie',
  onCue: 'auf Zeichen',
  isHere: (name: string): string => `${name} ist hier`,
  moveEarlier: 'früher',
  moveLater: 'später',
  move: 'rücken',
  movePass: (pass: string): string => `${pass} rücken `,
  moved: (pass: string, place: number): string => `${pass} steht jetzt an Stelle ${place} im Ablauf.`,
  changed: 'geändert',
  added: 'neuer Takt',
  pencilled: 'mit Bleistift',
  comment: (pin: number, bar: number): string => `Kommentar ${pin}, bei Takt ${bar}`,
  openPlace: 'Hier nach neuen Akkorden fragen',
  openLift: 'Hier nach einer Rückung fragen',
  legendChanged: 'anders als das Stück im Original',
  legendPencilled: 'mit Bleistift, nicht festgelegt',
  legendAdded: 'Takt dazugekommen',
  memberFirst: 'Drück auf Start: Die Band hört mit dir.',
  joinAt: (bar: number): string => `Drück auf Start: Die Band ist bei Takt ${bar}.`,
  joinNote: 'Du steigst dort ein, wo sie sind. Wähle Allein, wenn du eine eigene Stelle und ein eigenes Tempo willst.',
  noTune: 'Noch kein Stück',
  noTuneMember: 'Die Leitung hat noch kein Stück mitgebracht. Sobald es da ist, steht es hier.',
  stale: 'das Stück wurde hier seitdem geändert',
  fermata: 'Fermate',
  issues: (count: number): string => `${plural(count, 'Stelle', 'Stellen')} zum Nachsehen`,
} satisfies Words['board']

export const wish = {
  heading: 'Wonach suchen',
  fields: { distance: 'Abstand vom Original', bars: 'Länge', rate: 'Akkorde im Takt', semitones: 'Rücken um' },
  any: { distance: 'beliebig', bars: 'beliebig lang', rate: 'beliebig viele', semitones: 'beliebig weit' },
  answer(field: 'distance' | 'bars' | 'rate' | 'semitones', answer: string | number): string {
    if (typeof answer === 'string') return DISTANCES[answer] ?? answer
    if (field === 'bars') return bars(answer)
    if (field === 'rate') return answer === 1 ? 'einer' : counted(answer)
    return `${halfSteps(Math.abs(answer))} ${answer > 0 ? 'höher' : 'tiefer'}`
  },
  more: 'Zeig mir mehr',
  noMore: 'Mehr Antworten dieser Art gibt es nicht.',
} satisfies Words['wish']

const DISTANCES: { readonly [distance: string]: string } = { 'a little': 'nah dran', 'a lot': 'weit weg' }
