/** What happens inside a transaction: ledger rows, their effects, draft snapshots. */
import type { Transaction } from 'kysely'
import { countAll, writeTally } from './ballots.js'
import { checksum } from './checksum.js'
import { linkRow, pollRow } from './rows.js'
import type { Tables } from './schema.js'
import type { Accepted, Effect } from './store.js'

export async function insertRow(
  tx: Transaction<Tables>,
  boardId: string,
  { entry, requestHash, answer }: Accepted,
): Promise<void> {
  await tx
    .insertInto('ledger')
    .values({
      board_id: boardId,
      seq: entry.seq,
      at: entry.at,
      by_user: entry.by.userId,
      by_name: entry.by.name,
      by_role: entry.by.role,
      command_id: entry.command.commandId,
      command: JSON.stringify(entry.command),
      request_hash: requestHash,
      answer,
    })
    .execute()
}

export async function applyEffects(tx: Transaction<Tables>, effects: readonly Effect[]): Promise<void> {
  for (const effect of effects) {
    switch (effect.kind) {
      case 'addLink':
        await tx.insertInto('links').values(linkRow(effect.link)).execute()
        break
      case 'revokeLink':
        await tx.updateTable('links').set({ revoked: 1 }).where('id', '=', effect.linkId).execute()
        await tx.deleteFrom('sessions').where('link_id', '=', effect.linkId).execute()
        break
      case 'addPoll':
        await tx.insertInto('polls').values(pollRow(effect.poll)).execute()
        break
      case 'closePoll':
        await tx.updateTable('polls').set({ open: 0 }).where('id', '=', effect.pollId).execute()
        // The last word on it is a count of all ballots, whatever version of the server has taken them.
        await writeTally(tx, effect.pollId, await countAll(tx, effect.pollId))
        break
      case 'setDraft':
        await putSnapshot(tx, effect.boardId, effect.bytes, 0)
        break
    }
  }
}

export async function putSnapshot(
  tx: Transaction<Tables>,
  boardId: string,
  bytes: Uint8Array,
  throughId: number,
): Promise<void> {
  const values = { through_id: throughId, bytes, checksum: checksum(bytes) }
  await tx
    .insertInto('snapshots')
    .values({ board_id: boardId, ...values })
    .onConflict((conflict) =>
      conflict.column('board_id').doUpdateSet(values).where('snapshots.through_id', '<=', throughId),
    )
    .execute()
}
