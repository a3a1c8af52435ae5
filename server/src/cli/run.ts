/** The command line's door: words to a command, outcomes to exit codes, every failure one line. */
import { StartError, messageOf } from '../errors.js'
import type { ServeProcess } from '../main.js'
import { CLI_COMMANDS } from './commands.js'
import { UsageError, USAGE } from './usage.js'
import { readWords } from './words.js'

export type CliProcess = ServeProcess

/** Runs one command. 0: success; 1: the music has errors; 2: wrong use, an unreadable file, or our own fault. */
export async function runCli(argv: readonly string[], proc: CliProcess): Promise<number> {
  try {
    return await dispatch(argv, proc)
  } catch (error) {
    const isTheirs = error instanceof UsageError || error instanceof StartError
    const line = isTheirs ? error.message : `chartloft stumbled, and the fault is in the program: ${messageOf(error)}`
    proc.stderr.write(`${line.replace(/\s+/g, ' ')}\n`)
    return 2
  }
}

async function dispatch([word, ...rest]: readonly string[], proc: CliProcess): Promise<number> {
  const names = Object.keys(CLI_COMMANDS).filter((name) => name !== 'help')
  if (word === undefined) throw new UsageError(`Say what to do: ${names.join(', ')}. 'chartloft --help' tells more.`)
  const name = word === '--help' || word === '-h' ? 'help' : word
  const command = Object.hasOwn(CLI_COMMANDS, name) ? CLI_COMMANDS[name] : undefined
  if (!command)
    throw new UsageError(`There is no command '${word}'; there are ${names.join(', ')}. 'chartloft --help' tells more.`)
  const words = readWords(rest, command)
  if (!words.flag('help')) return command.run(words, proc)
  proc.stdout.write(command.help ? await command.help() : USAGE)
  return 0
}
