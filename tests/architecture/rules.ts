/** Rules as the SPEC.md of each package writes them down, and the tests and benches that name them. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { filesUnder, ROOT } from './sources.js'

export const PACKAGES = ['shared-theory', 'server', 'web', 'demo', 'tests'] as const
const RULE = /\[([A-Z]{2,3}\d+[a-z]?)\]/g
const textOf = (path: string): string => readFileSync(join(ROOT, path), 'utf8')

/** Package → rules its SPEC.md writes down. */
export const written = new Map(
  PACKAGES.map((name) => {
    const specs = filesUnder(name, (path) => path === `${name}/SPEC.md`)
    const lines = specs.flatMap((path) => textOf(path).split('\n'))
    return [name, lines.flatMap((line) => /^- \[([A-Z]{2,3}\d+[a-z]?)\]/.exec(line)?.[1] ?? [])] as const
  }),
)
/** Package → rules its tests name, each with a file that does. */
export const named = new Map(
  PACKAGES.map((name) => {
    const rules = new Map<string, string>()
    for (const path of filesUnder(name, (file) => /\.(test|bench)\.ts$/.test(file)))
      for (const found of textOf(path).matchAll(RULE)) rules.set(found[1] as string, path)
    return [name, rules] as const
  }),
)

/** Whether a test of the package, or one of the suites under tests/, names a rule of it. */
export const isTested = (name: (typeof PACKAGES)[number], rule: string): boolean =>
  (named.get(name)?.has(rule) || named.get('tests')?.has(rule)) === true
