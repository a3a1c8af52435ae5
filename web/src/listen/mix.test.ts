import { describe, expect, it } from 'vitest'
import type { PartSpec } from '@chartloft/shared-theory'
import { heardParts, partOfWords } from './mix.js'

const lineup: readonly PartSpec[] = [
  { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' },
  { id: 'tenor-sax', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' },
  { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' },
]
const muted = (hearing: 'everybody' | 'only-me' | 'without-me', myPart: string | undefined) =>
  heardParts(lineup, { hearing, myPart, levelsDb: {} })
    .filter((part) => part.muted)
    .map((part) => part.id)

describe('[AU3] auditioning my part', () => {
  it('alone, silent, or with everybody', () => {
    expect(muted('everybody', 'bass')).toEqual([])
    expect(muted('only-me', 'bass')).toEqual(['trumpet', 'tenor-sax'])
    expect(muted('without-me', 'bass')).toEqual(['bass'])
  })
  it('without a part of my own nobody falls silent', () => {
    expect(muted('only-me', undefined)).toEqual([])
    expect(muted('without-me', 'tuba')).toEqual([])
  })
  it('louder', () => {
    expect(
      heardParts(lineup, { hearing: 'everybody', myPart: 'bass', levelsDb: { bass: 6 } }).map((part) => part.levelDb),
    ).toEqual([0, 0, 6])
  })
  it('what I play in my words names a part', () => {
    expect(partOfWords(lineup, 'Tenor Sax')).toBe('tenor-sax')
    expect(partOfWords(lineup, 'double bass')).toBe('bass')
    expect(partOfWords(lineup, 'sax')).toBe('tenor-sax')
    expect(partOfWords(lineup, 'electric bass')).toBe('bass')
    expect(partOfWords(lineup, 'kazoo')).toBeUndefined()
    expect(partOfWords(lineup, 'bass clarinet')).toBeUndefined()
    expect(partOfWords(lineup, 'contrabassoon')).toBeUndefined()
  })
})
