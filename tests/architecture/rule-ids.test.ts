/** Every rule of a SPEC.md has a test that names it, and no test names a rule nobody wrote down. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { filesUnder, ROOT } from './sources.js'

const RULE = /\[([A-Z]{2,3}\d+[a-z]?)\]/g
const rulesIn = (path: string): readonly string[] =>
  [...readFileSync(join(ROOT, path), 'utf8').matchAll(RULE)].map((found) => found[1] as string)

const specs = ['shared-theory', 'server', 'web', 'tests'].flatMap((folder) =>
  filesUnder(folder, (path) => path.endsWith('/SPEC.md')),
)
const written = new Map<string, string>()
for (const path of specs) {
  for (const line of readFileSync(join(ROOT, path), 'utf8').split('\n')) {
    const found = /^- \[([A-Z]{2,3}\d+[a-z]?)\]/.exec(line)
    if (found) written.set(found[1] as string, path)
  }
}
const tests = ['shared-theory', 'server', 'web', 'tests', 'demo'].flatMap((folder) =>
  filesUnder(folder, (path) => path.endsWith('.test.ts')),
)
const named = new Map<string, string>()
for (const path of tests) for (const rule of rulesIn(path)) if (!named.has(rule)) named.set(rule, path)

describe('[AR5] rules and tests name each other', () => {
  it('specifications were found', () => {
    expect(specs.length).toBeGreaterThanOrEqual(3)
    expect(written.size).toBeGreaterThan(50)
  })
  it('every rule has a test', () => {
    expect(
      [...written].filter(([rule]) => !named.has(rule)).map(([rule, path]) => `[${rule}] of ${path} has no test`),
    ).toEqual([])
  })
  it('every rule a test names is written down', () => {
    expect(
      [...named].filter(([rule]) => !written.has(rule)).map(([rule, path]) => `[${rule}] in ${path} is in no SPEC.md`),
    ).toEqual([])
  })
})
