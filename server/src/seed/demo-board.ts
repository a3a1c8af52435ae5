/** The demo board: made once in an empty data folder, found again on every later start. One choice locked, one in voting, the others open. */
import { DEMO_BAND, DEMO_TUNES } from '@chartloft/demo'
import { findOption, type Option, type Slot } from '@chartloft/shared-theory'
import { ROLES, type Role } from '@chartloft/shared-theory/board'
import { randomId } from '../access/secret.js'
import { createBoardWith, type NewBoard } from '../boards/boards.js'
import { linkPath } from '../ledger/commands.js'
import { must } from '../must.js'
import type { Services } from '../services.js'
import type { LinkRecord, LiveSession } from '../store/store.js'

/** Where the store remembers which board is the demo. */
const SETTING = 'demo-board'
/** Locked from the start: what a small band in a boat shed would choose. */
const GROOVE = ['bossa', 'ballad-even']
/** Put to the vote: names of options, those that this tune has. */
const LIFTS = ['up-1', 'up-2', 'up-3', 'none']
const MOST_CHOICES = 3

/** The demo board's links; undefined where the demo was deleted, or boards of somebody's own were there first. */
export async function seedDemo(services: Services): Promise<NewBoard | undefined> {
  const known = await services.store.setting(SETTING)
  if (known !== undefined) return linksOf(services, known)
  if ((await services.store.countBoards()) > 0) return undefined
  const board = await makeBoard(services)
  await services.store.setSetting(SETTING, board.boardId)
  return board
}

async function makeBoard(services: Services): Promise<NewBoard> {
  const song = must(DEMO_TUNES[0], 'the demo has a tune')
  const read = await services.run('newTune', 'abc', song.abc)
  if (!read.ok) throw new Error(`the demo tune does not read: ${read.issues[0]?.message}`)
  const { tune, roadmap } = read.value
  const board = await createBoardWith(services, `${song.title}: ${DEMO_BAND.occasion}`, {
    tune: { ...tune, rights: 'own' },
    lineup: DEMO_BAND.lineup,
    roadmap,
  })
  const leader = await sessionFor(
    services,
    board.boardId,
    'leader',
    DEMO_BAND.players.find((player) => player.isLeader)?.name ?? 'Leader',
  )
  await lockGroove(services, leader)
  await openHarmony(services, leader)
  await pollLift(services, leader)
  await give(services, leader, { kind: 'nameVersion', name: 'Before the first rehearsal' })
  return board
}

async function lockGroove(services: Services, leader: LiveSession): Promise<void> {
  const slot: Slot = { decision: 'groove' }
  const options = await optionsFor(services, leader.boardId, slot)
  const option = firstOf(options, GROOVE)
  if (option)
    await give(services, leader, {
      kind: 'lock',
      slot,
      option,
      why: 'The shed echoes: something light under the tune.',
    })
}

async function openHarmony(services: Services, leader: LiveSession): Promise<void> {
  const [best] = await optionsFor(services, leader.boardId, { decision: 'harmony' })
  if (best?.at) await give(services, leader, { kind: 'openPlace', slot: { decision: 'harmony', at: best.at } })
}

async function pollLift(services: Services, leader: LiveSession): Promise<void> {
  const options = await optionsFor(services, leader.boardId, { decision: 'lift' })
  const choices = LIFTS.flatMap((name) => findOption(options, name) ?? []).filter(
    (option, index, all) => all.indexOf(option) === index,
  )
  const shown = [...choices.slice(0, MOST_CHOICES - 1), ...choices.slice(-1)].filter(
    (option, index, all) => all.indexOf(option) === index,
  )
  const at = shown[0]?.at
  if (!at || shown.length < 2) return
  const slot: Slot = { decision: 'lift', at }
  await give(services, leader, { kind: 'openPlace', slot })
  const { pollId } = await give(services, leader, {
    kind: 'openPoll',
    question: 'Does the last chorus go up, and how far?',
    method: 'single',
    options: shown.map((option) => ({ id: option.id, title: option.title, option })),
    slot,
    audience: 'everyone',
    tally: 'always',
  })
  const poll = must(await services.polls.find(String(pollId)), 'the poll just opened is there')
  const voters = DEMO_BAND.players.filter((player) => !player.isLeader).slice(0, 2)
  for (const [index, player] of voters.entries()) {
    const session = await sessionFor(services, leader.boardId, 'member', player.name)
    await services.polls.vote(poll, session, randomId(), [shown[index % shown.length]?.id])
  }
}

async function optionsFor(services: Services, boardId: string, slot: Slot): Promise<readonly Option[]> {
  const ledger = await services.ledgers.get(boardId)
  return services.run('propose', ledger.state, slot)
}

/** The first of the names that this tune has an option for, else the best that changes something. */
function firstOf(options: readonly Option[], names: readonly string[]): Option | undefined {
  for (const name of names) {
    const option = findOption(options, name)
    if (option) return option
  }
  return options.find((option) => option.recipe !== 'as-written') ?? options[0]
}

async function give(
  services: Services,
  session: LiveSession,
  fields: { readonly kind: string; readonly [name: string]: unknown },
) {
  const ledger = await services.ledgers.get(session.boardId)
  return services.commands.give(session, { commandId: randomId(), baseSeq: ledger.state.seq, ...fields }, () =>
    Promise.resolve(session),
  )
}

/** A person of the demo band, as if they had opened their link. */
async function sessionFor({ store, now }: Services, boardId: string, role: Role, name: string): Promise<LiveSession> {
  const link = must(
    (await store.links(boardId)).find((known) => known.role === role),
    `the demo board has a ${role} link`,
  )
  return {
    sessionHash: randomId(32),
    boardId,
    userId: `demo_${randomId(9)}`,
    name,
    role,
    linkId: link.linkId,
    personal: false,
    createdAt: now(),
  }
}

async function linksOf({ store, keyring, commands }: Services, boardId: string): Promise<NewBoard | undefined> {
  if (!(await store.board(boardId))) return undefined
  const links = await store.links(boardId)
  const pathOf = async (role: Role): Promise<string> => {
    const isKnown = (link: LinkRecord) =>
      link.role === role &&
      !link.revoked &&
      !link.personal &&
      link.tokenHash === keyring.tokenHash(keyring.linkToken(link.linkId))
    const link = links.find(isKnown)
    if (link) return linkPath(boardId, keyring.linkToken(link.linkId))
    return String((await commands.giveAsServer(boardId, 'issueLink', { role }))['link'])
  }
  const [leader, member, listener] = await Promise.all(ROLES.map(pathOf))
  return { boardId, links: { leader: leader ?? '', member: member ?? '', listener: listener ?? '' } }
}
