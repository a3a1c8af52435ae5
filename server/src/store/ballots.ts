/** Ballots and the tally kept beside them, inside a transaction that holds the poll's row: whoever holds it is the only one who counts. */
import type { Kysely, QueryCreator, Transaction } from 'kysely'
import { KeptTally } from './kept-tally.js'
import { ballotOf } from './rows.js'
import type { Tables } from './schema.js'
import type { BallotRecord } from './store.js'

/** Ballots read at once when all of a poll are counted. */
const PAGE = 2000

export async function writtenTally(db: Kysely<Tables>, pollId: string): Promise<string | undefined> {
  const row = await db.selectFrom('tallies').select('counts').where('poll_id', '=', pollId).executeTakeFirst()
  return row?.counts
}

/** The tally as kept; counted once where none is yet, as with polls of an earlier version. */
export async function keptTally(tx: Transaction<Tables>, pollId: string): Promise<KeptTally> {
  const written = await writtenTally(tx, pollId)
  if (written !== undefined) return KeptTally.read(written)
  const tally = await countAll(tx, pollId)
  await writeTally(tx, pollId, tally)
  return tally
}

/** All ballots from the first to the last. */
export async function countAll(tx: Transaction<Tables>, pollId: string): Promise<KeptTally> {
  const tally = new KeptTally()
  for (let last = ''; ;) {
    const rows = await tx
      .selectFrom('ballots')
      .selectAll()
      .where('poll_id', '=', pollId)
      .where('voter', '>', last)
      .orderBy('voter')
      .limit(PAGE)
      .execute()
    for (const row of rows) tally.add(ballotOf(row))
    const end = rows.at(-1)
    if (rows.length < PAGE || !end) return tally
    last = end.voter
  }
}

export async function writeTally(tx: Transaction<Tables>, pollId: string, tally: KeptTally): Promise<void> {
  await tallyInsert(tx, pollId, tally).execute()
}

export function tallyInsert(db: QueryCreator<Tables>, pollId: string, tally: KeptTally) {
  const counts = tally.written()
  return db
    .insertInto('tallies')
    .values({ poll_id: pollId, counts })
    .onConflict((conflict) => conflict.column('poll_id').doUpdateSet({ counts }))
}

/** Ballots, at most one a voter, in place of what these voters had given. */
export function ballotInsert(db: QueryCreator<Tables>, pollId: string, ballots: readonly BallotRecord[]) {
  const rows = ballots.map(({ ballotId, voter, choices, band, personal }) => ({
    poll_id: pollId,
    voter,
    ballot_id: ballotId,
    choices,
    band: Number(band),
    personal: Number(personal),
  }))
  return db
    .insertInto('ballots')
    .values(rows)
    .onConflict((conflict) =>
      conflict.columns(['poll_id', 'voter']).doUpdateSet((of) => ({
        ballot_id: of.ref('excluded.ballot_id'),
        choices: of.ref('excluded.choices'),
        band: of.ref('excluded.band'),
        personal: of.ref('excluded.personal'),
      })),
    )
}

/** The tally as it is once these ballots, at most one a voter, are in place of what their voters had given. One question, since others wait. */
export async function tallyWith(
  tx: Transaction<Tables>,
  pollId: string,
  ballots: readonly BallotRecord[],
): Promise<KeptTally> {
  const voters = ballots.map(({ voter }) => voter)
  const rows = await tx
    .selectFrom('polls')
    .leftJoin('tallies', 'tallies.poll_id', 'polls.id')
    .leftJoin('ballots', (join) => join.onRef('ballots.poll_id', '=', 'polls.id').on('ballots.voter', 'in', voters))
    .select(['tallies.counts', 'ballots.choices', 'ballots.band', 'ballots.personal'])
    .where('polls.id', '=', pollId)
    .execute()
  const counts = rows[0]?.counts
  const tally = typeof counts === 'string' ? KeptTally.read(counts) : await countAll(tx, pollId)
  for (const { choices, band, personal } of rows)
    if (choices !== null) tally.remove({ choices, band: band !== 0, personal: personal !== 0 })
  for (const ballot of ballots) tally.add(ballot)
  return tally
}
