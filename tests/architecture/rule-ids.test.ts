/** Every rule of a SPEC.md has a test or a bench that names it, and none names a rule nobody wrote down. Ids belong to a package: two packages may
 *  use the same one, and a test of a package means its own. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { filesUnder, ROOT } from './sources.js'

const PACKAGES = ['shared-theory', 'server', 'web', 'demo', 'tests'] as const
const RULE = /\[([A-Z]{2,3}\d+[a-z]?)\]/g
const textOf = (path: string): string => readFileSync(join(ROOT, path), 'utf8')

/** Package → rules its SPEC.md writes down. */
const written = new Map(
  PACKAGES.map((name) => {
    const specs = filesUnder(name, (path) => path === `${name}/SPEC.md`)
    const lines = specs.flatMap((path) => textOf(path).split('\n'))
    return [name, lines.flatMap((line) => /^- \[([A-Z]{2,3}\d+[a-z]?)\]/.exec(line)?.[1] ?? [])] as const
  }),
)
/** Package → rules its tests name, each with a file that does. */
const named = new Map(
  PACKAGES.map((name) => {
    const rules = new Map<string, string>()
    for (const path of filesUnder(name, (file) => /\.(test|bench)\.ts$/.test(file)))
      for (const found of textOf(path).matchAll(RULE)) rules.set(found[1] as string, path)
    return [name, rules] as const
  }),
)
const everywhere = new Set([...written.values()].flat())

describe('[AR5] rules and tests name each other', () => {
  it('specifications were found', () => {
    for (const name of ['shared-theory', 'server', 'web', 'tests'] as const)
      expect(written.get(name)?.length, name).toBeGreaterThan(4)
  })
  for (const name of PACKAGES) {
    const own = written.get(name) ?? []
    it(`${name}: every rule stands once and has a test`, () => {
      expect(own.filter((rule, index) => own.indexOf(rule) !== index)).toEqual([])
      const tested = (rule: string) => named.get(name)?.has(rule) || named.get('tests')?.has(rule)
      expect(own.filter((rule) => !tested(rule))).toEqual([])
    })
    it(`${name}: every rule a test names is written down`, () => {
      const known = name === 'tests' || name === 'demo' ? everywhere : new Set(own)
      const strangers = [...(named.get(name) ?? [])].filter(([rule]) => !known.has(rule))
      expect(strangers.map(([rule, path]) => `[${rule}] in ${path}`)).toEqual([])
    })
  }
})
