/** Backup and restore: one file out of either database and into either, while the server runs, and nothing is different afterwards. */
import { existsSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type PrivatePostgres, sayMissing, startPostgres } from './databases.js'
import {
  type Person,
  type RunningServer,
  cleanUp,
  freshFolder,
  newBoard,
  newId,
  personAt,
  runCommand,
  startServer,
  until,
} from './harness.js'
import { draftOf, ledgerOf } from './kills.js'
import { Editor } from './machines.js'
import { LAST_CHORUS, NO_LIFT, SONG } from './music.js'
import { RELEASED, folderOf } from './released.js'

const isThere = sayMissing('backups out of Postgres and into it', { postgres: true })
let postgres: PrivatePostgres | undefined
beforeAll(async () => {
  if (isThere) postgres = await startPostgres()
})
afterAll(async () => {
  cleanUp()
  await postgres?.stop()
})

/** Runs a command that must succeed. */
async function done(args: readonly string[], env: { readonly [name: string]: string } = {}): Promise<string> {
  const { code, stdout, stderr } = await runCommand(args, env)
  expect(code, stderr).toBe(0)
  return stdout.trim()
}

/** Runs a command that must refuse, in one line. */
async function refused(args: readonly string[], env: { readonly [name: string]: string } = {}): Promise<string> {
  const { code, stderr, stdout } = await runCommand(args, env)
  expect(code, stdout).toBe(2)
  expect(stderr.trim().split('\n')).toHaveLength(1)
  expect(stderr).not.toContain('fault is in the program')
  return stderr
}

async function edit(person: Person, key: string): Promise<void> {
  const editor = new Editor(person)
  await editor.synced()
  editor.set(key)
  await until(() => editor.saved.has(key), 'saved')
  editor.wire.socket.close()
}

/** A board with something of everything, on a server that goes on running. */
async function fullBoard(server: RunningServer) {
  const board = await newBoard(server, 'Packed', SONG)
  const leader = await personAt(server, board.links.leader, 'Maro')
  await leader.command('lock', { slot: { decision: 'lift', at: LAST_CHORUS }, option: NO_LIFT, baseSeq: 1 })
  const polls: string[] = []
  for (const question of ['First?', 'Second?', 'Third?']) {
    const { body } = await leader.command('openPoll', {
      question,
      method: 'approval',
      audience: 'everyone',
      tally: 'always',
      options: [
        { id: 'x', title: 'X' },
        { id: 'y', title: 'Y' },
      ],
    })
    polls.push(body.pollId)
    await leader.call('POST', `/api/polls/${body.pollId}/ballots`, { ballotId: newId(), choices: ['y'] })
  }
  await edit(await personAt(server, board.links.member), 'kept')
  return { board, leader, polls }
}

/** All that may be seen of it, through the links people hold. */
async function seenAt(server: RunningServer, leader: Person) {
  const there = leader.at(server)
  return {
    ledger: await ledgerOf(there),
    cards: [...(await draftOf(there)).getMap('cards').keys()].toSorted(),
    polls: (await there.call('GET', `/api/boards/${there.boardId}/polls`)).body.polls,
    session: (await there.call('GET', `/api/session?board=${there.boardId}`)).body,
  }
}

describe('[BK1] backup and restore', () => {
  it('of a running server’s folder into another, which goes on from there', async () => {
    const server = await startServer()
    const { board, leader } = await fullBoard(server)
    const file = join(freshFolder(), 'band.backup')
    expect(await done(['backup', '--data', server.dataDir, '--out', file])).toContain('1 board in')
    expect(statSync(file).mode & 0o777).toBe(0o600)
    const before = await seenAt(server, leader)
    await edit(leader, 'after the backup')
    const dataDir = join(freshFolder(), 'new')
    expect(await done(['restore', file, '--data', dataDir])).toContain('1 board restored')
    expect(readdirSync(dataDir)).toEqual(['chartloft.sqlite'])
    writeFileSync(join(dataDir, 'secret'), readFileSync(join(server.dataDir, 'secret')), { mode: 0o600 })
    const copy = await startServer({ dataDir })
    expect(await seenAt(copy, leader)).toEqual(before)
    await edit(leader.at(copy), 'here alone')
    expect((await leader.at(copy).command('nameVersion', { name: 'here' })).status).toBe(200)
    expect((await seenAt(copy, leader)).cards).toEqual(['here alone', 'kept'])
    // Without the secret: links are dead, and whoever holds the machine makes a new one.
    await copy.stop()
    writeFileSync(join(dataDir, 'secret'), Buffer.alloc(32, 9))
    const link = await done(['link', board.boardId, '--role', 'leader', '--data', dataDir])
    const again = await startServer({ dataDir })
    expect((await leader.at(again).call('GET', `/api/session?board=${board.boardId}`)).status).toBe(401)
    expect((await (await personAt(again, link)).call('GET', `/api/boards/${board.boardId}/ledger`)).status).toBe(200)
    await again.stop()
    await server.stop()
  })

  it('what cannot be done is one line, and leaves nothing', async () => {
    const server = await startServer()
    await fullBoard(server)
    const folder = freshFolder()
    const file = join(folder, 'band.backup')
    await done(['backup', '--data', server.dataDir, '--out', file])
    expect(await refused(['backup', '--data', server.dataDir, '--out', file])).toContain('there already')
    expect(await refused(['restore', file, '--data', server.dataDir])).toContain('there already')
    expect(await refused(['backup', '--data', folder, '--out', join(folder, 'x')])).toContain('holds no boards')
    expect(await refused(['backup', '--out', join(folder, 'x')])).toContain('DATABASE_URL')
    expect(await refused(['restore', join(folder, 'none'), '--data', folder])).toContain('not there')
    const whole = readFileSync(file)
    const target = join(freshFolder(), 'target')
    const spoilt: readonly (readonly [string, Buffer])[] = [
      ['empty', Buffer.alloc(0)],
      ['no database', Buffer.from('hello '.repeat(2000))],
      ['cut', whole.subarray(0, Math.floor(whole.length / 2))],
      ['garbled', Buffer.from(whole.map((byte, at) => (at > 8192 && at < 40_000 ? byte ^ 0x55 : byte)))],
    ]
    for (const [name, bytes] of spoilt) {
      writeFileSync(join(folder, name), bytes)
      await refused(['restore', join(folder, name), '--data', target])
      expect(readdirSync(target), name).toEqual([])
    }
    expect(existsSync(join(folder, 'x'))).toBe(false)
    await server.stop()
  })

  it.skipIf(!isThere)('from a file to Postgres and back, with everything', async () => {
    const small = await startServer()
    const { board, leader, polls } = await fullBoard(small)
    const file = join(freshFolder(), 'band.backup')
    await done(['backup', '--data', small.dataDir, '--out', file])
    const before = await seenAt(small, leader)
    expect(before.polls.map(({ pollId }: { pollId: string }) => pollId)).toEqual(polls)
    const DATABASE_URL = (await postgres?.newDatabase()) ?? ''
    const SECRET_FILE = join(small.dataDir, 'secret')
    expect(await done(['restore', file], { DATABASE_URL })).toContain('1 board restored')
    expect(await refused(['restore', file], { DATABASE_URL })).toContain('boards already')
    const large = await startServer({ env: { DATABASE_URL, SECRET_FILE } })
    expect(await seenAt(large, leader)).toEqual(before)
    await edit(leader.at(large), 'in Postgres')
    const voter = await personAt(large, board.links.listener)
    const ballot = { ballotId: newId(), choices: ['x'] }
    expect((await voter.call('POST', `/api/polls/${polls[0]}/ballots`, ballot)).status).toBe(200)
    const there = await seenAt(large, leader)
    // The command line reaches it by the same variable, beside the running server.
    const out = join(freshFolder(), 'board.json')
    await done(['export', board.boardId, '--out', out], { DATABASE_URL })
    expect(JSON.parse(readFileSync(out, 'utf8')).ledger).toEqual(there.ledger)
    const second = join(freshFolder(), 'second.backup')
    expect(await done(['backup', '--out', second], { DATABASE_URL })).toContain('1 board in')
    const link = await done(['link', board.boardId, '--role', 'member'], { DATABASE_URL, SECRET_FILE })
    expect((await personAt(large, link)).boardId).toBe(board.boardId)
    const dataDir = join(freshFolder(), 'back')
    await done(['restore', second, '--data', dataDir])
    const back = await startServer({ dataDir, env: { SECRET_FILE } })
    expect(await seenAt(back, leader)).toEqual(there)
    expect(there.cards).toEqual(['in Postgres', 'kept'])
    await edit(leader.at(back), 'and on')
    await back.stop('SIGKILL')
    const after = await startServer({ dataDir, env: { SECRET_FILE } })
    expect((await seenAt(after, leader)).cards).toEqual(['and on', 'in Postgres', 'kept'])
    for (const server of [small, large, after]) await server.stop()
  })

  it.skipIf(!isThere).each(RELEASED)('[UP1] a store as version %s left it moves to Postgres', async (version) => {
    const dataDir = folderOf(version)
    const file = join(freshFolder(), 'old.backup')
    await done(['backup', '--data', dataDir, '--out', file])
    const env = { DATABASE_URL: (await postgres?.newDatabase()) ?? '', SECRET_FILE: join(freshFolder(), 'secret') }
    await done(['restore', file], env)
    const [{ id } = { id: '' }] = ((await postgres?.query(env.DATABASE_URL, 'select id from boards')) ?? []) as {
      id: string
    }[]
    const link = await done(['link', id, '--role', 'leader'], env)
    const server = await startServer({ env })
    const leader = await personAt(server, link)
    expect((await draftOf(leader)).getText('notes').toJSON()).toBe('bring the brushes')
    const entries = await ledgerOf(leader)
    expect(entries.some(({ command }) => command['colour'] === 'blue')).toBe(true)
    expect((await leader.command('nameVersion', { name: 'Second evening' })).status).toBe(200)
    await server.stop()
  })
})
