/** Collects what a reader did not understand: every place once, in file order, with a bound so that a hostile file can't flood the answer. */
import type { Issue } from '../contract/index.js'
import { issueSaid, said, type Said, textOf } from './said.js'

/** Issues listed one by one; the rest are counted. */
const MOST_LISTED = 200

export class IssueList {
  readonly #listed: Issue[] = []
  readonly #counts = new Map<string, { readonly index: number; count: number }>()
  readonly #said = new Set<string>()
  #unlisted = 0

  add(code: string, severity: Issue['severity'], path: string, message: string | Said): void {
    if (this.#listed.length < MOST_LISTED) this.#listed.push(issueSaid(code, severity, path, message))
    else this.#unlisted++
  }

  /** One issue for all places of the same thing: the first place is named, the others are counted. */
  addOnce(topic: string, code: string, severity: Issue['severity'], path: string, message: string | Said): void {
    const known = this.#counts.get(topic)
    if (known) {
      known.count++
      return
    }
    this.#counts.set(topic, { index: this.#listed.length, count: 1 })
    this.add(code, severity, path, message)
  }

  /** One issue for a topic, without a count. */
  addFirst(topic: string, code: string, severity: Issue['severity'], path: string, message: string | Said): void {
    if (this.#said.has(topic)) return
    this.#said.add(topic)
    this.add(code, severity, path, message)
  }

  /** All issues in file order, with counts and the remainder said. */
  all(): readonly Issue[] {
    const out = [...this.#listed]
    for (const { index, count } of this.#counts.values()) {
      const first = out[index]
      if (first && count > 1)
        out[index] = {
          ...first,
          message: `${first.message} (${count} places in all.)`,
          ...(first.sentence ? { sentence: timesOver(first.sentence, count) } : {}),
        }
    }
    out.sort((a, b) => placeOf(a) - placeOf(b))
    if (this.#unlisted > 0)
      out.push(
        issueSaid(
          'RD10',
          'warning',
          'file',
          said`${this.#unlisted} more places were not understood; mend these first.`,
        ),
      )
    return out
  }
}

const timesOver = ({ id, values }: Said['sentence'], count: number): Said['sentence'] => ({
  id: `${id} ({} places in all.)`,
  values: [...values, count],
})

/** Line and column as one number; what concerns the whole file comes first. */
function placeOf({ path }: Issue): number {
  const found = /^line\/(\d+)(?:\/column\/(\d+))?/.exec(path)
  return found ? Number(found[1]) * 1e6 + Number(found[2] ?? 0) : 0
}

/** Thrown inside a reader to stop it with one clear answer; never leaves `readTune`. */
export class Unreadable extends Error {
  constructor(
    readonly code: string,
    readonly path: string,
    readonly said: string | Said,
  ) {
    super(textOf(said))
  }
}
