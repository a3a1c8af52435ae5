/** A decision where it acts: its sign, its name, its state in words, over the bars it concerns. */
import { html, nothing, type TemplateResult } from 'lit'
import { cordSign } from '../look/signs.js'
import { musicText } from '../look/music-text.js'
import type { Room } from '../state/room.js'
import type { SlotView } from '../state/slots.js'
import { deskPath } from '../shell/route.js'
import { words } from '../words.js'

export function decisionCord(room: Room, view: SlotView): TemplateResult {
  const { status, slot, lock } = view
  const stale = lock !== undefined && staleLock(room, view)
  return html`<a class="cord ${status}" href=${deskPath(room.boardId, view.key)}>
    ${cordSign(status)}
    <span
      ><b>${words.decision(slot.decision)}</b> ·
      ${status === 'locked' ? words.status(status) : html`<em>${words.status(status)}</em>`}${detail(room, view)}${
        stale ? html` · <em>${words.board.stale}</em>` : nothing
      }</span
    >
  </a>`
}

function detail(room: Room, view: SlotView): TemplateResult | typeof nothing {
  if (view.lock) return html` · ${musicText(view.lock.option.title)}`
  const tried = room.draft.tried(view.slot)
  if (tried) return html` · ${musicText(tried.title)}, ${words.desk.tryingNow}`
  if (view.status === 'voting' && view.poll) {
    const voters = room.polls.value.get(view.poll.pollId)?.tally?.voters
    return voters === undefined ? nothing : html` · <span class="nb">${words.board.votesSoFar(voters)}</span>`
  }
  return nothing
}

/** A lock made under another tune still holds its bars, but says that it no longer matches. */
function staleLock(room: Room, { lock }: SlotView): boolean {
  const newest = room.board?.locks.findLast((other) => other.seq > (lock?.seq ?? 0))
  return newest !== undefined && lock !== undefined && newest.tuneHash !== lock.tuneHash
}
