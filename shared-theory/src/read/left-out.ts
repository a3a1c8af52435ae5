/** What a file holds and a tune cannot: playing marks, words, figures, instructions. Nothing of it is dropped in silence; each kind is told
 *  once, with the place where it first stands and how often. */
import type { IssueList } from './issue-list.js'
import { type Said, said } from './said.js'

export type LeftOutFamily = 'other' | 'marks' | 'words' | 'instructions'

/** 'bar 3' or 'line 12', and the path of an issue. */
export interface LeftOutPlace {
  readonly place: string
  readonly path: string
}

interface Found extends LeftOutPlace {
  readonly family: LeftOutFamily
  readonly words: string
  count: number
}

/** Kinds told one by one, and kinds remembered; the rest are counted. */
const MOST_KINDS = 40
const MOST_REMEMBERED = 400

/** Each kind's code and sentence: where it first stands, and what was found. */
const SENTENCES: {
  readonly [family in LeftOutFamily]: readonly [code: string, tell: (where: string, listed: string) => Said]
} = {
  other: ['RD9', (where, listed) => said`${where}: left out, since a tune cannot hold it: ${listed}.`],
  marks: [
    'RD9',
    (where, listed) =>
      said`${where}: marks for playing have no place in a tune; the arrangement brings its own. Left out: ${listed}.`,
  ],
  words: [
    'RD9',
    (where, listed) =>
      said`${where}: words that name no chord, section, tempo or way through the piece are left out: ${listed}.`,
  ],
  instructions: ['RD3', (where, listed) => said`${where}: instructions for programs are not used: ${listed}.`],
}

export class LeftOut {
  readonly #found = new Map<string, Found>()
  #unremembered = 0

  add(family: LeftOutFamily, words: string, { place, path }: LeftOutPlace): void {
    const key = `${family} ${words}`
    const known = this.#found.get(key)
    if (known) known.count++
    else if (this.#found.size < MOST_REMEMBERED) this.#found.set(key, { family, words, place, path, count: 1 })
    else this.#unremembered++
  }

  tell(issues: IssueList): void {
    for (const family of ['other', 'marks', 'words', 'instructions'] as const) {
      const found = [...this.#found.values()].filter((one) => one.family === family)
      const [first] = found
      if (!first) continue
      const [code, tell] = SENTENCES[family]
      const listed = found
        .slice(0, MOST_KINDS)
        .map(({ words, place, count }) => `${words} (${place}${count > 1 ? `, ${count} places` : ''})`)
      const more = found.length - MOST_KINDS + (this.#unremembered > 0 ? this.#unremembered : 0)
      const rest = more > 0 ? ` and ${more} more` : ''
      const where = `${first.place.charAt(0).toUpperCase()}${first.place.slice(1)}`
      issues.add(code, 'note', first.path, tell(where, listed.join(', ') + rest))
    }
  }
}

/** A text as it is shown among what was left out. */
export const shownWords = (text: string): string => `'${text.length > 40 ? `${text.slice(0, 40)}…` : text}'`
