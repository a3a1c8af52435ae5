/** Files to take home, each made when it is asked for. */
import type { PartSpec } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import type { Room } from '../state/room.js'
import { words } from '../words.js'

/** A file name from a title: letters and digits of any script, hyphens between. */
export function fileName(title: string, part: string, extension: string): string {
  const plain = (text: string) =>
    text
      .normalize('NFC')
      .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
      .replaceAll(/^-|-$/g, '')
      .slice(0, 60)
      .toLowerCase()
  return `${[plain(title) || 'chart', plain(part)].filter((word) => word !== '').join('-')}.${extension}`
}

/** The chart that is no single part. */
export const SCORE = 'score'

export interface ShownChart {
  /** A part's id, or the score. */
  readonly chart: string
  readonly pitch: 'written' | 'concert'
}

/** The files of the plan as it stands. The chart on the page is taken in the pitch it is shown in, the others in their usual one: a score
 *  sounding, a part as its player reads it. */
export function downloads(room: Room, lineup: readonly PartSpec[], shown: ShownChart): TemplateResult {
  const title = room.board?.title ?? ''
  const item = (text: string, name: string, type: string, make: () => Promise<string | Uint8Array>) =>
    html`<li>
      <button class="btn" data-file=${name} @click=${() => void save(room, name, type, make)}>${text}</button>
    </li>`
  const xml = 'application/vnd.recordare.musicxml+xml'
  const plan = room.plan.value
  if (!plan) return html``
  return html`<ul class="files">
    ${item(words.charts.scoreFile, fileName(title, 'score', 'musicxml'), xml, () => room.theory.ask('musicXml', plan, { pitch: shown.chart === SCORE ? shown.pitch : 'concert', folded: true }))}
    ${lineup.map((part) =>
      item(words.charts.partFile(part.name), fileName(title, part.id, 'musicxml'), xml, () =>
        room.theory.ask('musicXml', plan, {
          part: part.id,
          pitch: shown.chart === part.id ? shown.pitch : 'written',
          folded: true,
        }),
      ),
    )}
    ${item(words.charts.midiFile, fileName(title, '', 'mid'), 'audio/midi', () => room.theory.ask('midi', plan))}
    ${item(words.charts.abcFile, fileName(title, '', 'abc'), 'text/vnd.abc', () => room.theory.ask('abc', plan))}
    ${
      room.isLeader
        ? html`<li>
            <a class="btn" href="/api/boards/${room.boardId}/export" download=${fileName(title, 'board', 'json')}
              >${words.charts.boardFile}</a
            >
            <p class="note">${words.charts.boardFileNote}</p>
          </li>`
        : nothing
    }
  </ul>`
}

async function save(room: Room, name: string, type: string, make: () => Promise<string | Uint8Array>): Promise<void> {
  try {
    const content = await make()
    const url = URL.createObjectURL(new Blob([content as BlobPart], { type }))
    const link = Object.assign(document.createElement('a'), { href: url, download: name })
    link.click()
    // The browser has taken the file once the click has been handled.
    setTimeout(() => URL.revokeObjectURL(url), 10_000)
  } catch (error) {
    room.say(error)
  }
}
