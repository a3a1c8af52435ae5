/** Reading what may come from anywhere, list by list and field by field: the same value where it is good, an issue with its path where not. */
import type { Issue } from '../contract/index.js'
import type { Fields } from './shapes.js'
import { LIMITS, issue } from '../units/index.js'

/** The entry itself where it is whole, another where it could be mended, undefined where it is left out; what is wrong has been said. */
export type Mend<T> = (door: Door, given: unknown, path: string, index: number) => T | undefined

/** What a field must be, what stands there instead (undefined: nothing), and the sentence for whoever wrote it. */
type FieldRule = readonly [isGood: (value: unknown) => boolean, instead: string | undefined, sentence: string]

/** Code of every issue about a plan whose shape is wrong. */
const SHAPE = 'CO30'
/** More of them help nobody. */
const MOST_ISSUES = 200

export class Door {
  readonly issues: Issue[] = []
  /** Hand edits that may still be read. */
  editsLeft: number = LIMITS.edits

  say(path: string, message: string): undefined {
    if (this.issues.length < MOST_ISSUES) this.issues.push(issue(SHAPE, 'error', path, message))
    return undefined
  }

  /** The same list where every entry is good; beyond `most` nothing is read. */
  list<T>(given: unknown, path: string, most: number, mend: Mend<T>): readonly T[] {
    if (!Array.isArray(given)) {
      this.say(path, 'A list is expected here; nothing is taken from what stands there.')
      return []
    }
    if (given.length > most) this.say(path, `There are ${given.length} entries; only the first ${most} are used.`)
    const kept: T[] = []
    let isSame = given.length <= most
    for (let index = 0; index < Math.min(given.length, most); index++) {
      const entry: unknown = given[index]
      const read = mend(this, entry, `${path}/${index}`, index)
      if (read !== entry || read === undefined) isSame = false
      if (read !== undefined) kept.push(read)
    }
    return isSame ? (given as readonly T[]) : kept
  }

  /** The same object where every field named is good; a wrong one takes its default, or is left out where it has none and need not be. */
  fields<T>(given: Fields, path: string, rules: { readonly [name in keyof T]?: FieldRule }): T {
    let read = given
    for (const [name, [isGood, instead, sentence]] of Object.entries(rules) as [string, FieldRule][]) {
      const value = Object.hasOwn(given, name) ? given[name] : undefined
      if (isGood(value) || (value === undefined && instead === undefined)) continue
      this.say(`${path}/${name}`, `${sentence}; ${instead === undefined ? 'it is left out' : `'${instead}' is taken`}.`)
      const { [name]: _wrong, ...rest } = read
      read = instead === undefined ? rest : { ...rest, [name]: instead }
    }
    return read as T
  }

  /** Entries of one name are told apart by a number: nothing is lost, and everything can be named. */
  distinct<T extends { readonly id: string }>(
    entries: readonly T[],
    path: string,
    taken: readonly string[] = [],
  ): readonly T[] {
    const known = new Set(taken)
    let isSame = true
    const named = entries.map((entry, index) => {
      let id = entry.id
      for (let count = 2; known.has(id); count++) id = `${entry.id}-${count}`
      known.add(id)
      if (id === entry.id) return entry
      isSame = false
      this.say(`${path}/${index}/id`, `The name '${entry.id}' is taken; this one is called '${id}' here.`)
      return { ...entry, id }
    })
    return isSame ? entries : named
  }
}
