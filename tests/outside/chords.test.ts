/** Chord symbols against lists that share nothing with the parser: meanings worked out by hand, a grammar with notes by interval, and texts
 *  that must not be read. */
import { describe, expect, it } from 'vitest'
import { formatChord, parseChord } from '@chartloft/shared-theory'
import { HOSTILE_SYMBOLS } from '../fixtures/hostile-symbols.js'
import { madeSymbols } from '../fixtures/symbol-grammar.js'
import { WRITTEN_CHORDS } from '../fixtures/written-chords.js'
import { judgeMade, judgeWritten } from './judge-symbols.js'

describe('symbols as charts write them', () => {
  it('[CH3] reads the whole list: at least 99.5 % right and no silent misreading', () => {
    const { read, refused, wrong } = judgeWritten(WRITTEN_CHORDS)
    expect(read + refused.length).toBeGreaterThan(9000)
    expect(wrong).toEqual([])
    expect(refused).toEqual([])
  })

  it('[CH2] every one of them survives both styles of text unchanged', () => {
    const symbols = new Map(WRITTEN_CHORDS.map(({ text }) => [text, parseChord(text)]))
    for (const [text, read] of symbols) {
      if (!read.ok) continue
      for (const style of ['plain', 'symbols'] as const)
        expect(parseChord(formatChord(read.value, style)), text).toMatchObject({ ok: true, value: read.value })
    }
  })
})

describe('symbols of a grammar of its own', () => {
  it('[CH3] 3,000 of them have the notes their intervals give, spelled', () => {
    const { refused, wrong } = judgeMade(madeSymbols(20260, 3000))
    expect(wrong).toEqual([])
    expect(refused).toEqual([])
  })
})

describe('speed', () => {
  it('[CH8] the whole list is read in well under a second', () => {
    const start = process.cpuUsage()
    for (let round = 0; round < 3; round++) for (const { text } of WRITTEN_CHORDS) parseChord(text)
    const { user, system } = process.cpuUsage(start)
    expect((3 * WRITTEN_CHORDS.length) / ((user + system) / 1e6)).toBeGreaterThan(40_000)
  })
})

describe('what is no chord, or two', () => {
  it('[CH7] is refused with the place and a mend, never read as something near', () => {
    for (const text of HOSTILE_SYMBOLS) {
      const read = parseChord(text)
      expect(read.ok ? `${text} was read as ${read.value.symbol}` : 'refused').toBe('refused')
      if (read.ok) continue
      expect(read.issues[0]?.path).toMatch(/^character\/\d+$/)
      expect(read.issues[0]?.message.length, text).toBeGreaterThan(24)
    }
  })
})
