/** Who is here and where: each person's own ephemeral state, seen through the server's word on who owns a client id. */
import type { Authors } from '@chartloft/shared-theory/board'

/** What this page tells the others. */
export interface MyState {
  readonly name: string
  /** What I play, in my words. */
  readonly plays?: string
  /** Page, and the card or decision I have open. */
  readonly page: string
  readonly cardKey?: string
  readonly slotKey?: string
}
export interface Person {
  readonly userId: string
  readonly name: string
  readonly plays?: string
  readonly role?: 'leader' | 'member' | 'listener'
  readonly isMe: boolean
  readonly page?: string
  readonly cardKey?: string
  readonly slotKey?: string
}

const LONGEST_NAME = 40

/** One entry a person, myself first, then by name. States are others' claims: only short texts are believed. */
export function peopleOf(
  states: ReadonlyMap<number, unknown>,
  authors: Authors['clients'],
  me: { readonly clientId: number; readonly userId: string; readonly role: Person['role'] },
): readonly Person[] {
  const people = new Map<string, Person>()
  for (const [clientId, state] of states) {
    const claimed = (state ?? {}) as { readonly [field: string]: unknown }
    const author = authors[String(clientId)]
    const isMe = clientId === me.clientId || author?.userId === me.userId
    const userId = isMe ? me.userId : (author?.userId ?? `client-${clientId}`)
    if (people.has(userId) && clientId !== me.clientId) continue
    const role = isMe ? me.role : author?.role
    const name = text(claimed['name']) || (author?.name ?? '').slice(0, LONGEST_NAME)
    people.set(userId, {
      userId,
      name,
      isMe,
      ...(role ? { role } : {}),
      ...optional('plays', claimed['plays']),
      ...optional('page', claimed['page']),
      ...optional('cardKey', claimed['cardKey']),
      ...optional('slotKey', claimed['slotKey']),
    })
  }
  return [...people.values()].sort((a, b) => Number(b.isMe) - Number(a.isMe) || a.name.localeCompare(b.name))
}

const text = (value: unknown): string => (typeof value === 'string' ? value.slice(0, LONGEST_NAME).trim() : '')

function optional<K extends string>(name: K, value: unknown): { readonly [key in K]?: string } {
  const said = typeof value === 'string' ? value.slice(0, 200) : ''
  return said === '' ? {} : ({ [name]: said } as { readonly [key in K]?: string })
}
