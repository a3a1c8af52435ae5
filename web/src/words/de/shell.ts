/** What stands on every page: its head, undo, what a merge brought, and what went wrong. */
import type { DecisionKind, HandEdit } from '@chartloft/shared-theory'
import type { NoticeCode } from '@chartloft/shared-theory/board'
import { withSigns } from '../../look/note-names.js'
import type { EditPlace } from '../../state/bar-number.js'
import type { SlotStatus } from '../../state/slots.js'
import type { Deed } from '../../state/steps.js'
import type { Line } from '../../sync/connection.js'
import type { Kept } from '../../sync/saved.js'
import type { Words } from '../catalogue.js'
import { capital, plural } from './counting.js'
import { DECISIONS, POLL_QUESTIONS, QUESTIONS, STATUS } from './decisions.js'

const CLOSED: { readonly [code: number]: string } = {
  4400: 'Der Server hat diese Seite nicht verstanden. Lade sie neu; was gesichert war, ist sicher.',
  4401: 'Dieser Link wurde zurückgenommen oder ist abgelaufen. Bitte die Leitung um einen neuen.',
  4404: 'Dieses Board gibt es nicht mehr.',
  4408: 'Die Verbindung ist zu langsam. Lade neu, wenn sie besser ist; was gesichert war, ist sicher.',
  4413: 'Das war mehr, als der Server auf einmal nimmt. Lade die Seite neu; was gesichert war, ist sicher.',
  4429: 'Von dieser Seite kam zu viel auf einmal. Warte kurz und lade sie dann neu.',
}
const NOTICES: { readonly [code in NoticeCode]: string } = {
  disk: 'Der Server kann nicht auf seine Platte schreiben. Deine Änderungen bleiben hier und gehen durch, sobald er es kann.',
  draining: 'Der Server startet neu. Die Seite kommt von selbst zurück.',
  near_limit: 'Der Entwurf dieses Boards ist fast voll. Nimm alte Kommentare oder Handänderungen heraus.',
  too_large: 'Das war zu groß für den Server und wurde nicht angenommen.',
  too_fast: 'Das war zu viel auf einmal; der Server bittet um etwas Geduld.',
  too_slow: 'Die Verbindung ist zu langsam; sie beginnt von vorn.',
  bad_message: 'Der Server konnte nicht lesen, was diese Seite schickte; sie beginnt von vorn.',
  revoked: 'Dieser Link wurde zurückgenommen. Bitte die Leitung um einen neuen.',
  forbidden: 'Das darfst du hier nicht ändern.',
  deleted: 'Die Leitung hat dieses Board gelöscht.',
}

const OF: { readonly opening: string; readonly ending: string } = { opening: 'den Anfang', ending: 'den Schluss' }
const placeWord = (of: string): string => (of === 'opening' || of === 'ending' ? OF[of] : `den Teil ${of}`)

function editWords(edit: HandEdit): string {
  switch (edit.kind) {
    case 'chord':
      return withSigns(edit.symbol)
    case 'melody':
      return 'die Melodie'
    case 'voicing':
      return 'ein Voicing'
    case 'bars':
      return plural(edit.bars, 'Takt', 'Takte')
  }
}
function valueWords(edit: HandEdit): string | undefined {
  if (edit.kind === 'chord') return withSigns(edit.symbol)
  return edit.kind === 'bars' ? plural(edit.bars, 'Takt', 'Takte') : undefined
}
function inPlace({ bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? ' für diesen Formteil' : ` für ${placeWord(of)}`
  if (bar === undefined) return ''
  return ` in Takt ${bar}${beat === undefined ? '' : `, Schlag ${beat}`}`
}
function rewrittenWords(edit: HandEdit | undefined, { bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? 'die Länge eines Formteils' : `die Länge: ${placeWord(of)}`
  const where =
    bar === undefined
      ? edit && typeof edit.at === 'object' && 'bar' in edit.at
        ? `Takt ${edit.at.bar + 1} dieses Formteils`
        : 'dieselbe Stelle'
      : `Takt ${bar}${beat === undefined ? '' : `, Schlag ${beat}`}`
  return edit?.kind === 'melody' ? `die Melodie, ${where}` : edit?.kind === 'voicing' ? `ein Voicing, ${where}` : where
}

export const shell = {
  name: 'Chartloft',
  skip: 'Zur Seite springen',
  pagesLabel: 'Seiten',
  pages: {
    board: 'Board',
    listen: 'Hören',
    charts: 'Noten',
    polls: 'Abstimmen',
    people: 'Leute',
    peopleRest: ' & Links',
    history: 'Verlauf',
    band: 'Besetzung und Tonart',
    stand: 'Auf dem Notenständer',
  },
  cancel: 'Abbrechen',
  close: 'Schließen',
  loading: 'Das Board wird geöffnet',
  loadingPage: 'Die Seite wird geöffnet',
  undo: 'Rückgängig',
  redo: 'Wieder machen',
  stepOf: (way: 'undo' | 'redo', what: string): string => `${way === 'undo' ? 'Rückgängig' : 'Wieder machen'}: ${what}`,
  stepped: (way: 'undo' | 'redo', what: string): string =>
    `${way === 'undo' ? 'Zurückgenommen' : 'Wieder gemacht'}: ${what}.`,
  deed(deed: Deed, place: EditPlace): string {
    switch (deed.kind) {
      case 'edit':
        return `${editWords(deed.edit)}${inPlace(place)}`
      case 'unedit':
        return `${deed.edit.kind === 'chord' ? `den Akkord${inPlace(place)}` : `${editWords(deed.edit)}${inPlace(place)}`} zurücksetzen`
      case 'try':
        return `„${deed.title}“ an seiner Stelle`
      case 'stop-trying':
        return 'zurücksetzen, was vorher da war'
      case 'take-mine':
        return 'die Wahl zwischen zwei Änderungen'
      case 'comment':
        return 'was du bei einem Takt gesagt hast'
      case 'other':
        return 'die letzte Änderung'
    }
  },
  merge: {
    title: 'Während ihr euch nicht hören konntet',
    rewrote(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      place: EditPlace,
      { mine, theirs }: { readonly mine: HandEdit | undefined; readonly theirs: HandEdit | undefined },
    ): string {
      const what = rewrittenWords(mine, place)
      const [yours, others] = [mine && valueWords(mine), theirs && valueWords(theirs)]
      if (mineStands) {
        const stands = yours ? `dein ${yours} gilt` : 'deins gilt'
        return `Zwei haben dasselbe geändert (${what}): ${stands}; ${others ? `von ${who} war ${others}` : `das von ${who} tritt zurück`}.`
      }
      const stands = others ? `${others} von ${who} gilt` : `das von ${who} gilt`
      return `Zwei haben dasselbe geändert (${what}): ${stands}; ${yours ? `deins war ${yours}` : 'deins bleibt hier aufgehoben'}.`
    },
    tried(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      kind: DecisionKind | undefined,
      { mine, theirs }: { readonly mine: string | undefined; readonly theirs: string | undefined },
    ): string {
      const what = kind ? `zu „${QUESTIONS[kind]}“` : 'an einer Stelle'
      const said = (title: string | undefined) => (title ? `„${title}“` : 'die Antwort')
      return mineStands
        ? `Zwei haben ${what} eine Antwort eingesetzt: ${said(mine)} von dir gilt; ${theirs ? `von ${who} war ${said(theirs)}` : `die von ${who} tritt zurück`}.`
        : `Zwei haben ${what} eine Antwort eingesetzt: ${said(theirs)} von ${who} gilt; von dir war ${said(mine)}.`
    },
    began: (who: string, title: string | undefined): string =>
      `Zwei haben ${title ? `„${title}“` : 'dieselbe Antwort'} geändert: deins gilt in jedem Takt, den beide änderten; die anderen Takte von ${who} sind auch drin.`,
    takeMine: 'Deins nehmen',
    takeTheirs: (who: string): string => `Das von ${who} nehmen`,
    leave: 'So lassen',
    rules: 'Zusammengenommen finden die Regeln:',
  },
  shortcuts: {
    title: 'Tasten',
    open: 'Tasten',
    list: [
      { keys: ['Leertaste'], does: 'startet und stoppt' },
      { keys: ['Pos 1'], does: 'geht zum Anfang' },
      { keys: ['←', '→', '↑', '↓'], does: 'gehen von Takt zu Takt, wenn einer den Fokus hat' },
      { keys: ['Eingabe'], does: 'hört ab diesem Takt' },
      { keys: ['Esc'], does: 'schließt eine Entscheidung und geht dorthin zurück, wo sie geöffnet wurde' },
      { keys: ['Strg Z'], does: 'nimmt deine eigene letzte Änderung zurück' },
      { keys: ['Strg Umschalt Z'], does: 'macht sie wieder' },
      { keys: ['?'], does: 'zeigt diese Liste' },
    ],
  },
  opened: {
    kept: 'Kein Netz: So hat dieser Browser das Board zuletzt gesehen. Änderungen am Entwurf warten hier; Festlegen und Abstimmen brauchen ein Netz.',
  },
  working: 'Wird ausgerechnet',
  kept(kept: Kept, line: Line): string {
    if (line.kind === 'connecting') return 'Verbindet'
    if (kept.state === 'offline') {
      return kept.waiting > 0 ? `Offline, ${plural(kept.waiting, 'Änderung wartet', 'Änderungen warten')}` : 'Offline'
    }
    return kept.state === 'saving' ? 'Sichert' : 'Gesichert'
  },
  closed: (code: number): string => CLOSED[code] ?? 'Der Server hat die Verbindung beendet. Lade die Seite neu.',
  notice: (code: NoticeCode, message: string): string => NOTICES[code] ?? message,
  notDone: (kind: string): string =>
    kind === 'lock'
      ? 'Nicht festgelegt.'
      : kind === 'openPoll'
        ? 'Die Abstimmung wurde nicht eröffnet.'
        : 'Nichts wurde geändert.',
  unexpected: (message: string): string => `Etwas ging schief: ${message}`,
  titleOf: (page: string, board?: string): string => [page, board, 'Chartloft'].filter((part) => part).join(' · '),

  decision: (kind: DecisionKind): string => DECISIONS[kind],
  question: (kind: DecisionKind): string => QUESTIONS[kind],
  pollQuestion: (kind: DecisionKind, title: string): string => POLL_QUESTIONS[kind](title),
  status: (status: SlotStatus): string => STATUS[status],
  statusTitle: (status: SlotStatus): string => capital(STATUS[status]),
} satisfies Partial<Words>
