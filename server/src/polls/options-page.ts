/** A poll's options as they are sent: they never change once the poll is open, so they are put into bytes once and named by their hash. Whoever holds
 *  the page, a browser or a cache in front of us, need not ask again. */
import { createHash } from 'node:crypto'
import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
import type { Arrangement } from '@chartloft/shared-theory'

export interface ShownOption {
  readonly id: string
  readonly title: string
  /** Why it works, in one sentence; absent for choices made up by hand. */
  readonly summary?: string
  readonly fromBar?: number
  readonly arrangement?: Arrangement
}

export class OptionsPage {
  readonly ids: readonly string[]
  /** The hash with the poll's id in it: nobody can name the page who has not been told of the poll. */
  readonly hash: string
  private zipped: Promise<Buffer> | undefined

  constructor(
    pollId: string,
    /** JSON of ShownOption[]. */
    readonly options: string,
  ) {
    this.ids = (JSON.parse(options) as readonly ShownOption[]).map(({ id }) => id)
    this.hash = createHash('sha256').update(`${pollId} ${options}`).digest('base64url')
  }

  get body(): string {
    return `{"options":${this.options}}`
  }

  /** The body, compressed once. */
  zippedBody(): Promise<Buffer> {
    return (this.zipped ??= promisify(gzip)(this.body, { level: 9 }))
  }
}
