/** Placeholder wired first; replaced below. */
import { type IssueList, Unreadable } from '../issue-list.js'
import type { WrittenTune } from '../written.js'
export function readMusicXml(_text: string, _issues: IssueList): WrittenTune {
  throw new Unreadable('RD1', 'file', 'not yet')
}
