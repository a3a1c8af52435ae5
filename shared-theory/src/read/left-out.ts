/** What a file holds and a tune cannot: playing marks, words, figures, instructions. Nothing of it is dropped in silence; each kind is told
 *  once, with the place where it first stands and how often. */
import type { IssueList } from './issue-list.js'

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

const SENTENCES: { readonly [family in LeftOutFamily]: readonly [code: string, text: string] } = {
  other: ['RD9', 'left out, since a tune cannot hold it'],
  marks: ['RD9', 'marks for playing have no place in a tune; the arrangement brings its own. Left out'],
  words: ['RD9', 'words that name no chord, section, tempo or way through the piece are left out'],
  instructions: ['RD3', 'instructions for programs are not used'],
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
      const [code, sentence] = SENTENCES[family]
      const listed = found
        .slice(0, MOST_KINDS)
        .map(({ words, place, count }) => `${words} (${place}${count > 1 ? `, ${count} places` : ''})`)
      const more = found.length - MOST_KINDS + (this.#unremembered > 0 ? this.#unremembered : 0)
      const rest = more > 0 ? ` and ${more} more` : ''
      const where = `${first.place.charAt(0).toUpperCase()}${first.place.slice(1)}`
      issues.add(code, 'note', first.path, `${where}: ${sentence}: ${listed.join(', ')}${rest}.`)
    }
  }
}

/** A text as it is shown among what was left out. */
export const shownWords = (text: string): string => `'${text.length > 40 ? `${text.slice(0, 40)}…` : text}'`
