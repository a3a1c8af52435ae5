/** The command line's door: words to commands, outcomes to exit codes, every failure one line. */
import { parseArgs } from 'node:util'
import { ROLES } from '@chartloft/shared-theory/board'
import { StartError, messageOf } from '../errors.js'
import type { ServeProcess } from '../main.js'
import { UsageError, USAGE } from './usage.js'

export type CliProcess = ServeProcess

/** Runs one command. 0: success; 1: the music has errors; 2: wrong use or an unreadable file. */
export async function runCli(argv: readonly string[], proc: CliProcess): Promise<number> {
  try {
    return await dispatch(argv, proc)
  } catch (error) {
    const line = isOurs(error) ? messageOf(error) : `chartloft stumbled: ${messageOf(error)}`
    proc.stderr.write(`${line.replace(/\s+/g, ' ')}\n`)
    return isOurs(error) ? 2 : 1
  }
}

const isOurs = (error: unknown): boolean => error instanceof UsageError || error instanceof StartError

async function dispatch([name, ...rest]: readonly string[], proc: CliProcess): Promise<number> {
  const say = (text: string) => proc.stdout.write(text)
  switch (name) {
    case 'propose': {
      const { values, file } = read(rest, ['decision', 'at'], { one: 'TUNE' })
      const { aliasList, propose } = await import('./propose.js')
      if (values.help) say(aliasList())
      else
        say(
          propose({
            tunePath: file(),
            decision: values['decision'],
            ...(values['at'] === undefined ? {} : { at: values['at'] }),
            choices: values.choose,
            json: values.json,
          }),
        )
      return 0
    }
    case 'compile': {
      const { values, file } = read(rest, ['key', 'lineup', 'out'], { one: 'TUNE' })
      if (values.help) return help(say)
      const { compile } = await import('./compile.js')
      const issues = compile({
        tunePath: file(),
        choices: values.choose,
        out: values['out'],
        ...(values['key'] === undefined ? {} : { key: values['key'] }),
        ...(values['lineup'] === undefined ? {} : { lineupPath: values['lineup'] }),
      })
      const errors = issues.filter((found) => found.severity === 'error')
      if (errors.length > 0)
        proc.stderr.write(
          `The music has ${errors.length} ${errors.length === 1 ? 'error' : 'errors'}; the first: ${errors[0]?.message}. See report.txt.\n`,
        )
      return errors.length > 0 ? 1 : 0
    }
    case 'check': {
      const { values, file } = read(rest, [], { one: 'FILE' })
      if (values.help) return help(say)
      const { check, checkText } = await import('./check.js')
      const issues = check(file())
      say(checkText(issues, values.json))
      return issues.some((found) => found.severity === 'error') ? 1 : 0
    }
    case 'serve': {
      const { values } = read(rest, ['port', 'data'], {})
      if (values.help) return help(say)
      const { serve } = await import('../main.js')
      return serve(
        {
          demo: values.demo,
          open: values.open,
          ...(values['port'] === undefined ? {} : { port: values['port'] }),
          ...(values['data'] === undefined ? {} : { dataDir: values['data'] }),
        },
        proc,
      )
    }
    case 'export': {
      const { values, file } = read(rest, ['data', 'out'], { one: 'BOARD_ID' })
      if (values.help) return help(say)
      const { exportFile } = await import('./board-data.js')
      await exportFile(file(), needed(values, 'data'), needed(values, 'out'))
      return 0
    }
    case 'import': {
      const { values, file } = read(rest, ['data'], { one: 'FILE.json' })
      if (values.help) return help(say)
      const { importFile } = await import('./board-data.js')
      say(`${JSON.stringify(await importFile(file(), needed(values, 'data'), proc.env))}\n`)
      return 0
    }
    case 'link': {
      const { values, file } = read(rest, ['data', 'role'], { one: 'BOARD_ID' })
      if (values.help) return help(say)
      const role = ROLES.find((known) => known === (values['role'] ?? 'leader'))
      if (!role) throw new UsageError(`--role must be one of ${ROLES.join(', ')}.`)
      const { addressOf, newLink } = await import('./board-data.js')
      say(`${addressOf(proc.env)}${await newLink(file(), role, needed(values, 'data'), proc.env)}\n`)
      return 0
    }
    case 'help':
    case '--help':
    case '-h':
      return help(say)
    case undefined:
      throw new UsageError(
        "Say what to do: propose, compile, check, serve, export, import or link. 'chartloft --help' tells more.",
      )
    default:
      throw new UsageError(`There is no command '${name}'. 'chartloft --help' lists them.`)
  }
}

function help(say: (text: string) => void): number {
  say(USAGE)
  return 0
}

interface Values {
  readonly [option: string]: string | undefined
}
interface Flags {
  readonly help: boolean
  readonly json: boolean
  readonly demo: boolean
  readonly open: boolean
  readonly choose: readonly string[]
}

/** Options by name and the one file or id a command takes; anything else is wrong use. */
function read(args: readonly string[], texts: readonly string[], { one }: { readonly one?: string }) {
  let parsed: { values: { [name: string]: unknown }; positionals: string[] }
  try {
    parsed = parseArgs({
      args: [...args],
      allowPositionals: true,
      strict: true,
      options: {
        help: { type: 'boolean', short: 'h' },
        ...(one === 'TUNE' || one === 'FILE' ? { json: { type: 'boolean' as const } } : {}),
        ...(one === 'TUNE' ? { choose: { type: 'string' as const, multiple: true } } : {}),
        ...(one === undefined ? { demo: { type: 'boolean' as const }, open: { type: 'boolean' as const } } : {}),
        ...Object.fromEntries(texts.map((name) => [name, { type: 'string' as const }])),
      },
    })
  } catch (error) {
    throw new UsageError(
      `${messageOf(error).split('. ')[0] ?? 'These words do not read'}. 'chartloft --help' tells more.`,
    )
  }
  const { values, positionals } = parsed
  if (positionals.length > (one === undefined ? 0 : 1))
    throw new UsageError(`'${positionals.at(-1)}' is one word too many.`)
  const flags: Flags = {
    help: values['help'] === true,
    json: values['json'] === true,
    demo: values['demo'] === true,
    open: values['open'] === true,
    choose: (values['choose'] as string[] | undefined) ?? [],
  }
  return {
    values: { ...(Object.fromEntries(texts.map((name) => [name, values[name]])) as Values), ...flags } as Values &
      Flags,
    file: (): string => {
      const [given] = positionals
      if (given === undefined) throw new UsageError(`${one} is missing.`)
      return given
    },
  }
}

function needed(values: Values, name: string): string {
  const value = values[name]
  if (value === undefined) throw new UsageError(`--${name} is missing.`)
  return value
}
