/** Every poll of the board for the band: what is asked, whether it is open, how it stands. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { cordSign } from '../look/signs.js'
import { slotKey } from '@chartloft/shared-theory/board'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { deskPath } from '../shell/route.js'
import { words } from '../words.js'

@customElement('loft-polls')
export class LoftPolls extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [this.room?.ledger.state, this.room?.polls])

  protected override render(): TemplateResult {
    const polls = [...(this.room.board?.polls ?? [])].reverse()
    return html`<div class="quiet">
      <h1>${words.polls.title}</h1>
      ${
        polls.length === 0
          ? html`<p class="lead">${words.polls.none}</p>
              <p class="soft">${words.polls.noneNote}</p>`
          : html`<ul class="asked">
              ${polls.map(({ pollId, question, open, slot }) => {
                const seen = this.room.polls.value.get(pollId)
                return html`<li>
                  <a href=${slot ? deskPath(this.room.boardId, slotKey(slot)) : `/p/${this.room.boardId}/${pollId}`}>
                    ${cordSign(open ? 'voting' : 'locked')}
                    <span
                      ><b>${question}</b
                      ><span class="soft"
                        >${open ? words.polls.open : words.polls.closed}${
                          seen?.tally ? html` · ${words.board.votesSoFar(seen.tally.voters)}` : nothing
                        }${seen?.mine ? html` · ${words.desk.voteIn}` : nothing}</span
                      ></span
                    >
                  </a>
                </li>`
              })}
            </ul>`
      }
    </div>`
  }
}
