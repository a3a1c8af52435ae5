/** Reading unknown JSON field by field: every wrong value becomes an issue with its path, never an exception. */
import type { Issue } from '../contract/index.js'
import { issue } from '../units/index.js'

/** Code of every issue about a shape that does not read. */
export const SHAPE = 'BD1'

/** Collects what was wrong on the way; readers return undefined for a value that cannot be kept. */
export class Reader {
  readonly issues: Issue[] = []

  refuse(path: string, message: string): undefined {
    if (this.issues.length < 200) this.issues.push(issue(SHAPE, 'error', path, message))
    return undefined
  }

  object(value: unknown, path: string): { readonly [key: string]: unknown } | undefined {
    return isObject(value) ? value : this.refuse(path, 'an object was expected here')
  }

  list(value: unknown, path: string, most: number): readonly unknown[] | undefined {
    if (!Array.isArray(value)) return this.refuse(path, 'a list was expected here')
    return value.length <= most
      ? value
      : this.refuse(path, `at most ${most} entries fit here, ${value.length} were given`)
  }

  text(value: unknown, path: string, most: number, least = 0): string | undefined {
    if (typeof value !== 'string') return this.refuse(path, 'a text was expected here')
    if (value.length < least)
      return this.refuse(path, least === 1 ? 'this may not be empty' : `at least ${least} characters are needed`)
    return value.length <= most ? value : this.refuse(path, `at most ${most} characters fit here`)
  }

  /** A whole number inside both bounds. */
  integer(value: unknown, path: string, least: number, most: number): number | undefined {
    if (typeof value !== 'number' || !Number.isSafeInteger(value))
      return this.refuse(path, 'a whole number was expected here')
    return value >= least && value <= most
      ? value
      : this.refuse(path, `a number from ${least} to ${most} was expected here`)
  }

  number(value: unknown, path: string, least: number, most: number): number | undefined {
    if (typeof value !== 'number' || !Number.isFinite(value)) return this.refuse(path, 'a number was expected here')
    return value >= least && value <= most
      ? value
      : this.refuse(path, `a number from ${least} to ${most} was expected here`)
  }

  oneOf<T extends string>(value: unknown, path: string, choices: readonly T[]): T | undefined {
    const found = choices.find((choice) => choice === value)
    return found ?? this.refuse(path, `one of ${choices.join(', ')} was expected here`)
  }
}

export function isObject(value: unknown): value is { readonly [key: string]: unknown } {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** Drops keys whose value is undefined, so that the result is plain JSON. */
export function defined<T extends object>(value: T): { [K in keyof T]: Exclude<T[K], undefined> } {
  return Object.fromEntries(Object.entries(value).filter(([, held]) => held !== undefined)) as {
    [K in keyof T]: Exclude<T[K], undefined>
  }
}
