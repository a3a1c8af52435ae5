/** What stands on every page: its head, undo, what a merge brought, and what went wrong. */
import type { DecisionKind, HandEdit } from '@chartloft/shared-theory'
import type { NoticeCode } from '@chartloft/shared-theory/board'
import { withSigns } from '../../look/note-names.js'
import type { EditPlace } from '../../state/bar-number.js'
import type { SlotStatus } from '../../state/slots.js'
import type { Deed } from '../../state/steps.js'
import type { Line } from '../../sync/connection.js'
import type { Kept } from '../../sync/saved.js'
import { capital, plural } from './counting.js'
import { DECISIONS, POLL_QUESTIONS, QUESTIONS, STATUS } from './decisions.js'

const CLOSED: { readonly [code: number]: string } = {
  4400: 'The server did not understand this page. Reload it; what was saved is safe.',
  4401: 'This link was taken back or has run out. Ask the leader for a new one.',
  4404: 'There is no such board any more.',
  4408: 'The connection is too slow to keep up. Reload when it is better; what was saved is safe.',
  4413: 'That was more than the server takes at once. Reload the page; what was saved is safe.',
  4429: 'Too much came from this page at once. Wait a moment, then reload.',
}
const NOTICES: { readonly [code in NoticeCode]: string } = {
  disk: 'The server cannot write to its disk. Your edits stay here and go through once it can.',
  draining: 'The server restarts. The page comes back by itself.',
  near_limit: 'This board’s draft is nearly full. Remove old comments or hand edits.',
  too_large: 'That was too large for the server and was not taken.',
  too_fast: 'That was too much at once; the server asks to slow down.',
  too_slow: 'The connection is too slow to keep up; it starts again.',
  bad_message: 'The server could not read what this page sent; it starts again.',
  revoked: 'This link was taken back. Ask the leader for a new one.',
  forbidden: 'That is not yours to change.',
  deleted: 'The leader deleted this board.',
}

function editWords(edit: HandEdit): string {
  switch (edit.kind) {
    case 'chord':
      return withSigns(edit.symbol)
    case 'melody':
      return 'the tune'
    case 'voicing':
      return 'a voicing'
    case 'bars':
      return `${plural(edit.bars, 'bar')}`
  }
}
/** What an edit says, where a word can say it. */
function valueWords(edit: HandEdit): string | undefined {
  if (edit.kind === 'chord') return withSigns(edit.symbol)
  return edit.kind === 'bars' ? plural(edit.bars, 'bar') : undefined
}
function inPlace({ bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? ' for that section' : ` for the ${of}`
  if (bar === undefined) return ''
  return ` in bar ${bar}${beat === undefined ? '' : `, beat ${beat}`}`
}
function rewrittenWords(edit: HandEdit | undefined, { bar, beat, of }: EditPlace): string {
  if (of) return of === 'section' ? 'how long a section is' : `how long the ${of} is`
  const where =
    bar === undefined
      ? edit && typeof edit.at === 'object' && 'bar' in edit.at
        ? `bar ${edit.at.bar + 1} of that section`
        : 'the same place'
      : `bar ${bar}${beat === undefined ? '' : `, beat ${beat}`}`
  return edit?.kind === 'melody' ? `the tune in ${where}` : edit?.kind === 'voicing' ? `a voicing in ${where}` : where
}

export const shell = {
  name: 'Chartloft',
  skip: 'Skip to the page',
  pagesLabel: 'Pages',
  pages: {
    board: 'Board',
    listen: 'Listen',
    charts: 'Charts',
    polls: 'Polls',
    people: 'People',
    peopleRest: ' & links',
    history: 'History',
    band: 'Band and key',
    stand: 'On the stand',
  },
  cancel: 'Cancel',
  close: 'Close',
  loading: 'Opening the board',
  loadingPage: 'Opening the page',
  undo: 'Undo',
  redo: 'Redo',
  stepOf: (way: 'undo' | 'redo', what: string): string => `${way === 'undo' ? 'Undo' : 'Redo'}: ${what}`,
  stepped: (way: 'undo' | 'redo', what: string): string => `${way === 'undo' ? 'Undone' : 'Done again'}: ${what}.`,
  deed(deed: Deed, place: EditPlace): string {
    switch (deed.kind) {
      case 'edit':
        return `${editWords(deed.edit)}${inPlace(place)}`
      case 'unedit':
        return `putting back ${deed.edit.kind === 'chord' ? `the chord${inPlace(place)}` : `${editWords(deed.edit)}${inPlace(place)}`}`
      case 'try':
        return `“${deed.title}” in place`
      case 'stop-trying':
        return 'putting back what was there'
      case 'take-mine':
        return 'choosing between two edits'
      case 'comment':
        return 'what you said at a bar'
      case 'other':
        return 'the last edit'
    }
  },
  merge: {
    title: 'While you could not hear each other',
    rewrote(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      place: EditPlace,
      { mine, theirs }: { readonly mine: HandEdit | undefined; readonly theirs: HandEdit | undefined },
    ): string {
      const what = rewrittenWords(mine, place)
      const [yours, others] = [mine && valueWords(mine), theirs && valueWords(theirs)]
      if (mineStands) {
        const stands = yours ? `your ${yours} stands` : 'yours stands'
        return `Two people rewrote ${what}: ${stands}; ${others ? `${who}’s was ${others}` : `${who}’s gives way`}.`
      }
      const stands = others ? `${who}’s ${others} stands` : `${who}’s stands`
      return `Two people rewrote ${what}: ${stands}; ${yours ? `yours was ${yours}` : 'yours is kept here'}.`
    },
    tried(
      { mineStands }: { readonly mineStands: boolean },
      who: string,
      kind: DecisionKind | undefined,
      { mine, theirs }: { readonly mine: string | undefined; readonly theirs: string | undefined },
    ): string {
      const what = kind ? `for “${QUESTIONS[kind]}”` : 'at one place'
      const said = (title: string | undefined) => (title ? `“${title}”` : 'answer')
      return mineStands
        ? `Two people put an answer in place ${what}: your ${said(mine)} stands; ${who}’s ${theirs ? `was ${said(theirs)}` : 'gives way'}.`
        : `Two people put an answer in place ${what}: ${who}’s ${said(theirs)} stands; yours was ${said(mine)}.`
    },
    began: (who: string, title: string | undefined): string =>
      `Two people edited ${title ? `“${title}”` : 'the same answer'}: yours stands in every bar both rewrote; ${who}’s other bars are in it too.`,
    takeMine: 'Take yours',
    takeTheirs: (who: string): string => `Take ${who}’s`,
    leave: 'Leave it so',
    /** After the merge, what the rules found anew. */
    rules: 'Put together, the rules find:',
  },
  shortcuts: {
    title: 'Keys to press',
    open: 'Shortcuts',
    list: [
      { keys: ['Space'], does: 'plays and stops' },
      { keys: ['Home'], does: 'goes to the start' },
      { keys: ['←', '→', '↑', '↓'], does: 'walk from bar to bar, once one has the focus' },
      { keys: ['Enter'], does: 'listens from that bar' },
      { keys: ['Esc'], does: 'closes a decision and goes back to where it was opened' },
      { keys: ['Ctrl Z'], does: 'takes back your own last edit' },
      { keys: ['Ctrl Shift Z'], does: 'does it again' },
      { keys: ['?'], does: 'shows this list' },
    ],
  },
  opened: {
    kept: 'No network: this is the board as this browser last saw it. Edits to the draft wait here; locks and votes need a network.',
  },
  working: 'Working it out',
  kept(kept: Kept, line: Line): string {
    if (line.kind === 'connecting') return 'Connecting'
    if (kept.state === 'offline') {
      return kept.waiting > 0 ? `Offline, ${plural(kept.waiting, 'edit')} waiting` : 'Offline'
    }
    return kept.state === 'saving' ? 'Saving' : 'Saved'
  },
  closed: (code: number): string => CLOSED[code] ?? 'The server closed the connection. Reload the page.',
  notice: (code: NoticeCode, message: string): string => NOTICES[code] ?? message,
  notDone: (kind: string): string =>
    kind === 'lock' ? 'Not locked.' : kind === 'openPoll' ? 'The vote was not opened.' : 'Nothing was changed.',
  unexpected: (message: string): string => `Something went wrong: ${message}`,
  titleOf: (page: string, board?: string): string => [page, board, 'Chartloft'].filter((part) => part).join(' · '),

  decision: (kind: DecisionKind): string => DECISIONS[kind],
  question: (kind: DecisionKind): string => QUESTIONS[kind],
  pollQuestion: (kind: DecisionKind, title: string): string => POLL_QUESTIONS[kind](title),
  status: (status: SlotStatus): string => STATUS[status],
  statusTitle: (status: SlotStatus): string => capital(STATUS[status]),
} as const
