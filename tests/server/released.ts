/** Stores as released versions left them, opened by this one: what is still there of their boards. */
import { readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { foldLedger } from '@chartloft/shared-theory'
import type * as Y from 'yjs'
import { freshFolder, Person, personAt, type RunningServer, ROOT, runCommand, startServer } from './harness.js'
import { entriesOf } from './attempts.js'
import { draftOf } from './kills.js'

const FOLDER = join(ROOT, 'tests/fixtures/released')
export const RELEASED = readdirSync(FOLDER)

/** What every fixture holds: one board, made by hand with that version. The last two a version wrote that is not written yet. */
const HELD = {
  title: 'Boat shed',
  notes: 'bring the brushes',
  trying: 'ending-1',
  locks: ['lift'],
  versions: ['First evening'],
  polls: ['Which?'],
  votes: { a: 0, b: 1 },
  laterDraft: { of: 'a version that is not written yet' },
  laterField: 'blue',
}

type Sqlite = new (path: string) => { exec(sql: string): void; close(): void }

/** A data folder with the store of a released version. */
export function folderOf(version: string): string {
  const dataDir = freshFolder()
  const Database = createRequire(join(ROOT, 'server/package.json'))('better-sqlite3') as Sqlite
  const store = new Database(join(dataDir, 'chartloft.sqlite'))
  store.exec(readFileSync(join(FOLDER, version, 'store.sql'), 'utf8'))
  store.close()
  return dataDir
}

async function heldBy(server: RunningServer, link: string): Promise<object> {
  const leader = await personAt(server, link)
  const entries = await entriesOf(leader)
  const state = foldLedger(entries)
  const draft: Y.Doc = await draftOf(leader)
  const { polls } = (await leader.call('GET', `/api/boards/${leader.boardId}/polls`)).body
  const named = entries.find(({ command }) => command.kind === 'nameVersion')?.command as object | undefined
  return {
    title: state.title,
    notes: draft.getText('notes').toJSON(),
    trying: draft.getMap('trying').get('ending'),
    locks: state.locks.map(({ slot }) => slot.decision),
    versions: state.versions.map(({ name }) => name),
    polls: state.polls.map(({ question }) => question),
    votes: polls[0]?.tally?.counts,
    laterDraft: draft.getMap('later').get('stage-plan'),
    laterField: named && Reflect.get(named, 'colour'),
  }
}

/** Fields that are not what they were: after opening, after a command more, and in another folder by way of a board file. */
export async function lostFrom(
  version: string,
): Promise<{ readonly fields: number; readonly lost: readonly string[] }> {
  const dataDir = folderOf(version)
  const lost: string[] = []
  let fields = 0
  const compare = (where: string, found: object) => {
    for (const [field, value] of Object.entries(HELD)) {
      fields++
      const now: unknown = Reflect.get(found, field)
      if (JSON.stringify(now) !== JSON.stringify(value)) lost.push(`${where}: ${field} is ${JSON.stringify(now)}`)
    }
  }
  const [boardId = ''] =
    /values \('([A-Za-z0-9_-]+)'/
      .exec(readFileSync(join(FOLDER, version, 'store.sql'), 'utf8').split('insert into "boards"')[1] ?? '')
      ?.slice(1) ?? []
  // Restored without the secret it was made with: a new key to it is made on the spot.
  const made = await runCommand(['link', boardId, '--role', 'leader', '--data', dataDir])
  const link = made.stdout.trim().replace(/^https?:\/\/[^/]+/, '')
  let server = await startServer({ dataDir })
  compare('opened', await heldBy(server, link))
  const leader = await personAt(server, link)
  const after = await leader.command('nameVersion', { name: 'Second evening' })
  if (after.status !== 200) lost.push(`a command afterwards: ${after.status}`)
  const file = (await leader.call('GET', `/api/boards/${boardId}/export`)).body
  await server.stop()
  server = await startServer()
  const imported = await new Person(server).call('POST', '/api/boards/import', file)
  if (imported.status === 201) {
    const found = await heldBy(server, imported.body.links.leader)
    compare('as a board file', { ...found, versions: (Reflect.get(found, 'versions') as string[]).slice(0, 1) })
  } else lost.push(`as a board file: ${imported.status}`)
  await server.stop()
  return { fields, lost }
}
