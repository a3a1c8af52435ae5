/** Rows of a board file by shape: dense, known, and with the fields their kind is folded from. */
import type { Issue, LedgerEntry } from '@chartloft/shared-theory'
import {
  BOARD_LIMITS,
  normaliseEdits,
  PERMISSIONS,
  readLineup,
  readOption,
  readRoadmap,
  readSlot,
  ROLES,
  SERVER_KINDS,
  type CommandKind,
} from '@chartloft/shared-theory/board'
import { z } from 'zod'

const reads = (read: (value: unknown) => { readonly ok: boolean }) =>
  z.unknown().refine((value) => read(value).ok, 'this does not read')
const id = z.string().min(1).max(BOARD_LIMITS.id)
const slot = reads((value) => readSlot(value))
const links = z.array(z.object({ linkId: id, role: z.enum(ROLES) })).max(100)
const lineup = reads((value) => readLineup(value))
const roadmap = reads((value) => readRoadmap(value))
const tune = z.looseObject({
  version: z.literal(1),
  title: z.string(),
  rights: z.enum(['unknown', 'own', 'public-domain', 'licensed']),
  bars: z.array(
    z.looseObject({
      barIndex: z.int(),
      lengthTicks: z.int(),
      melody: z.array(z.unknown()),
      chords: z.array(z.unknown()),
    }),
  ),
  sections: z.array(z.looseObject({ id, startBar: z.int(), bars: z.int() })),
})
const option = reads((value) => readOption(value))

const FIELDS: { readonly [kind in CommandKind]: z.ZodType } = {
  createBoard: z.looseObject({
    title: z.string().min(1),
    tune: tune.optional(),
    lineup: lineup.optional(),
    roadmap: roadmap.optional(),
    links,
  }),
  importBoard: z.looseObject({ from: id, links }),
  lock: z.looseObject({
    slot,
    option,
    bars: z.array(z.looseObject({ barIndex: z.int() })),
    tuneHash: z.string(),
    why: z.string().optional(),
  }),
  unlock: z.looseObject({ slot, reason: z.string() }),
  openPoll: z.looseObject({
    pollId: id,
    question: z.string(),
    method: z.enum(['single', 'approval', 'score']),
    options: z.array(z.looseObject({ id, title: z.string() })),
    slot: slot.optional(),
    audience: z.enum(['band', 'everyone', 'invited']),
    closesAt: z.number().optional(),
    tally: z.enum(['always', 'afterVote', 'afterClose']),
  }),
  closePoll: z.looseObject({ pollId: id }),
  setLineup: z.looseObject({ lineup }),
  setRoadmap: z.looseObject({ roadmap }),
  nameVersion: z.looseObject({ name: z.string() }),
  restoreVersion: z.looseObject({ toSeq: z.int().min(1) }),
  issueLink: z.looseObject({ linkId: id, role: z.enum(ROLES) }),
  revokeLink: z.looseObject({ linkId: id }),
  setRights: z.looseObject({ rights: z.enum(['unknown', 'own', 'public-domain', 'licensed']) }),
  setTune: z.looseObject({ tune, lineup: lineup.optional(), roadmap: roadmap.optional() }),
  setKey: z.looseObject({ key: z.string().optional() }),
  setEdits: z.looseObject({ edits: reads((value) => ({ ok: normaliseEdits(value).issues.length === 0 })) }),
  openPlace: z.looseObject({ slot }),
  closePlace: z.looseObject({ slot }),
  markPrinted: z.looseObject({ version: z.int() }),
}

/** What is wrong with the rows, by place; nothing where they can be replayed. */
export function validRows(rows: readonly LedgerEntry[]): readonly Issue[] {
  const issues: Issue[] = []
  const refuse = (path: string, message: string) =>
    issues.push({ code: 'BF1', severity: 'error', path: `ledger/${path}`, message })
  const commandIds = new Set<string>()
  for (const [index, { seq, command, by }] of rows.entries()) {
    if (issues.length >= 20) break
    if (seq !== index + 1) refuse(`${index}/seq`, `${index + 1} was expected here`)
    if ((index === 0) !== (command.kind === 'createBoard'))
      refuse(`${index}/command/kind`, 'a ledger begins with one createBoard row')
    if (commandIds.has(command.commandId)) refuse(`${index}/command/commandId`, 'this id stands twice')
    commandIds.add(command.commandId)
    if (!Object.hasOwn(FIELDS, command.kind)) {
      refuse(`${index}/command/kind`, `there is no command '${command.kind}'`)
      continue
    }
    const isServerKind = (SERVER_KINDS as readonly string[]).includes(command.kind)
    const mayGive = isServerKind
      ? by.role === 'server'
      : by.role !== 'member' ||
        (PERMISSIONS[command.kind as keyof typeof PERMISSIONS] as readonly string[]).includes('member')
    if (!mayGive) refuse(`${index}/by/role`, `a ${by.role} cannot have given '${command.kind}'`)
    const read = FIELDS[command.kind as CommandKind].safeParse(command)
    if (!read.success) {
      const [first] = read.error.issues
      refuse(`${index}/command/${first?.path.map(String).join('/') ?? ''}`, first?.message ?? 'this row does not read')
    }
  }
  return issues
}
