/** Folders have ranks and import only lower ones; packages keep to their list: the table of DEVELOPERS.md, held by a test. */
import { describe, expect, it } from 'vitest'
import { sourcesOf } from './sources.js'

const THEORY_RANKS: { readonly [folder: string]: number } = {
  contract: 0,
  units: 0,
  chords: 1,
  rhythm: 1,
  instruments: 1,
  tune: 2,
  read: 3,
  fit: 3,
  decisions: 4,
  band: 5,
  compile: 6,
  check: 7,
  compare: 7,
  roadmap: 7,
  write: 8,
  propose: 9,
  board: 10,
}
/** Among rank 1, rhythm compares chords; contract is read by units. Same-rank imports allowed besides the folder itself. */
const SAME_RANK: ReadonlySet<string> = new Set(['units>contract', 'rhythm>chords', 'read>fit', 'check>roadmap'])

const PACKAGES: { readonly [folder: string]: ReadonlySet<string> } = {
  'shared-theory/src': new Set(['tonal', 'midi-file', 'fflate', 'yjs']),
  'server/src': new Set([
    '@chartloft/shared-theory',
    '@chartloft/shared-theory/board',
    '@chartloft/demo',
    'ws',
    'yjs',
    'y-protocols',
    'lib0',
    'kysely',
    'better-sqlite3',
    'pg',
    'ioredis',
    'zod',
    'pino',
    'prom-client',
    // Optional: rendering sound on the command line.
    'spessasynth_core',
  ]),
  'web/src': new Set([
    '@chartloft/shared-theory',
    '@chartloft/shared-theory/board',
    '@chartloft/demo',
    'lit',
    '@lit/context',
    '@lit/task',
    'yjs',
    'y-websocket',
    'y-indexeddb',
    'y-protocols',
    'lib0',
    'verovio',
  ]),
  'demo/src': new Set(['@chartloft/shared-theory']),
}

const packageName = (specifier: string): string =>
  specifier.startsWith('@chartloft/shared-theory/')
    ? specifier
    : specifier
        .split('/')
        .slice(0, specifier.startsWith('@') ? 2 : 1)
        .join('/')

const isTest = (path: string): boolean => path.endsWith('.test.ts')

describe('[AR1] folders of shared-theory import only lower ranks', () => {
  for (const file of sourcesOf('shared-theory/src').filter((source) => !isTest(source.path))) {
    const folder = file.path.split('/')[2] as string
    if (folder.endsWith('.ts')) continue
    it(file.path, () => {
      const rank = THEORY_RANKS[folder]
      expect(rank, `folder '${folder}' has a rank`).toBeDefined()
      for (const { target } of file.imports) {
        if (!target) continue
        const other = target.split('/')[2] as string
        if (other === folder) continue
        const allowed = (THEORY_RANKS[other] ?? Infinity) < (rank as number) || SAME_RANK.has(`${folder}>${other}`)
        expect(allowed, `${file.path} (rank ${rank}) imports ${target} (rank ${THEORY_RANKS[other]})`).toBe(true)
      }
    })
  }
})

describe('[AR2] packages import only what their list names', () => {
  for (const [folder, allowed] of Object.entries(PACKAGES)) {
    it(folder, () => {
      const strangers: string[] = []
      for (const file of sourcesOf(folder)) {
        if (isTest(file.path) || file.path.includes('/test-')) continue
        for (const { specifier } of file.imports) {
          if (
            specifier.startsWith('.') ||
            specifier.startsWith('virtual:') ||
            /\.(css|svg|woff2)(\?|$)/.test(specifier)
          )
            continue
          if (specifier.startsWith('node:') && folder !== 'shared-theory/src' && folder !== 'web/src') continue
          if (!allowed.has(packageName(specifier))) strangers.push(`${file.path}: ${specifier}`)
        }
      }
      expect(strangers).toEqual([])
    })
  }
})

describe('[AR3] the music package stays pure', () => {
  it('tonal is imported in chords only, yjs in board only', () => {
    const wrong = sourcesOf('shared-theory/src')
      .filter((file) => !isTest(file.path))
      .flatMap((file) => file.imports.map(({ specifier }) => ({ path: file.path, specifier })))
      .filter(
        ({ path, specifier }) =>
          (specifier === 'tonal' && !path.includes('/chords/')) || (specifier === 'yjs' && !path.includes('/board/')),
      )
    expect(wrong).toEqual([])
  })
  it('no clock, no chance, no transcendental arithmetic in what compiles', () => {
    const forbidden =
      /\bMath\.(random|log|log2|log10|exp|pow|sin|cos|tan|atan2?)\b|\bDate\.now\b|\bnew Date\b|\bperformance\.now\b/
    const wrong = sourcesOf('shared-theory/src')
      .filter((file) => !isTest(file.path) && forbidden.test(file.text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')))
      .map((file) => file.path)
    expect(wrong).toEqual([])
  })
})

describe('[AR4] server and web never meet', () => {
  it('neither imports the other', () => {
    const wrong = ['server/src', 'web/src'].flatMap((folder) =>
      sourcesOf(folder).flatMap((file) =>
        file.imports
          .filter(
            ({ specifier, target }) =>
              specifier.includes('@chartloft/server') ||
              specifier.includes('@chartloft/web') ||
              (target !== undefined && !target.startsWith(folder.split('/')[0] as string)),
          )
          .map(({ specifier }) => `${file.path}: ${specifier}`),
      ),
    )
    expect(wrong.filter((line) => !line.includes('.test.ts'))).toEqual([])
  })
})
