/** Rows as the tables have them and as the rest of the server knows them. */
import type { PollAudience, PollMethod, Role, TallyRule } from '@chartloft/shared-theory/board'
import type { Selectable } from 'kysely'
import type { Tables } from './schema.js'
import type { BallotRecord, LinkRecord, PollRecord } from './store.js'

export const linkRow = (link: LinkRecord): Tables['links'] => ({
  id: link.linkId,
  board_id: link.boardId,
  role: link.role,
  token_hash: link.tokenHash,
  label: link.label ?? null,
  personal: Number(link.personal),
  expires_at: link.expiresAt ?? null,
  revoked: Number(link.revoked),
})

export const linkOf = (row: Selectable<Tables['links']>): LinkRecord => ({
  linkId: row.id,
  boardId: row.board_id,
  role: row.role as Role,
  tokenHash: row.token_hash,
  ...(row.label === null ? {} : { label: row.label }),
  personal: row.personal !== 0,
  ...(row.expires_at === null ? {} : { expiresAt: row.expires_at }),
  revoked: row.revoked !== 0,
})

export const pollRow = (poll: PollRecord): Tables['polls'] => ({
  id: poll.pollId,
  board_id: poll.boardId,
  question: poll.question,
  method: poll.method,
  audience: poll.audience,
  tally_rule: poll.tallyRule,
  by_role: Number(poll.byRole),
  closes_at: poll.closesAt ?? null,
  open: Number(poll.open),
  options: poll.options,
  brought_tally: poll.broughtTally ?? null,
})

export const pollOf = (row: Selectable<Tables['polls']>): PollRecord => ({
  pollId: row.id,
  boardId: row.board_id,
  question: row.question,
  method: row.method as PollMethod,
  audience: row.audience as PollAudience,
  tallyRule: row.tally_rule as TallyRule,
  byRole: row.by_role !== 0,
  ...(row.closes_at === null ? {} : { closesAt: row.closes_at }),
  open: row.open !== 0,
  options: row.options,
  ...(row.brought_tally === null ? {} : { broughtTally: row.brought_tally }),
})

export const ballotOf = (row: Selectable<Tables['ballots']>): BallotRecord => ({
  ballotId: row.ballot_id,
  voter: row.voter,
  choices: row.choices,
  band: row.band !== 0,
  personal: row.personal !== 0,
})
