import { describe, expect, it } from 'vitest'
import fc from 'fast-check'
import { ChordType, Note as TonalNote } from 'tonal'
import type { Chord } from '../contract/index.js'
import { formatChord, parseChord, pitchClassesOf } from './index.js'

const value = (text: string): Chord => {
  const read = parseChord(text)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
}

describe('symbols as charts write them', () => {
  /** Where `tonal` 6.4.3 hears other notes in one of its own names, and why ours stand. */
  const EXPLAINED: { readonly [alias: string]: string } = {
    '^': 'tonal: major triad; the triangle is the major seventh (charts)',
    '^#5': 'as ^',
    M7b6: 'tonal takes the fifth away; a ♭6 or ♭13 beside a seventh is a tension and the fifth stays',
    '^7b6': 'as M7b6',
    mb6M7: 'as M7b6',
    '7b13': 'as M7b6: ♯5 is the chord without the fifth',
    '9b13': 'as M7b6',
    M6b5: 'tonal takes a ♭5 for a ♯11 beside a natural fifth; a lowered fifth replaces the fifth',
    '6b5': 'as M6b5',
    '7b5b13': 'as M6b5',
    '9b5b13': 'as M6b5',
    '7b5b9': 'as M6b5',
    '7b9b5': 'as M6b5',
    '7b5#9': 'as M6b5',
    '7#9b5': 'as M6b5',
    '7b5b9b13': 'as M6b5',
    M7add13: 'tonal adds a 9; an added 13 is that note alone',
    m13: 'tonal leaves the 11 out; ours keeps it, as MusicXML 4.0 has it: over a minor third it does not rub',
    '-13': 'as m13',
    '7alt': 'tonal: ♯5 and ♯9 only; the altered dominant has ♭5 ♯5 ♭9 ♯9',
    alt7: 'tonal: ♭9 only; as 7alt',
    b9sus: "after a root letter a flat is the root's: 'Cb9sus' is C flat, and a note says so",
  }
  /** Names of `tonal` that no chart is safe to be read by: each is refused with its mend. */
  const REFUSED: { readonly [alias: string]: string } = {
    'maj#4': 'with or without a seventh',
    '4': 'fourths in a stack, or sus4',
    quartal: 'a way of voicing, not a chord',
    phryg: 'the name of a scale',
    m11A: 'a capital A is a note',
    mb6b9: 'a ♭9 without a seventh',
  }
  // Source: tonal 6.4.3 as an independent reader: its whole dictionary, every alias.
  it('[CH3] an independent dictionary has the same notes for every name, or the difference is explained', () => {
    const different: string[] = []
    const refused: string[] = []
    let agreed = 0
    for (const { aliases, intervals } of ChordType.all()) {
      const theirs = new Set(intervals.map((interval) => TonalNote.chroma(TonalNote.transpose('C', interval))))
      for (const alias of aliases) {
        const read = parseChord(`C${alias}`)
        if (!read.ok) refused.push(alias)
        else if (pitchClassesOf(read.value).join() === [...theirs].sort((a, b) => a - b).join()) agreed++
        else different.push(alias)
      }
    }
    expect(agreed).toBeGreaterThan(180)
    expect(different.toSorted()).toEqual(Object.keys(EXPLAINED).toSorted())
    expect(refused.toSorted()).toEqual(Object.keys(REFUSED).toSorted())
  })

  it('[CH7] never throws, whatever text comes', () => {
    const pieces = fc.array(
      fc.constantFrom(
        ...'C|F#|Bb|m|maj|7|9|13|sus|add|no|b9|#11|(|)|/|+|-|°|ø|∆|alt| over |%|N.C.|🎺|\u202e|\u0000|𝄫|bb|##|x|H|6/9|é|\ud800|:|*|hdim7|79#|on|e|flat|seventh|.|?|[|"|⁷| '.split(
          '|',
        ),
      ),
      { maxLength: 12 },
    )
    const anyText = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 80 }),
      pieces.map((parts) => parts.join('')),
    )
    fc.assert(
      fc.property(anyText, (text) => {
        const read = parseChord(text)
        if (!read.ok) {
          expect(read.issues[0]?.path).toMatch(/^character\/\d+$/)
          expect(read.issues[0]?.message.length).toBeGreaterThan(10)
          return
        }
        expect(value(formatChord(read.value))).toEqual(read.value)
        expect(value(formatChord(read.value, 'symbols'))).toEqual(read.value)
      }),
      { numRuns: 1500, seed: 4 },
    )
  }, 60_000)
})
