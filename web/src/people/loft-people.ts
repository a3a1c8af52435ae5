/** People and links: who is here, my name, and for the leader the keys of the board. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { nameForm } from '../board/loft-here.js'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import '../shell/loft-speech.js'
import { words } from '../words.js'
import './loft-link.js'

type Role = keyof typeof words.people.roleNames

@customElement('loft-people')
export class LoftPeople extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) storage: Storage | undefined
  @state() private issued: { readonly link: string; readonly role: Role } | undefined
  @state() private isGone = false
  protected readonly observe = new Observe(this, () => [this.room?.people, this.room?.ledger.state])

  protected override render(): TemplateResult {
    const { me } = this.room
    if (this.isGone) return html`<h1>${words.people.deleted}</h1>`
    return html`<div class="quiet">
      <h1>${words.people.title}</h1>
      <section aria-labelledby="here-h">
        <h2 id="here-h">${words.people.here}</h2>
        <ul class="list">
          ${this.room.people.value.map(
            (person) =>
              html`<li>
                <p>
                  <b>${person.name || words.join.nobody}</b>
                  <span class="soft"
                    >${[
                      person.plays,
                      person.role ? words.people.roleNames[person.role] : '',
                      person.isMe ? words.people.you : '',
                    ]
                      .filter((word) => word)
                      .join(', ')}</span
                  >
                </p>
                <p class="note">${person.page ? words.people.at(pageName(person.page)) : nothing}</p>
              </li>`,
          )}
        </ul>
        ${this.room.people.value.length < 2 ? html`<p class="note">${words.people.nobodyElse}</p>` : nothing}
      </section>
      <section aria-labelledby="me-h">
        <h2 id="me-h">${words.people.me}</h2>
        ${nameForm(this, me.name, me.plays ?? '')}
        <loft-speech .storage=${this.storage}></loft-speech>
      </section>
      ${this.room.isLeader ? html`${this.links()} ${this.deletion()}` : nothing}
    </div>`
  }

  private links(): TemplateResult {
    return html`<section aria-labelledby="links-h">
      <h2 id="links-h">${words.people.links}</h2>
      <p class="soft">${words.people.linksNote}</p>
      <ul class="list">
        ${this.room.board?.links.map(
          ({ linkId, role, label, personal, revoked }) =>
            html`<li>
              <p class=${revoked ? 'off' : ''}>
                <b>${words.people.roleNames[role]}</b>
                <span class="soft"
                  >${[label, personal ? words.people.personal : ''].filter((word) => word).join(', ')}</span
                >
              </p>
              ${
                revoked
                  ? html`<p class="note">${words.people.revoked}</p>`
                  : html`<button class="btn bare" @click=${() => void this.room.command('revokeLink', { linkId })}>
                      ${words.people.revoke}
                    </button>`
              }
            </li>`,
        )}
      </ul>
      <form class="stack" @submit=${(event: SubmitEvent) => void this.issue(event)}>
        <h3>${words.people.issue}</h3>
        <div class="fieldrow">
          <label
            ><span>${words.people.issueRole}</span
            ><select name="role">
              <option value="member">${words.people.roleNames.member}</option>
              <option value="listener">${words.people.roleNames.listener}</option>
              <option value="leader">${words.people.roleNames.leader}</option>
            </select></label
          >
          <label><span>${words.people.issueLabel}</span><input type="text" name="label" maxlength="80" /></label>
        </div>
        <label class="check"><input type="checkbox" name="personal" /> ${words.people.issuePersonal}</label>
        <button class="btn">${words.people.issueButton}</button>
      </form>
      ${
        this.issued
          ? html`<div class="issued" role="status">
              <p class="note">${words.people.issued}</p>
              <loft-link .link=${this.issued.link} .what=${words.people.roleNames[this.issued.role]}></loft-link>
            </div>`
          : nothing
      }
    </section>`
  }

  private deletion(): TemplateResult {
    return html`<details>
      <summary>${words.people.delete}</summary>
      <form class="stack" @submit=${(event: SubmitEvent) => void this.deleteBoard(event)}>
        <p class="soft">${words.people.deleteNote}</p>
        <label class="field"><span>${this.room.board?.title}</span><input type="text" name="title" required /></label>
        <button class="btn">${words.people.deleteButton}</button>
      </form>
    </details>`
  }

  private async issue(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const form = event.target as HTMLFormElement
    const label = fieldText(form, 'label')
    const role = fieldText(form, 'role') as Role
    const answer = await this.room.command('issueLink', {
      role,
      ...(label ? { label } : {}),
      ...(fieldText(form, 'personal') ? { personal: true } : {}),
    })
    if (!answer?.link) return
    this.issued = { link: location.origin + answer.link, role }
    form.reset()
  }

  private async deleteBoard(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const title = fieldText(event, 'title')
    try {
      await this.room.api.deleteBoard(this.room.boardId, title)
      this.isGone = true
    } catch (error) {
      this.room.say(error)
    }
  }
}

/** A page by the name it has on this page; others claim what they like. */
function pageName(page: string): string {
  const names: { readonly [page: string]: string } = words.pages
  return Object.hasOwn(names, page) ? (names[page] as string) : page
}
