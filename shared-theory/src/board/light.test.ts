/** The folder stays light: a page may load it before any music. */
import { readFileSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

describe('[BD10] first load', () => {
  it('imports nothing but shapes, units and the instrument table', () => {
    const folder = dirname(fileURLToPath(import.meta.url))
    const sources = readdirSync(folder).filter(
      (name) => name.endsWith('.ts') && !name.endsWith('.test.ts') && !name.startsWith('test-'),
    )
    expect(sources.length).toBeGreaterThan(8)
    const others = sources.flatMap((name) =>
      [...readFileSync(join(folder, name), 'utf8').matchAll(/from '(\.\.\/[^']+|[^.'][^']*)'/g)].map(
        (found) => found[1],
      ),
    )
    expect(new Set(others)).toEqual(new Set(['../contract/index.js', '../units/index.js', '../instruments/index.js']))
  })
})
