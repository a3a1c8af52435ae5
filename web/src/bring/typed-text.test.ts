import { readTune } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { typedNote } from '../state/typed-note.js'
import { keepTyped, typedDraft } from './typed-draft.js'
import { faultsOf, FIRST_HEAD, lengthFigure, putIn, takeBack, ticksInBar, typedTune } from './typed-text.js'

const HEAD = { ...FIRST_HEAD, title: 'Slack\nWater', tonic: 'Bb', mode: 'dorian' as const, beats: 3, unit: '1/8' }
function faults(text: string, head = HEAD): readonly (readonly [code: string, meant: string | undefined])[] {
  const { abc, headLines } = typedTune(head, text)
  const read = readTune('abc', abc)
  return faultsOf(read.issues ?? [], text, headLines).map(({ issue, at }) => [
    issue.code,
    at && text.slice(at.from, at.to),
  ])
}

describe('[UI66] typing a tune', () => {
  it('fields and text are one ABC tune; empty lines do not end it', () => {
    const { abc, headLines } = typedTune(HEAD, '"Bbm7"B6|\n\n"Eb7"_e6|]')
    const read = readTune('abc', abc)
    expect(headLines).toBe(5)
    expect(read.ok && [read.value.title, read.value.key.mode, read.value.metre.beats, read.value.bars.length]).toEqual([
      'Slack Water',
      'dorian',
      3,
      2,
    ])
  })
  it('a whole tune that is pasted stands for itself', () => {
    const pasted = 'X:4\nT:Pasted\nK:D\nD4|'
    expect(typedTune(HEAD, pasted)).toEqual({ abc: pasted, headLines: 0 })
  })
  it('what is wrong is marked where it was typed', () => {
    expect(faults('"Bbm7"B6|"Zz"c6|\n"Eb7"e6 ö | e6|]')).toEqual([
      ['RD5', '"Zz"'],
      ['RD4', 'ö'],
    ])
    expect(faults('"Bbm7"B6|B4|"Eb"B6|').find(([code]) => code === 'RD6')).toEqual(['RD6', 'B'])
    expect(faults('Q:soon\n"Bb"B6|')[0]?.[1]).toBe('Q:soon')
  })
  it('lengths are figures of the unit', () => {
    expect(
      ['1/1', '3/4', '1/2', '3/8', '1/4', '3/16', '1/8', '1/16'].map((length) => lengthFigure(length, '1/4')),
    ).toEqual(['4', '3', '2', '3/2', '', '3/4', '/2', '/4'].map((figure) => (figure === '/2' ? '/' : figure)))
    expect(lengthFigure('1/4', '1/8')).toBe('2')
    expect(lengthFigure('3/8', '1/8')).toBe('3')
  })
  it('a bar is counted as the reader counts it', () => {
    expect(ticksInBar('c2 | "Am7"A B/ c3/2 z', '1/4')).toBe(4 * 5040)
    expect(ticksInBar('(3cde f', '1/8')).toBe(3 * 2520)
    expect(ticksInBar('c2|', '1/4')).toBe(0)
    expect(ticksInBar("^c,,2 _d'", '1/8')).toBe(3 * 2520)
  })
  it('a note put in after a full bar brings its bar line', () => {
    const bar = { unit: '1/4', fullTicks: 4 * 5040 }
    expect(putIn('c d e f', 7, 7, 'g', bar)).toEqual({ text: 'c d e f | g', cursor: 11 })
    expect(putIn('c d e', 5, 5, 'f', bar).text).toBe('c d e f')
    expect(putIn('c d e f |', 9, 9, 'g', bar).text).toBe('c d e f | g')
    expect(putIn('', 0, 0, 'c', bar).text).toBe('c')
    // In the middle, over a selection.
    expect(putIn('c xx e', 2, 4, 'd', bar)).toEqual({ text: 'c d e', cursor: 3 })
    expect(putIn('c "F"', 5, 5, 'd', bar).text).toBe('c "F"d')
  })
  it('taking back takes one sign with all that belongs to it', () => {
    const back = (text: string): string => takeBack(text, text.length).text
    expect(back("c ^d'3/2")).toBe('c ')
    expect(back('c "Am7"')).toBe('c ')
    expect(back('c | ')).toBe('c ')
    expect(back('')).toBe('')
  })
})

describe('[UI67] keys of a keyboard', () => {
  it('become the letters one would type in that key', () => {
    const scale = [60, 61, 62, 64, 66, 70, 71, 72, 84, 48].map((midi) => typedNote(midi, 'C', 'major', ''))
    expect(scale).toEqual(['C', '_D', 'D', 'E', '^F', '_B', 'B', 'c', "c'", 'C,'])
    expect([65, 66, 70].map((midi) => typedNote(midi, 'G', 'major', ''))).toEqual(['=F', 'F', '_B'])
  })
  it('say their sign where another stands in the bar already', () => {
    expect(typedNote(65, 'C', 'major', '^F ')).toBe('=F')
    expect(typedNote(65, 'C', 'major', '^F | ')).toBe('F')
  })
  it('read back to the key that was pressed, in every key signature', () => {
    const keys = Array.from({ length: 60 }, (_, index) => 40 + index)
    for (const tonic of ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb', 'Cb']) {
      const typed = keys.map((midi) => `"C"${typedNote(midi, tonic, 'major', '')}4`).join('|')
      const read = readTune('abc', `X:1\nL:1/4\nM:4/4\nK:${tonic}\n${typed}|]`)
      expect(read.ok && read.value.bars.map(({ melody }) => melody[0]?.midi), tonic).toEqual(keys)
    }
  })
})

describe('[UI68] what is being typed', () => {
  it('outlives the page, and goes when a board was made of it', () => {
    const held = new Map<string, string>()
    const storage = {
      getItem: (key: string) => held.get(key) ?? null,
      setItem: (key: string, value: string) => void held.set(key, value),
      removeItem: (key: string) => void held.delete(key),
    }
    keepTyped(storage, { head: HEAD, text: 'c d e' })
    expect(typedDraft(storage)).toEqual({ head: HEAD, text: 'c d e' })
    keepTyped(storage)
    expect(typedDraft(storage)).toEqual({ head: FIRST_HEAD, text: '' })
    held.set('chartloft:typed', '{"text":7')
    expect(typedDraft(storage).text).toBe('')
    expect(typedDraft(undefined).text).toBe('')
  })
})
