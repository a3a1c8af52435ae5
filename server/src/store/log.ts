/** What is committed many times a second: one row a commit, whatever boards it concerns, written at one place of the file. Every few seconds, and
 *  before a board is read, the rows are spread over the boards' own tails. */
import type SqliteDatabase from 'better-sqlite3'
import { type Appended, type Batch, boardIdsOf, packed, unpacked } from './batch.js'
import { checksum } from './checksum.js'
import type { DraftUpdate } from './store.js'

const MOST_COMMITS = 256
const MOST_BYTES = 1024 * 1024

export interface Commit {
  readonly id: number
  readonly boards: Batch['boards']
  readonly bytes: Uint8Array
  readonly checksum: number
}

export class Log {
  private readonly statements
  private commits = 0
  private bytes = 0

  constructor(
    private readonly database: SqliteDatabase.Database,
    private readonly isKnown: (boardId: string) => boolean,
  ) {
    this.statements = {
      add: database.prepare('insert into log (boards, bytes, checksum) values (?, ?, ?)'),
      all: database.prepare('select id, boards, bytes, checksum from log order by id'),
      of: database.prepare('select id, boards, bytes, checksum from log where instr(boards, ?) order by id'),
      clear: database.prepare('delete from log where id <= ?'),
      spread: database.prepare(
        'insert into tails (board_id, id, bytes, checksum) select ?, ?, ?, ? where exists (select 1 from boards where id = ?)',
      ),
    }
  }

  /** Adds a commit, inside the caller's transaction. Boards that are no more are left out. */
  append(batch: Batch): Appended {
    const gone = boardIdsOf(batch.boards).filter((boardId) => !this.isKnown(boardId))
    const isAll = gone.length === 0
    const { boards, block } = isAll ? batch : packed(unpacked(batch).filter(({ boardId }) => !gone.includes(boardId)))
    if (block.length === 0) return { id: 0, ...(isAll ? {} : { gone }) }
    const id = Number(this.statements.add.run(boards, block, checksum(block)).lastInsertRowid)
    this.commits += 1
    this.bytes += block.length
    if (this.commits === MOST_COMMITS || this.bytes > MOST_BYTES) setImmediate(() => this.spreadQuietly())
    return isAll ? { id } : { id, gone }
  }

  /** The commits that concern a board, in order. */
  of(boardId: string): readonly Commit[] {
    return (this.statements.of.all(boardId) as Commit[]).filter(({ boards }) => boardIdsOf(boards).includes(boardId))
  }

  /** Moves what is logged to the boards it belongs to, but for what a snapshot of one of them holds already. */
  spread(compacted?: { readonly boardId: string; readonly throughId: number }): void {
    const commits = this.statements.all.all() as Commit[]
    const last = commits.at(-1)
    this.commits = 0
    this.bytes = 0
    if (!last) return
    this.database.transaction(() => {
      // First, so that a full disk has room for what follows.
      this.statements.clear.run(last.id)
      const boards = new Map<string, { id: number; updates: DraftUpdate[] }>()
      for (const commit of commits) {
        const { id, bytes } = commit
        if (checksum(bytes) !== commit.checksum) {
          this.keepDamaged(commit)
          continue
        }
        for (const update of unpacked({ boards: commit.boards, block: bytes })) {
          if (compacted && update.boardId === compacted.boardId && id <= compacted.throughId) continue
          const held = boards.get(update.boardId)
          if (held) {
            held.id = id
            held.updates.push(update)
          } else boards.set(update.boardId, { id, updates: [update] })
        }
      }
      for (const [boardId, { id, updates }] of boards) {
        const { block } = packed(updates)
        this.statements.spread.run(boardId, id, block, checksum(block), boardId)
      }
    })()
  }

  /** A full disk here loses nothing: the rows stay in the log, and the next commit says that the disk is full. */
  private spreadQuietly(): void {
    try {
      this.spread()
    } catch {
      this.commits = 0
    }
  }

  /** A damaged commit goes to every board in it as it is: opening one of them tells of the damage. */
  private keepDamaged({ id, boards, bytes, checksum: stored }: Commit): void {
    for (const boardId of boardIdsOf(boards)) this.statements.spread.run(boardId, id, bytes, stored, boardId)
  }
}
