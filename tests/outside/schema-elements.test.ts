/** The law that nothing of a bar is dropped in silence, over every kind of element musicxml.xsd 4.0 (W3C Music Notation Community Group) knows. */
import { describe, expect, it } from 'vitest'
import { ABSENT_SCHEMAS, SCHEMA_NOTE } from './open-schema.js'
import { LISTED, elementFates } from './schema-elements.js'

describe('[RD35] every kind of element of a bar', () => {
  it.skipIf(ABSENT_SCHEMAS.length > 0)(`is kept, named, or listed with its reason${SCHEMA_NOTE}`, () => {
    const fates = elementFates()
    const of = (wanted: string): readonly string[] =>
      fates.filter(({ fate }) => fate === wanted).map(({ path }) => path)
    expect(of('silent')).toEqual([])
    expect(of('named').length).toBeGreaterThan(150)
    expect(of('kept').length).toBeGreaterThan(4)
    const unused = [...LISTED.keys()].filter((path) => !fates.some((one) => one.path === path && one.fate === 'listed'))
    expect(unused, 'on the list but not in the schema').toEqual([])
  })
  it.skipIf(ABSENT_SCHEMAS.length > 0)(`an element nobody reads would be found${SCHEMA_NOTE}`, () => {
    const fates = elementFates(new Map([...LISTED].filter(([path]) => path !== 'barline/bar-style')))
    expect(fates.filter(({ fate }) => fate === 'silent').map(({ path }) => path)).toEqual(['barline/bar-style'])
  })
})
