/** A line-up while the leader writes it: players come, go, change places and instruments; names of parts follow by themselves. */
import { findInstrument, type Instrument, LINEUPS, type PartSpec, type PassPlan } from '@chartloft/shared-theory'
import { changedPass } from './pass-plans.js'

export type Role = PartSpec['role']

export interface Player {
  /** Stays the same while the player is on the list. */
  readonly key: string
  /** The part's id in the saved line-up, where the player was in it. */
  readonly was?: string
  readonly instrument: string
  /** As printed on the part. */
  readonly name: string
  readonly role: Role
}

/** Most players a board takes, as its server counts. */
export const MOST_PLAYERS = 24
export const ROLES: readonly Role[] = ['lead', 'horn', 'voice', 'chords', 'bass', 'drums']

export const playersOf = (lineup: readonly PartSpec[]): readonly Player[] =>
  lineup.map(({ id, instrument, name, role }) => ({ key: id, was: id, instrument, name, role }))

/** What an instrument usually does in a band where somebody else leads. */
export function usualRole({ family }: Pick<Instrument, 'family'>): Role {
  if (family === 'drums' || family === 'bass' || family === 'voice') return family
  return family === 'keys' || family === 'guitar' ? 'chords' : 'horn'
}

const usualRoleOf = (instrument: string): Role => usualRole(findInstrument(instrument) ?? { family: 'keys' })
const plain = (name: string): string => name.trim().toLowerCase()
const nameOf = (instrument: string): string => findInstrument(instrument)?.name ?? instrument

/** One more player at the end; the first who can lead leads. */
export function added(players: readonly Player[], instrument: string): readonly Player[] {
  if (players.length >= MOST_PLAYERS) return players
  const usual = usualRoleOf(instrument)
  const leads = usual !== 'bass' && usual !== 'drums' && !players.some(({ role }) => role === 'lead')
  const name = freeName(players, instrument)
  return [...players, { key: freeKey(players), instrument, name, role: leads ? 'lead' : usual }]
}

export const removed = (players: readonly Player[], key: string): readonly Player[] =>
  players.filter((player) => player.key !== key)

export function moved(players: readonly Player[], key: string, step: -1 | 1): readonly Player[] {
  const from = players.findIndex((player) => player.key === key)
  const to = from + step
  const [mine, other] = [players[from], players[to]]
  if (!mine || !other) return players
  return players.map((player, index) => (index === from ? other : index === to ? mine : player))
}

/** Another instrument; its name and role come with it unless the player was given their own. */
export function withInstrument(players: readonly Player[], key: string, instrument: string): readonly Player[] {
  return players.map((player) => {
    if (player.key !== key) return player
    const others = players.filter((other) => other !== player)
    const isOwnName = player.name !== freeName(others, player.instrument)
    const role = player.role === usualRoleOf(player.instrument) ? usualRoleOf(instrument) : player.role
    return { ...player, instrument, role, name: isOwnName ? player.name : freeName(others, instrument) }
  })
}

export const withName = (players: readonly Player[], key: string, name: string): readonly Player[] =>
  players.map((player) => (player.key === key ? { ...player, name } : player))

/** There is one lead: whoever led before goes back to what the instrument usually does. */
export function withRole(players: readonly Player[], key: string, role: Role): readonly Player[] {
  return players.map((player) => {
    if (player.key === key) return { ...player, role }
    return role === 'lead' && player.role === 'lead' ? { ...player, role: usualRoleOf(player.instrument) } : player
  })
}

/** A ready line-up; players whose part is already there keep it. */
export function fromReady(players: readonly Player[], ready: string): readonly Player[] {
  const saved = new Set(players.flatMap(({ was }) => was ?? []))
  return (LINEUPS[ready] ?? []).map(({ id, instrument, name, role }) => ({
    key: id,
    instrument,
    name,
    role,
    ...(saved.has(id) ? { was: id } : {}),
  }))
}

/** What keeps a line-up from being saved; the page says it in words. */
export type Fault =
  | { readonly kind: 'nobody' }
  | { readonly kind: 'no-lead' }
  | { readonly kind: 'two-leads' }
  | { readonly kind: 'no-name'; readonly key: string }
  | { readonly kind: 'same-name'; readonly key: string; readonly name: string }

export function faultOf(players: readonly Player[]): Fault | undefined {
  if (players.length === 0) return { kind: 'nobody' }
  const leads = players.filter(({ role }) => role === 'lead').length
  if (leads === 0) return { kind: 'no-lead' }
  if (leads > 1) return { kind: 'two-leads' }
  const names = new Set<string>()
  for (const { key, name } of players) {
    if (plain(name) === '') return { kind: 'no-name', key }
    if (names.has(plain(name))) return { kind: 'same-name', key, name: name.trim() }
    names.add(plain(name))
  }
  return undefined
}

/** The line-up as it is saved. A player keeps the part's id while the instrument stays; a new one is called by the instrument,
 *  with a number from 2 where that is taken ('tenor-sax-2'): the id is the part's file name. */
export function lineupOf(players: readonly Player[], saved: readonly PartSpec[]): readonly PartSpec[] {
  const before = new Map(saved.map((part) => [part.id, partWord(part.instrument)]))
  const keptIds = players.map(({ was, instrument }) =>
    was !== undefined && before.get(was) === partWord(instrument) ? was : undefined,
  )
  const taken = new Set(keptIds)
  return players.map(({ instrument, name, role }, index) => {
    const id = keptIds[index] ?? freeId(partWord(instrument), taken)
    taken.add(id)
    return { id, instrument, name: name.trim(), role }
  })
}

/** What a part is called in its file name: a bass is a bass, however it is built. */
function partWord(instrument: string): string {
  const family = findInstrument(instrument)?.family
  return family === 'bass' || family === 'drums' || family === 'voice' ? family : instrument
}

export const isSameLineup = (one: readonly PartSpec[], other: readonly PartSpec[]): boolean =>
  JSON.stringify(one.map(partFields)) === JSON.stringify(other.map(partFields))
const partFields = ({ id, instrument, name, role }: PartSpec) => [id, instrument, name, role]

/** The running order with its players called as they are called now; who is gone is no longer named. The same list where
 *  nobody in it is renamed. */
export function renamedIn(
  roadmap: readonly PassPlan[],
  players: readonly Player[],
  lineup: readonly PartSpec[],
): readonly PassPlan[] {
  const now = new Map(players.map(({ was, key }, index) => [was ?? ` ${key}`, lineup[index]?.id]))
  const called = (id: string | undefined): string | undefined => (id === undefined ? undefined : now.get(id))
  const renamed = roadmap.map((pass) => {
    const { soloist, melody } = pass
    if (called(soloist) === soloist && called(melody) === melody) return pass
    return changedPass(pass, { soloist: called(soloist) ?? '', melody: called(melody) ?? '' })
  })
  return renamed.every((pass, index) => pass === roadmap[index]) ? roadmap : renamed
}

function freeId(word: string, taken: ReadonlySet<string | undefined>): string {
  let id = word
  for (let number = 2; taken.has(id); number++) id = `${word}-${number}`
  return id
}

/** The instrument's name, with a number from 2 where another part is called so. */
function freeName(players: readonly Player[], instrument: string): string {
  const taken = new Set(players.map(({ name }) => plain(name)))
  let name = nameOf(instrument)
  for (let number = 2; taken.has(plain(name)); number++) name = `${nameOf(instrument)} ${number}`
  return name
}

function freeKey(players: readonly Player[]): string {
  const taken = new Set(players.map(({ key }) => key))
  let number = players.length + 1
  while (taken.has(`new ${number}`)) number++
  return `new ${number}`
}
