/** The shell: session, page head, the page an address names, announcements, the player's place. */
import { ContextProvider } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import { parseSlotKey } from '@chartloft/shared-theory/board'
import { LoftElement } from '../look/element.js'
import { houseMark } from '../look/signs.js'
import { forgetBoard } from '../offline/forget-board.js'
import type { KeptBoards } from '../offline/kept-boards.js'
import { Observe } from '../state/observe.js'
import { type Known, Room, roomContext } from '../state/room.js'
import type { Way } from '../state/steps.js'
import type { Theory } from '../state/theory.js'
import { type Api, CallError, type Entered, type NewBoard, type Session } from '../sync/http.js'
import { words } from '../words.js'
import '../board/loft-board.js'
import { earlyAnswer, sessionQuestion } from './early-session.js'
import './loft-kept.js'
import './loft-merged.js'
import './loft-player-place.js'
import type { LoftShortcuts } from './loft-shortcuts.js'
import './loft-speech.js'
import { remember, remembered } from './memory.js'
import { type BoardPage, boardPath, deskPath, HEAD_PAGES, type Route, routeOf, tokenIn } from './route.js'

export interface Surroundings {
  readonly api: Api
  readonly theory: Theory
  readonly newId: () => string
  readonly location: Location
  readonly history: History
  readonly storage: Storage | undefined
  readonly boards: KeptBoards
}

/** Lines of news a screen reader may still be reading. */
const NEWS_KEPT = 4

type Door = 'opening' | 'open' | 'no-session' | 'gone' | 'unreachable'

@customElement('loft-app')
export class LoftApp extends LoftElement {
  @state() private route: Route = { kind: 'nowhere' }
  @state() private isStarted = false
  @state() private hasShortcuts = false
  /** The last news, each a line of its own: two at once must both be read out. */
  @state() private heard: readonly { readonly id: number; readonly text: string }[] = []
  private told = 0
  @state() private door: Door = 'opening'
  /** Pages whose code has arrived. */
  @state() private arrived: ReadonlySet<string> = new Set(['board'])
  /** A board this page has just made: its links are on the screen until they are kept. */
  @state() private made: NewBoard | undefined
  private surroundings!: Surroundings
  private room: Room | undefined
  private readonly provider = new ContextProvider(this, { context: roomContext })
  private readonly observe = new Observe(this, () => [
    this.room?.ledger.state,
    this.room?.trouble,
    this.room?.draft.undoing.undoable,
    this.room?.draft.undoing.redoable,
    this.room?.form,
    this.room?.connection.line,
  ])
  /** Kept for this page's life only, so that a name given later reaches the server. */
  private token: string | undefined

  start(surroundings: Surroundings): void {
    this.surroundings = surroundings
    this.isStarted = true
    const { location } = surroundings
    this.route = routeOf(location.pathname)
    addEventListener('popstate', () => {
      const route = routeOf(location.pathname)
      // Back to where the board was made: another page, and none of this one's room.
      if (this.room && (route.kind !== 'board' || route.boardId !== this.room.boardId)) location.reload()
      else this.follow(location.pathname)
    })
    // A pasted or clicked link to this very page changes only the fragment.
    addEventListener('hashchange', () => {
      if (tokenIn(location.hash)) location.reload()
    })
    addEventListener('keydown', (event) => this.onKey(event))
    this.addEventListener('click', (event) => this.onClick(event))
    this.addEventListener('open-page', (event) => this.go((event as CustomEvent<string>).detail))
    this.addEventListener('board-made', (event) => void this.openMade((event as CustomEvent<NewBoard>).detail))
    this.addEventListener('call-me', (event) => {
      const { name, plays } = (event as CustomEvent<{ name: string; plays: string }>).detail
      void this.callMe(name, plays)
    })
    if (this.route.kind === 'board') void this.enter(this.route.boardId)
    else if (this.route.kind === 'bring') void this.load('bring')
  }

  private async openMade(made: NewBoard): Promise<void> {
    this.made = made
    this.surroundings.history.pushState(null, '', made.links.leader)
    this.follow(this.surroundings.location.pathname)
    await Promise.all([import('../bring/loft-keys.js'), this.enter(made.boardId)])
    await this.toTop()
  }

  private async enter(boardId: string): Promise<void> {
    const { api, location, history, storage, boards } = this.surroundings
    this.token = tokenIn(location.hash)
    try {
      const { name } = remembered(storage)
      const question = sessionQuestion(boardId, this.token, name)
      const { state, ...session }: Entered = await api.enter(question, earlyAnswer(question))
      if (this.token) history.replaceState(null, '', location.pathname)
      if (session.boardId !== boardId) return location.replace(boardPath(session.boardId))
      if (session.role === 'listener') return location.replace(`/p/${boardId}`)
      this.open(session, state && { state, isKept: false })
    } catch (error) {
      const door = doorAfter(error, this.token !== undefined)
      // The key of a link that was not used yet stays in the address, for when there is a network.
      if (door === 'unreachable') {
        const kept = await boards.read(boardId)
        if (kept) return this.open(kept.session, { state: kept.state, isKept: true })
      } else {
        if (this.token) history.replaceState(null, '', location.pathname)
        else await forgetBoard(boards, storage, boardId)
      }
      this.door = door
    }
  }

  private open(session: Session, known?: Known): void {
    const { api, theory, location, newId, storage, boards } = this.surroundings
    const { name, plays } = remembered(storage)
    this.room = new Room({
      session,
      api,
      theory,
      origin: location.origin,
      newId,
      me: { name, ...(plays ? { plays } : {}), page: 'board' },
      storage,
      boards,
      ...(known ? { known } : {}),
    })
    this.provider.setValue(this.room)
    this.room.news.watch((text) => {
      this.heard = [...this.heard, { id: ++this.told, text }].slice(-NEWS_KEPT)
    })
    this.observe.refresh()
    this.door = 'open'
    void this.room.open()
    this.follow(location.pathname)
  }

  /** Takes a name for good: presence now, the server's rows where the key is still at hand. */
  private async callMe(name: string, plays: string): Promise<void> {
    const { api, storage } = this.surroundings
    remember(storage, { name, ...(plays ? { plays } : {}) })
    this.room?.tell({ name, plays })
    if (this.token && name) await api.openSession(this.token, name).catch(() => undefined)
  }

  private follow(pathname: string): void {
    this.route = routeOf(pathname)
    if (this.route.kind === 'bring') void this.load('bring')
    if (this.route.kind !== 'board') return
    void this.load(this.route.slotKey === undefined ? this.route.page : 'desk')
    this.room?.tell({ page: this.route.page, slotKey: this.route.slotKey ?? '' })
  }

  /** Fetches a page's code when it is first needed. */
  private async load(page: string): Promise<void> {
    if (this.arrived.has(page)) return
    const load = PAGES[page]
    if (!load) return
    try {
      await load()
      this.arrived = new Set([...this.arrived, page])
    } catch (error) {
      this.room?.say(error)
    }
  }

  private go(path: string): void {
    this.surroundings.history.pushState(null, '', path)
    this.follow(path)
    void this.toTop()
  }

  private async toTop(): Promise<void> {
    scrollTo(0, 0)
    await this.updateComplete
    this.querySelector<HTMLElement>('main')?.focus({ preventScroll: true })
  }

  /** Links inside one board change the page without loading it anew. */
  private onClick(event: MouseEvent): void {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey) return
    const link = (event.target as Element).closest('a')
    if (!link || link.target || link.download || link.origin !== this.surroundings.location.origin) return
    if (link.hash && link.pathname === this.surroundings.location.pathname) return
    const route = routeOf(link.pathname)
    if (route.kind !== 'board' || route.boardId !== this.room?.boardId || link.hash) return
    event.preventDefault()
    this.go(link.pathname)
  }

  /** Back to the board, with the focus where the desk was opened. */
  private async leaveDesk(boardId: string, slotKey: string): Promise<void> {
    this.go(boardPath(boardId))
    await this.updateComplete
    const opener = deskPath(boardId, slotKey)
    requestAnimationFrame(() => {
      const links = [...this.querySelectorAll<HTMLAnchorElement>('main a')]
      links.find((link) => link.getAttribute('href') === opener)?.focus()
    })
  }

  private onKey(event: KeyboardEvent): void {
    if (!this.room || event.defaultPrevented) return
    const typing = (event.target as Element).closest('input:not([type=radio]):not([type=checkbox]), textarea, select')
    if (event.key === 'Escape' && this.route.kind === 'board' && this.route.slotKey !== undefined && !typing) {
      void this.leaveDesk(this.room.boardId, this.route.slotKey)
    }
    if (event.key === '?' && !typing) {
      event.preventDefault()
      return void this.showShortcuts()
    }
    if (typing || !(event.ctrlKey || event.metaKey)) return
    const key = event.key.toLowerCase()
    if (key !== 'z' && key !== 'y') return
    event.preventDefault()
    this.room.step(key === 'y' || event.shiftKey ? 'redo' : 'undo')
  }

  private async showShortcuts(): Promise<void> {
    await import('./loft-shortcuts.js')
    const here = this.querySelector<LoftShortcuts>('loft-shortcuts')
    if (here) here.open()
    else this.hasShortcuts = true
  }

  protected override updated(_changed: PropertyValues): void {
    const board = this.room?.board?.title
    const page = this.route.kind === 'board' ? titleOfPage(this.route) : ''
    document.title = this.route.kind === 'bring' ? words.titleOf(words.bring.title) : words.titleOf(page, board)
  }

  protected override render(): TemplateResult | typeof nothing {
    // Nothing is said before the page knows its language.
    if (!this.isStarted) return nothing
    const trouble = this.room?.trouble.value
    return html`<a class="skip" href="#main">${words.skip}</a>
      <div class="page">
        ${this.head()}
        <main id="main" tabindex="-1">
          ${
            trouble
              ? html`<div class="trouble" role="alert">
                  <p>${trouble}</p>
                  <button class="btn bare" @click=${() => this.room?.trouble.set(undefined)}>${words.close}</button>
                </div>`
              : nothing
          }
          ${this.room && this.door === 'open' ? html`<loft-merged></loft-merged>` : nothing}
          ${
            this.room?.isKept && this.room.connection.line.value.kind === 'offline'
              ? html`<p class="note away" role="status">${words.opened.kept}</p>`
              : nothing
          }
          ${this.newKeys()} ${this.page()}
        </main>
      </div>
      <div class="vh" role="log" aria-live="polite">
        ${repeat(
          this.heard,
          ({ id }) => id,
          ({ text }) => html`<p>${text}</p>`,
        )}
      </div>
      ${this.hasShortcuts ? html`<loft-shortcuts></loft-shortcuts>` : nothing}
      ${
        this.room && this.door === 'open' && this.room.board?.tune
          ? html`<loft-player-place></loft-player-place>`
          : nothing
      }`
  }

  private newKeys(): TemplateResult | typeof nothing {
    const { made, route } = this
    if (!made || route.kind !== 'board' || route.page !== 'board' || route.slotKey !== undefined) return nothing
    return html`<loft-keys
      .board=${made}
      .origin=${this.surroundings.location.origin}
      @kept=${() => (this.made = undefined)}
    ></loft-keys>`
  }

  private head(): TemplateResult {
    const room = this.room
    return html`<header class="top">
      <a class="mark" href=${room ? boardPath(room.boardId) : '/'}>${houseMark}${words.name}</a>
      ${
        this.route.kind === 'board' && (this.door === 'opening' || this.door === 'open')
          ? this.nav(this.route.boardId)
          : nothing
      }
      ${
        room && this.door === 'open'
          ? html`<div class="side">
              <button class="btn bare shortcuts-open" @click=${() => void this.showShortcuts()}>
                ${words.shortcuts.open}
              </button>
              ${this.stepButton(room, 'undo')}${this.stepButton(room, 'redo')}
              <loft-kept></loft-kept>
            </div>`
          : this.route.kind === 'board' && this.door === 'opening'
            ? nothing
            : html`<p class="kept side" data-state="saved"><i aria-hidden="true"></i>${words.bring.keptHere}</p>`
      }
    </header>`
  }

  /** There from the first moment, so that nothing moves when the board has come. */
  private nav(boardId: string): TemplateResult {
    return html`<nav class="pages" aria-label=${words.pagesLabel}>
      <ul>
        ${HEAD_PAGES.map((page) => this.pageLink(boardId, page))}
      </ul>
    </nav>`
  }

  /** Names what it would take back or do again; gone where there is nothing. */
  private stepButton(room: Room, way: Way): TemplateResult | typeof nothing {
    const { undoable, redoable } = room.draft.undoing
    const step = (way === 'undo' ? undoable : redoable).value
    if (!step) return nothing
    return html`<button class="btn bare step" @click=${() => room.step(way)}>
      ${words[way]}<span class="what">: ${room.sayStep(step)}</span>
    </button>`
  }

  private pageLink(boardId: string, page: BoardPage): TemplateResult {
    const isHere = this.route.kind === 'board' && this.route.page === page
    return html`<li>
      <a href=${boardPath(boardId, page)} aria-current=${isHere ? 'page' : nothing}
        >${words.pages[page]}${page === 'people' ? html`<span class="wide">${words.pages.peopleRest}</span>` : nothing}</a
      >
    </li>`
  }

  private page(): TemplateResult {
    if (this.route.kind === 'nowhere') return told(words.join.gone, words.join.goneWhy)
    if (this.route.kind === 'bring') {
      return this.arrived.has('bring')
        ? html`<loft-bring .surroundings=${this.surroundings}></loft-bring>
            <footer class="foot"><loft-speech .storage=${this.surroundings.storage}></loft-speech></footer>`
        : busy(words.loadingPage)
    }
    if (this.door === 'gone') return told(words.join.gone, words.join.goneWhy)
    if (this.door === 'no-session') return told(words.join.noSession, words.join.noSessionWhy)
    if (this.door === 'unreachable') return told(words.join.unreachable, words.join.unreachableWhy)
    if (this.door === 'opening' || !this.room?.board) return busy(words.loading)
    const { slotKey, page, at = '' } = this.route
    if (slotKey !== undefined) {
      return this.arrived.has('desk') ? html`<loft-desk .slotKey=${slotKey}></loft-desk>` : busy(words.loadingPage)
    }
    if (!this.arrived.has(page)) return busy(words.loadingPage)
    switch (page) {
      case 'board':
        return html`<loft-board></loft-board>`
      case 'listen':
        return html`<loft-listen></loft-listen>`
      case 'charts':
        return html`<loft-charts></loft-charts>`
      case 'polls':
        return html`<loft-polls></loft-polls>`
      case 'people':
        return html`<loft-people .storage=${this.surroundings.storage}></loft-people>`
      case 'history':
        return html`<loft-history .at=${at}></loft-history>`
      case 'band':
        return html`<loft-details></loft-details>`
      case 'stand':
        return html`<loft-stand></loft-stand>`
    }
  }
}

/** Code of the pages that are not in the first load. `listen` and `charts` define <loft-listen> and <loft-charts>. */
const PAGES: { readonly [page: string]: () => Promise<unknown> } = {
  bring: () => import('../bring/loft-bring.js'),
  desk: () => import('../board/desk/loft-desk.js'),
  listen: () => import('../listen/index.js'),
  charts: () => import('../charts/index.js'),
  polls: () => import('../people/loft-polls.js'),
  people: () => import('../people/loft-people.js'),
  history: () => import('../history/loft-history.js'),
  band: () => import('../details/loft-details.js'),
  stand: () => import('../charts/loft-stand.js'),
}

function titleOfPage({ page, slotKey }: Extract<Route, { kind: 'board' }>): string {
  const slot = slotKey === undefined ? undefined : parseSlotKey(slotKey)
  if (slot) return words.question(slot.decision)
  return page === 'board' ? '' : words.pages[page]
}

/** Answers that say nothing about whether one may come in. */
const AWAY: readonly CallError['code'][] = ['offline', 'unavailable', 'disk', 'timeout', 'too_fast']

function doorAfter(error: unknown, hadToken: boolean): Door {
  if (!(error instanceof CallError) || AWAY.includes(error.code)) return 'unreachable'
  return hadToken || error.code === 'not_found' ? 'gone' : 'no-session'
}

const busy = (text: string): TemplateResult =>
  html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${text}</div>`

const told = (title: string, why: string): TemplateResult =>
  html`<h1>${title}</h1>
    <p class="lead">${why}</p>
    <p><a class="btn" href="/">${words.join.home}</a></p>`
