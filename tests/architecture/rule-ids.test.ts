/** Every rule of a SPEC.md has a test or a bench that names it, and none names a rule nobody wrote down. Ids belong to a package: two packages may
 *  use the same one, and a test of a package means its own. */
import { describe, expect, it } from 'vitest'
import { isTested, named, PACKAGES, written } from './rules.js'

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
      expect(own.filter((rule) => !isTested(name, rule))).toEqual([])
    })
    it(`${name}: every rule a test names is written down`, () => {
      const known = name === 'tests' || name === 'demo' ? everywhere : new Set(own)
      const strangers = [...(named.get(name) ?? [])].filter(([rule]) => !known.has(rule))
      expect(strangers.map(([rule, path]) => `[${rule}] in ${path}`)).toEqual([])
    })
  }
})
