/** Sessions: a link's token buys a cookie for one board; the cookie says who somebody is and what they may do. */
import { BOARD_LIMITS, type Role } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import type { LinkRecord, LiveSession, Store } from '../store/store.js'
import { type Keyring, randomId, sameText } from './secret.js'

const COOKIE_BYTES = 32
const COOKIE_DAYS = 180
const TOKEN = /^[A-Za-z0-9_-]{22,128}$/
/** What a person without a name is called. */
const NAMELESS: { readonly [role in Role]: string } = { leader: 'Leader', member: 'Member', listener: 'Listener' }

export class Sessions {
  constructor(
    private readonly store: Store,
    private readonly keyring: Keyring,
    private readonly secure: boolean,
  ) {}

  /** The session of a token: the cookie's own where it came from the same link, else a new one. `cookie` is the header line to set. */
  async open(
    token: string,
    name: string | undefined,
    cookies: string | undefined,
    now: number,
  ): Promise<{ readonly session: LiveSession; readonly cookie: string }> {
    const link = await this.linkOf(token, now)
    const known = await this.find(link.boardId, cookies, now)
    const given = name === undefined ? '' : plainName(name)
    const value = (known && cookieOf(link.boardId, cookies)) ?? randomId(COOKIE_BYTES)
    const session: LiveSession = {
      sessionHash: this.keyring.sessionHash(value),
      boardId: link.boardId,
      userId: userIdOf(link, known),
      name: given || known?.name || link.label || NAMELESS[link.role],
      role: link.role,
      linkId: link.linkId,
      personal: link.personal,
      createdAt: known?.createdAt ?? now,
      ...(link.expiresAt === undefined ? {} : { expiresAt: link.expiresAt }),
    }
    await this.store.putSession(session)
    return { session, cookie: this.cookieLine(link.boardId, value) }
  }

  /** The live session a request's cookies carry for a board. */
  async find(boardId: string, cookies: string | undefined, now: number): Promise<LiveSession | undefined> {
    const value = cookieOf(boardId, cookies)
    if (value === undefined) return undefined
    const hash = this.keyring.sessionHash(value)
    const session = await this.store.session(hash)
    if (!session || !sameText(session.sessionHash, hash) || session.boardId !== boardId) return undefined
    return session.expiresAt !== undefined && session.expiresAt <= now ? undefined : session
  }

  private async linkOf(token: string, now: number): Promise<LinkRecord> {
    const refused = new Refusal(
      'no_session',
      'This link does not open a board: it is mistyped, was revoked or has expired. Ask the leader for a new one.',
    )
    if (!TOKEN.test(token)) throw refused
    const hash = this.keyring.tokenHash(token)
    const link = await this.store.linkByTokenHash(hash)
    if (!link || !sameText(link.tokenHash, hash) || link.revoked) throw refused
    if (link.expiresAt !== undefined && link.expiresAt <= now) throw refused
    return link
  }

  private cookieLine(boardId: string, value: string): string {
    const secure = this.secure ? '; Secure' : ''
    return `${cookieName(boardId)}=${value}; HttpOnly; SameSite=Strict; Path=/; Max-Age=${COOKIE_DAYS * 86_400}${secure}`
  }
}

export const cookieName = (boardId: string): string => `loft_${boardId}`

/** A personal link is one person wherever it is opened; otherwise a browser keeps its person, also when it comes back with another link of the board. */
function userIdOf(link: LinkRecord, known: LiveSession | undefined): string {
  if (link.personal) return `p_${link.linkId}`
  if (known && !known.personal) return known.userId
  return `u_${randomId(9)}`
}

function cookieOf(boardId: string, cookies: string | undefined): string | undefined {
  const name = cookieName(boardId)
  for (const part of (cookies ?? '').split(';')) {
    const [key, value] = part.trim().split('=', 2)
    if (key === name && value !== undefined && /^[A-Za-z0-9_-]{22,128}$/.test(value)) return value
  }
  return undefined
}

/** One line of visible text, cut to what a name may take. */
export function plainName(name: string): string {
  return name
    .normalize('NFC')
    .replace(/[\p{C}\s]+/gu, ' ')
    .trim()
    .slice(0, BOARD_LIMITS.personName)
}
