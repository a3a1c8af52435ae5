import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import type { Chord, MusicXmlDegree, MusicXmlKind } from '../contract/index.js'
import { chordFromKind, formatChord, parseChord, qualityOf, transposeChord } from './index.js'

const built = (kind: MusicXmlKind, degrees: readonly MusicXmlDegree[] = [], root = 'C'): Chord => {
  const result = chordFromKind({ root, kind, degrees })
  if (!result.ok) throw new Error(result.issues[0]?.message)
  return result.value
}

/** Source: W3C MusicXML 4.0, kind-value: the intervals each value's own description names, from the root. */
const W3C: readonly (readonly [MusicXmlKind, string])[] = [
  ['major', '1P 3M 5P'],
  ['minor', '1P 3m 5P'],
  ['augmented', '1P 3M 5A'],
  ['diminished', '1P 3m 5d'],
  ['dominant', '1P 3M 5P 7m'],
  ['major-seventh', '1P 3M 5P 7M'],
  ['minor-seventh', '1P 3m 5P 7m'],
  ['diminished-seventh', '1P 3m 5d 7d'],
  ['augmented-seventh', '1P 3M 5A 7m'],
  ['half-diminished', '1P 3m 5d 7m'],
  ['major-minor', '1P 3m 5P 7M'],
  ['major-sixth', '1P 3M 5P 6M'],
  ['minor-sixth', '1P 3m 5P 6M'],
  ['dominant-ninth', '1P 3M 5P 7m 9M'],
  ['major-ninth', '1P 3M 5P 7M 9M'],
  ['minor-ninth', '1P 3m 5P 7m 9M'],
  ['dominant-11th', '1P 3M 5P 7m 9M 11P'],
  ['major-11th', '1P 3M 5P 7M 9M 11P'],
  ['minor-11th', '1P 3m 5P 7m 9M 11P'],
  ['dominant-13th', '1P 3M 5P 7m 9M 11P 13M'],
  ['major-13th', '1P 3M 5P 7M 9M 11P 13M'],
  ['minor-13th', '1P 3m 5P 7m 9M 11P 13M'],
  ['suspended-second', '1P 2M 5P'],
  ['suspended-fourth', '1P 4P 5P'],
  ['power', '1P 5P'],
  ['Tristan', '1P 4A 6A 9A'],
]
/** Where practice leaves one of the rubbing pair 3–11 out; everything else is the standard's own list. */
const LEFT_OUT: { readonly [kind: string]: string } = {
  'dominant-11th': '3M',
  'major-11th': '3M',
  'dominant-13th': '11P',
  'major-13th': '11P',
}
const OTHERS: readonly (readonly [MusicXmlKind, string])[] = [
  ['Neapolitan', '1P 3M 5P'],
  ['Italian', '1P 3M 6A'],
  ['French', '1P 3M 4A 6A'],
  ['German', '1P 3M 5P 6A'],
  ['pedal', '1P'],
  ['other', '1P'],
]
const ALL_KINDS: readonly MusicXmlKind[] = [...W3C, ...OTHERS].map(([kind]) => kind)

describe('MusicXML kinds', () => {
  it.each(W3C)('[CH5] %s sounds %s, as MusicXML 4.0 lists it, less what practice leaves out', (kind, intervals) => {
    const expected = intervals.split(' ').filter((interval) => interval !== LEFT_OUT[kind])
    expect(built(kind).intervals).toEqual(expected)
  })

  it.each(OTHERS)('[CH5] %s sounds %s', (kind, intervals) => {
    expect(built(kind).intervals.join(' ')).toBe(intervals)
  })

  it('[CH6] all 33 kinds go out as text and come back as themselves, in both styles, on every root', () => {
    expect(ALL_KINDS).toHaveLength(32)
    for (const kind of ALL_KINDS) {
      for (const root of ['C', 'F#', 'Ebb', 'B##', 'Ab']) {
        const value = built(kind, [], root)
        expect(value.kind).toBe(kind)
        expect(value.degrees).toEqual([])
        for (const style of ['plain', 'symbols'] as const)
          expect(parseChord(formatChord(value, style))).toMatchObject({ ok: true, value })
      }
    }
    const none = chordFromKind({ root: 'C', kind: 'none', degrees: [] })
    expect(none).toEqual(parseChord('N.C.'))
    expect(none).toMatchObject({ value: { kind: 'none', root: '', notes: [] } })
  })

  const degree = fc.record({
    value: fc.constantFrom(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13),
    alter: fc.integer({ min: -2, max: 2 }),
    type: fc.constantFrom('add', 'alter', 'subtract') as fc.Arbitrary<MusicXmlDegree['type']>,
  })
  it('[CH6] chord → kind and degrees → the same chord → text → the same chord, whatever degrees came in', () => {
    let read = 0
    fc.assert(
      fc.property(
        fc.constantFrom(...ALL_KINDS),
        fc.array(degree, { maxLength: 5 }),
        fc.constantFrom('C', 'Bb', 'F##', 'Gbb'),
        fc.option(fc.constantFrom('C', 'E', 'Ab'), { nil: undefined }),
        (kind, degrees, root, bass) => {
          const first = chordFromKind({ root, kind, degrees, ...(bass ? { bass } : {}) })
          if (!first.ok) {
            expect(first.issues[0]?.path).toMatch(/^degrees\/\d$/)
            return
          }
          read++
          const value = first.value
          const again = chordFromKind({
            root: value.root,
            kind: value.kind,
            degrees: value.degrees,
            ...(value.bass === undefined ? {} : { bass: value.bass }),
          })
          expect(again).toEqual({ ok: true, value })
          for (const style of ['plain', 'symbols'] as const)
            expect(parseChord(formatChord(value, style)), formatChord(value, style)).toMatchObject({ ok: true, value })
          const up = transposeChord(value, '5P')
          expect(parseChord(up.symbol)).toMatchObject({ ok: true, value: up })
        },
      ),
      { numRuns: 4000, seed: 20 },
    )
    expect(read).toBeGreaterThan(500)
  })

  it('[CH6] degrees add against a dominant chord and alter what the kind has (MusicXML 4.0, degree-alter)', () => {
    expect(built('major', [{ value: 7, alter: 0, type: 'add' }]).symbol).toBe('C7')
    expect(built('suspended-fourth', [{ value: 7, alter: 0, type: 'add' }]).symbol).toBe('C7sus')
    expect(built('minor-seventh', [{ value: 5, alter: -1, type: 'alter' }]).kind).toBe('half-diminished')
    expect(built('half-diminished', [{ value: 5, alter: 1, type: 'alter' }]).symbol).toBe('Cm7')
    expect(
      built('dominant', [
        { value: 3, alter: 0, type: 'subtract' },
        { value: 4, alter: 0, type: 'add' },
      ]).symbol,
    ).toBe('C7sus')
    expect(built('dominant', [{ value: 5, alter: 0, type: 'subtract' }])).toMatchObject({
      symbol: 'C7(no5)',
      omitted: ['5P'],
    })
    expect(built('dominant-13th', [{ value: 11, alter: 1, type: 'alter' }]).symbol).toBe('C13#11')
  })

  it('[CH6] what cannot be said is an issue at its degree; what changes nothing is a warning', () => {
    expect(chordFromKind({ root: 'H', kind: 'major', degrees: [] })).toMatchObject({
      ok: false,
      issues: [{ path: 'root' }],
    })
    expect(chordFromKind({ root: 'C', kind: 'quartal' as MusicXmlKind, degrees: [] })).toMatchObject({ ok: false })
    expect(chordFromKind({ root: 'C', kind: 'major', degrees: [{ value: 3, alter: 1, type: 'alter' }] })).toMatchObject(
      { ok: false, issues: [{ path: 'degrees/0' }] },
    )
    expect(
      chordFromKind({ root: 'C', kind: 'major', degrees: [{ value: 9, alter: 0, type: 'subtract' }] }),
    ).toMatchObject({ ok: true, issues: [{ severity: 'warning' }] })
  })

  it('[CH9] qualities of the functional sixths and open chords', () => {
    expect(qualityOf(built('German'))).toBe('dominant')
    expect(qualityOf(built('power'))).toBe('open')
    expect(qualityOf(built('Neapolitan'))).toBe('major')
  })
})
