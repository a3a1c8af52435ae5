/** The commands by name: what each understands and does. Their code is loaded when they run, so that none waits for another's. */
import { ROLES } from '@chartloft/shared-theory/board'
import type { ServeProcess } from '../main.js'
import { UsageError, USAGE } from './usage.js'
import type { Vocabulary, Words } from './words.js'

export interface CliCommand extends Vocabulary {
  /** Text for --help, where the usage says too little. */
  readonly help?: () => Promise<string>
  /** The exit code. */
  readonly run: (words: Words, proc: ServeProcess) => Promise<number>
}

export const CLI_COMMANDS: { readonly [name: string]: CliCommand } = {
  propose: {
    operand: 'TUNE',
    texts: ['decision', 'at'],
    lists: ['choose'],
    flags: ['json'],
    help: async () => (await import('./propose.js')).aliasList(),
    async run(words, { stdout }) {
      const { propose } = await import('./propose.js')
      const at = words.text('at')
      stdout.write(
        propose({
          tunePath: words.operand(),
          decision: words.text('decision'),
          ...(at === undefined ? {} : { at }),
          choices: words.list('choose'),
          json: words.flag('json'),
        }),
      )
      return 0
    },
  },
  compile: {
    operand: 'TUNE',
    texts: ['key', 'lineup', 'out', 'wav'],
    lists: ['choose'],
    async run(words, { stderr }) {
      const { compile } = await import('./compile.js')
      const [key, lineupPath, wavPath] = [words.text('key'), words.text('lineup'), words.text('wav')]
      const issues = await compile({
        tunePath: words.operand(),
        choices: words.list('choose'),
        out: words.needed('out'),
        ...(key === undefined ? {} : { key }),
        ...(lineupPath === undefined ? {} : { lineupPath }),
        ...(wavPath === undefined ? {} : { wavPath }),
      })
      const [first, ...more] = issues.filter((found) => found.severity === 'error')
      if (!first) return 0
      const count = more.length === 0 ? 'an error' : `${more.length + 1} errors; the first`
      stderr.write(`The music has ${count}: ${first.message} See report.txt.\n`)
      return 1
    },
  },
  check: {
    operand: 'FILE',
    flags: ['json'],
    async run(words, { stdout }) {
      const { check, checkText } = await import('./check.js')
      const issues = check(words.operand())
      stdout.write(checkText(issues, words.flag('json')))
      return issues.some((found) => found.severity === 'error') ? 1 : 0
    },
  },
  serve: {
    texts: ['port', 'data'],
    flags: ['open', 'demo'],
    async run(words, proc) {
      const { serve } = await import('../main.js')
      const [port, dataDir] = [words.text('port'), words.text('data')]
      return serve(
        {
          demo: words.flag('demo'),
          open: words.flag('open'),
          ...(port === undefined ? {} : { port }),
          ...(dataDir === undefined ? {} : { dataDir }),
        },
        proc,
      )
    },
  },
  export: {
    operand: 'BOARD_ID',
    texts: ['data', 'out'],
    async run(words, { env }) {
      const { exportFile } = await import('./board-data.js')
      await exportFile(words.operand(), { dataDir: words.text('data'), env }, words.needed('out'))
      return 0
    },
  },
  import: {
    operand: 'FILE.json',
    texts: ['data'],
    async run(words, { stdout, env }) {
      const { importFile } = await import('./board-data.js')
      stdout.write(`${JSON.stringify(await importFile(words.operand(), { dataDir: words.text('data'), env }))}\n`)
      return 0
    },
  },
  link: {
    operand: 'BOARD_ID',
    texts: ['data', 'role'],
    async run(words, { stdout, env }) {
      const role = ROLES.find((known) => known === (words.text('role') ?? 'leader'))
      if (!role) throw new UsageError(`--role must be one of ${ROLES.join(', ')}.`)
      const { addressOf, newLink } = await import('./board-data.js')
      const link = await newLink(words.operand(), role, { dataDir: words.text('data'), env })
      stdout.write(`${addressOf(env)}${link}\n`)
      return 0
    },
  },
  recount: {
    operand: 'BOARD_ID',
    texts: ['data'],
    flags: ['mend'],
    async run(words, { stdout, env }) {
      const { recountBoard } = await import('./board-data.js')
      const { lines, isRight } = await recountBoard(
        words.operand(),
        { dataDir: words.text('data'), env },
        words.flag('mend'),
      )
      for (const line of lines) stdout.write(`${line}\n`)
      return isRight ? 0 : 1
    },
  },
  backup: {
    texts: ['data', 'out'],
    async run(words, { stdout, env }) {
      const { backUpTo } = await import('./board-data.js')
      stdout.write(`${await backUpTo(words.needed('out'), { dataDir: words.text('data'), env })}\n`)
      return 0
    },
  },
  restore: {
    operand: 'FILE',
    texts: ['data'],
    async run(words, { stdout, env }) {
      const { restoreFrom } = await import('./board-data.js')
      stdout.write(`${await restoreFrom(words.operand(), { dataDir: words.text('data'), env })}\n`)
      return 0
    },
  },
  help: {
    async run(_words, { stdout }) {
      stdout.write(USAGE)
      return 0
    },
  },
}
