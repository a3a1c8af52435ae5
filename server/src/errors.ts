/** What can go wrong outside us: answers that refuse a request, and a store that cannot write. */
import type { Issue } from '@chartloft/shared-theory'
import type { ErrorCode } from '@chartloft/shared-theory/board'

const STATUS: { readonly [code in ErrorCode]: number } = {
  bad_request: 400,
  no_session: 401,
  forbidden: 403,
  not_found: 404,
  timeout: 408,
  stale: 409,
  closed: 409,
  conflict: 409,
  too_large: 413,
  invalid: 422,
  too_fast: 429,
  unavailable: 503,
  disk: 503,
}

/** A refusal with its code, a sentence for a person and, where music or shapes are at fault, the issues. */
export class Refusal extends Error {
  override readonly name = 'Refusal'
  readonly status: number
  constructor(
    readonly code: ErrorCode,
    message: string,
    readonly issues?: readonly Issue[],
  ) {
    super(message)
    this.status = STATUS[code]
  }
}

export type StoreErrorCode = 'disk' | 'busy' | 'corrupt' | 'behind' | 'duplicate'

/** The store could not do it; `code` says whether waiting, rereading or a person helps. */
export class StoreError extends Error {
  override readonly name = 'StoreError'
  constructor(
    readonly code: StoreErrorCode,
    message: string,
  ) {
    super(message)
  }
}

/** The start cannot go on: one line for whoever typed the command. */
export class StartError extends Error {
  override readonly name = 'StartError'
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error)
}
