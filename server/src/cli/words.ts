/** Words of a command line to named values: options, flags and the one file or id a command takes; anything else is wrong use. */
import { parseArgs } from 'node:util'
import { messageOf } from '../errors.js'
import { UsageError } from './usage.js'

/** What a command understands, all by name. */
export interface Vocabulary {
  /** Name of the one word it takes, as usage shows it. */
  readonly operand?: string
  readonly texts?: readonly string[]
  /** Options that may be given several times. */
  readonly lists?: readonly string[]
  readonly flags?: readonly string[]
}

export class Words {
  constructor(
    private readonly vocabulary: Vocabulary,
    private readonly values: { readonly [name: string]: unknown },
    private readonly operands: readonly string[],
  ) {}

  /** The file or id; UsageError where it is missing. */
  operand(): string {
    const [given] = this.operands
    if (given === undefined)
      throw new UsageError(`${this.vocabulary.operand} is missing. 'chartloft --help' tells more.`)
    return given
  }

  text(name: string): string | undefined {
    const value = this.values[name]
    return typeof value === 'string' ? value : undefined
  }

  needed(name: string): string {
    const value = this.text(name)
    if (value === undefined) throw new UsageError(`--${name} is missing. 'chartloft --help' tells more.`)
    return value
  }

  list(name: string): readonly string[] {
    const value = this.values[name]
    return Array.isArray(value) ? value.map(String) : []
  }

  flag(name: string): boolean {
    return this.values[name] === true
  }
}

/** Throws UsageError for words the vocabulary does not have. */
export function readWords(args: readonly string[], vocabulary: Vocabulary): Words {
  const { operand, texts = [], lists = [], flags = [] } = vocabulary
  const options = Object.fromEntries([
    ['help', { type: 'boolean', short: 'h' }] as const,
    ...texts.map((name) => [name, { type: 'string' }] as const),
    ...lists.map((name) => [name, { type: 'string', multiple: true }] as const),
    ...flags.map((name) => [name, { type: 'boolean' }] as const),
  ])
  const { values, positionals } = parse(args, options)
  const most = operand === undefined ? 0 : 1
  if (positionals.length > most)
    throw new UsageError(`'${positionals[most]}' is one word too many. 'chartloft --help' tells more.`)
  return new Words(vocabulary, values, positionals)
}

function parse(args: readonly string[], options: NonNullable<Parameters<typeof parseArgs>[0]>['options'] & object) {
  try {
    return parseArgs({ args: [...args], allowPositionals: true, strict: true, options })
  } catch (error) {
    throw new UsageError(
      `${messageOf(error).split('. ')[0] ?? 'These words do not read'}. 'chartloft --help' tells more.`,
    )
  }
}
