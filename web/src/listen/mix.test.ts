import { describe, expect, it } from 'vitest'
import type { PartSpec } from '@chartloft/shared-theory'
import { heardParts, partOfWords, plainMix } from './mix.js'

const lineup: readonly PartSpec[] = [
  { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' },
  { id: 'tenor-sax', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' },
  { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' },
]
const muted = (hearing: 'everybody' | 'only-me' | 'without-me', myPart: string | undefined) =>
  heardParts(lineup, { ...plainMix(myPart), hearing })
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
    expect(heardParts(lineup, { ...plainMix('bass'), levelsDb: { bass: 6 } }).map((part) => part.levelDb)).toEqual([
      0, 0, 6,
    ])
  })
  it('any part silent or moved to a side, whoever else is heard', () => {
    const mix = { ...plainMix('bass'), silent: ['trumpet'], pans: { 'tenor-sax': -0.5 } }
    expect(heardParts(lineup, mix)).toEqual([
      { id: 'trumpet', levelDb: 0, muted: true },
      { id: 'tenor-sax', levelDb: 0, muted: false, pan: -0.5 },
      { id: 'bass', levelDb: 0, muted: false },
    ])
    expect(heardParts(lineup, { ...mix, hearing: 'only-me', silent: ['bass'] }).every(({ muted }) => muted)).toBe(true)
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
