/** Command bodies as they may come in: the envelope first, then the fields of each kind. */
import { hashOf, LIMITS as MUSIC_LIMITS, parseKey, type Issue, type Result } from '@chartloft/shared-theory'
import {
  BOARD_LIMITS,
  ROLES,
  isCommandKind,
  normaliseEdits,
  readLineup,
  readOption,
  readRoadmap,
  readSlot,
  type UserCommandKind,
} from '@chartloft/shared-theory/board'
import { z } from 'zod'
import { Refusal } from '../errors.js'

export interface Envelope {
  readonly commandId: string
  readonly kind: UserCommandKind
  readonly baseSeq?: number
  readonly body: { readonly [field: string]: unknown }
  /** Of the whole body: tells a repeat from another command under the same id. */
  readonly requestHash: string
}

const EnvelopeShape = z.looseObject({
  commandId: z.string().regex(/^[A-Za-z0-9_-]{8,64}$/, '8 to 64 letters, digits, - or _ were expected'),
  kind: z.string(),
  baseSeq: z.int().min(0).optional(),
})

/** Throws Refusal 'bad_request' naming the field at fault. */
export function readEnvelope(body: unknown): Envelope {
  const { commandId, kind, baseSeq } = parseOrRefuse(EnvelopeShape, body)
  if (!isCommandKind(kind)) throw new Refusal('bad_request', `There is no command '${kind.slice(0, 40)}'.`)
  const fields = body as { readonly [field: string]: unknown }
  return { commandId, kind, ...(baseSeq === undefined ? {} : { baseSeq }), body: fields, requestHash: hashOf(fields) }
}

/** Values that music readers take from the body; what they refuse is 422 with their issues. */
function music<T>(read: (value: unknown) => Result<T>) {
  return z.unknown().transform((value): T => {
    const result = read(value)
    if (!result.ok) throw new Refusal('invalid', sentenceOf(result.issues), result.issues)
    return result.value
  })
}

const slot = music((value) => readSlot(value))
const edits = music((value): Result<ReturnType<typeof normaliseEdits>['edits']> => {
  const read = normaliseEdits(value)
  return read.issues.length > 0 ? { ok: false, issues: read.issues } : { ok: true, value: read.edits }
})
const key = music((value): Result<string | undefined> => {
  if (value === null || value === undefined) return { ok: true, value: undefined }
  if (typeof value === 'string' && parseKey(value)) return { ok: true, value }
  return {
    ok: false,
    issues: [
      { code: 'BD1', severity: 'error', path: 'key', message: "a key like 'Bb major' or 'G minor' was expected" },
    ],
  }
})
const epochMs = z.int().min(0).max(8_640_000_000_000_000)
const shortText = (most: number) => z.string().trim().min(1).max(most)
const idText = z.string().min(1).max(BOARD_LIMITS.id)

export const PollRequest = z.object({
  question: shortText(BOARD_LIMITS.question),
  method: z.enum(['single', 'approval', 'score']),
  options: z
    .array(
      z.object({
        id: idText.refine((id) => id !== '__proto__', 'this id cannot be used'),
        title: shortText(BOARD_LIMITS.optionTitle),
        option: music((value) => readOption(value)).optional(),
      }),
    )
    .min(BOARD_LIMITS.pollOptions.least)
    .max(BOARD_LIMITS.pollOptions.most),
  slot: slot.optional(),
  audience: z.enum(['band', 'everyone', 'invited']),
  closesAt: epochMs.optional(),
  tally: z.enum(['always', 'afterVote', 'afterClose']),
  byRole: z.literal(true).optional(),
})

/** What each kind needs besides its envelope. */
export const REQUESTS = {
  lock: z.object({ slot, option: music((value) => readOption(value)), why: shortText(BOARD_LIMITS.why).optional() }),
  unlock: z.object({ slot, reason: z.unknown().optional() }),
  openPoll: PollRequest,
  closePoll: z.object({ pollId: idText }),
  setLineup: z.object({ lineup: music((value) => readLineup(value)) }),
  setRoadmap: z.object({ roadmap: music((value) => readRoadmap(value)) }),
  nameVersion: z.object({ name: shortText(BOARD_LIMITS.versionName) }),
  restoreVersion: z.object({ toSeq: z.int().min(1) }),
  issueLink: z.object({
    role: z.enum(ROLES),
    label: shortText(BOARD_LIMITS.label).optional(),
    expiresAt: epochMs.optional(),
    personal: z.boolean().optional(),
  }),
  revokeLink: z.object({ linkId: idText }),
  setRights: z.object({ rights: z.enum(['unknown', 'own', 'public-domain', 'licensed']) }),
  setTune: z.object({
    format: z.enum(['abc', 'musicxml', 'midi', 'tune']),
    data: z.string().max(MUSIC_LIMITS.tuneFileBytes),
    encoding: z.enum(['utf8', 'base64']).default('utf8'),
  }),
  setKey: z.object({ key }),
  setEdits: z.object({ edits }),
  openPlace: z.object({ slot }),
  closePlace: z.object({ slot }),
  markPrinted: z.object({}),
} as const satisfies { readonly [kind in UserCommandKind]: z.ZodType }

export type Requested<K extends UserCommandKind> = z.output<(typeof REQUESTS)[K]>

/** The value a schema reads, or Refusal 'bad_request' with an issue a field. */
export function parseOrRefuse<T extends z.ZodType>(schema: T, value: unknown): z.output<T> {
  const read = schema.safeParse(value)
  if (read.success) return read.data
  const issues = read.error.issues.map((found): Issue => ({
    code: 'RQ1',
    severity: 'error',
    path: found.path.map(String).join('/'),
    message: found.message,
  }))
  throw new Refusal('bad_request', `The request has the wrong shape: ${sentenceOf(issues)}`, issues)
}

/** The first issue as a sentence with its place. */
export function sentenceOf(issues: readonly Issue[]): string {
  const [first] = issues
  if (!first) return 'something is wrong.'
  const more = issues.length > 1 ? ` (and ${issues.length - 1} more)` : ''
  return `${first.path === '' ? '' : `${first.path}: `}${first.message}${more}`
}
