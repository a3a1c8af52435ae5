import { readTune, type Tune } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import type { TuneReading } from '../state/theory-protocol.js'
import { bringWords } from '../words-bring.js'
import { bareText, translated } from './issue-text.js'
import { beatName, beatTicksOf, chordPlaces, countedNote, pickupChoices } from './beats.js'
import { firstChoice } from './brought.js'
import { partsAsked } from './file-choice.js'
import { programName } from './general-midi.js'
import { mended, startWith, takenBack } from './mend-history.js'
import { barIndexOf, barNumberOf, sheetMarks, spokenBar } from './sheet-marks.js'

function tuneOf(body: string): Tune {
  const read = readTune('abc', `X:1\nT:t\nM:4/4\nL:1/4\nK:F\n${body}`)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
}

describe('[UI61] the sheet', () => {
  const tune = tuneOf('C|\nP:A\n"F"F2 A2|"Gm7"B2 "C7"G2|"N.C."F3|')
  it('bars are numbered from 1, a pickup is 0', () => {
    expect(barNumberOf(tune, 0)).toBe(0)
    expect(barIndexOf(tune, 2)).toBe(2)
    expect(barNumberOf({ pickupTicks: 0 }, 0)).toBe(1)
  })
  it('shows sections by name and says which chord symbols are proposed; N.C. is a word there', () => {
    const { bars, marks } = sheetMarks(tune)
    expect([...marks.sections]).toEqual([[1, 'A']])
    expect(bars.map(({ begins, isPickup }) => [begins, isPickup])).toEqual([
      [false, true],
      [false, false],
      [false, false],
      [false, false],
    ])
    const proposed = sheetMarks(tuneOf('F G A c|B2 G2|A2 F2|F4|]'))
    expect([...proposed.marks.proposed.values()].flat().every((isProposed) => isProposed)).toBe(true)
    expect(marks.proposed.get(3)).toEqual([])
  })
  it('a bar is said with its section, chords and doubts', () => {
    expect(spokenBar(tune, 1, [])).toBe('Bar 1, section A begins, F')
    expect(spokenBar(tune, 2, [{ code: 'x', severity: 'note', path: '', message: '', bar: 2 }])).toBe(
      'Bar 2, G minor 7, C 7, 1 thing to look at',
    )
    expect(spokenBar(tune, 0, [])).toBe('Bar pickup, no new chord')
    expect(spokenBar(tuneOf('F G A c|F4|]'), 1, [])).toMatch(/, proposed$/)
  })
})

describe('[UI62] places in a bar', () => {
  it('are its beats as they are counted, and wherever a chord stands', () => {
    const names = (beats: number, beatType: 2 | 4 | 8 | 16) => {
      const metre = { beats, beatType }
      const bar = { metre, lengthTicks: (beats * 20160) / beatType, chords: [] }
      return chordPlaces(bar).map((tick) => beatName(metre, tick))
    }
    expect(names(4, 4)).toEqual(['1', '2', '3', '4'])
    expect(names(6, 8)).toEqual(['1', '2'])
    expect(names(7, 8)).toEqual(['1', '2', '3', '4', '5', '6', '7'])
    expect(names(3, 8)).toEqual(['1', '2', '3'])
    const pushed = tuneOf('"F"F3/2"C7"G/A2|F4|').bars[0]
    expect(pushed && chordPlaces(pushed).map((tick) => beatName(pushed.metre, tick))).toEqual([
      '1',
      '2',
      '2½',
      '3',
      '4',
    ])
  })
  it('a pickup is chosen in halves of a beat, eighths in metres of eighths; what is now is among them', () => {
    expect(pickupChoices({ beats: 3, beatType: 4 }, 0).map((ticks) => ticks / 5040)).toEqual([0, 0.5, 1, 1.5, 2, 2.5])
    expect(pickupChoices({ beats: 6, beatType: 8 }, 1260)[1]).toBe(1260)
  })
  it('tempi are said in the note that is counted', () => {
    expect(countedNote({ beats: 6, beatType: 8 })).toEqual({ beatType: 8, quarters: 1.5 })
    expect(countedNote({ beats: 2, beatType: 2 })).toEqual({ beatType: 2, quarters: 2 })
    expect(countedNote({ beats: 7, beatType: 8 })).toEqual({ beatType: 4, quarters: 1 })
    expect(beatTicksOf({ beats: 12, beatType: 8 })).toBe(7560)
  })
})

describe('[UI63] corrections', () => {
  it('are taken back one by one', () => {
    const reading = (title: string) => ({ tune: { title } }) as unknown as TuneReading
    let history = mended(mended(startWith(reading('a')), reading('b'), 'key'), reading('c'), 'chord')
    expect(history.before.at(-1)?.kind).toBe('chord')
    history = takenBack(history)
    expect([history.now.tune.title, history.before.at(-1)?.kind]).toEqual(['b', 'key'])
    expect(takenBack(takenBack(history)).now.tune.title).toBe('a')
  })
})

describe('[UI64] what a file holds', () => {
  it('the first tune, or the line that is proposed, is read first', () => {
    const line = { name: '', channel: 1, notes: 1, lowMidi: 60, highMidi: 60, together: 0 }
    const lines = [
      { ...line, isProposed: false },
      { ...line, isProposed: true },
    ]
    expect(firstChoice({ kind: 'lines', lines })).toEqual({ line: 1 })
    const part = { name: 'Reeds', notes: 3, lowMidi: 60, highMidi: 64, chordSymbols: 1, isProposed: false }
    expect(firstChoice({ kind: 'parts', parts: [part, { ...part, isProposed: true }] })).toEqual({ part: 1 })
    expect(partsAsked([part, part]).map(({ name }) => name)).toEqual(['Reeds (1)', 'Reeds (2)'])
    expect(partsAsked([part])[0]?.facts).toBe('3 notes, C4 to E4, 1 chord symbol')
    expect(firstChoice({ kind: 'tunes', tunes: [{ number: 7, title: '', line: 1 }] })).toEqual({ tuneNumber: 7 })
    expect(firstChoice(undefined)).toEqual({})
  })
  it('programs have the names General MIDI gives them', () => {
    // Source: General MIDI System Level 1 sound set; programs here from 0, there from 1.
    expect([0, 11, 32, 40, 56, 66, 73, 104, 127].map((program) => programName(program))).toEqual([
      'acoustic grand piano',
      'vibraphone',
      'acoustic bass',
      'violin',
      'trumpet',
      'tenor sax',
      'flute',
      'sitar',
      'gunshot',
    ])
    expect(programName(128)).toBeUndefined()
  })
  it('a line is told by instrument, notes and range', () => {
    expect(bringWords.lineFacts(58, 'C4', 'F5', 'tenor sax', 0)).toBe('tenor sax, 58 notes, C4 to F5')
    expect(bringWords.lineFacts(1, 'C4', 'C4', undefined, 0.9)).toBe('1 note, C4, mostly chords')
  })
})

describe('[UI65] doubts', () => {
  it('are said without the place the list names already', () => {
    const text = (message: string) => bareText(message)
    expect(text('Bar 5 (line 6): 5 beats in a bar of 4.')).toBe('5 beats in a bar of 4.')
    expect(text('Line 12: chord ‘Bbq’ could not be read.')).toBe('Chord ‘Bbq’ could not be read.')
    expect(text('Bar 3 (line 5), line 5: the chord could not be read.')).toBe('The chord could not be read.')
    expect(text('The file says F major.')).toBe('The file says F major.')
  })
})

describe('[UI73] what a reader says, in another language', () => {
  const known = { 'no {} here; {}': '{1} ohne {0e}', '{} is long': '{0} ist lang' }
  const said = (id: string, values: readonly (string | number)[], withPlace = false): string | undefined => {
    const made = translated({ id, values }, withPlace, known)
    return made && flat(made)
  }
  it('values stand where that language has them, what is English still is marked', () => {
    expect(said('Line {}: no {} here; {}', [3, 'trills', 'Bb4'])).toBe('B♭4 ohne <span lang="en">trills</span>')
    expect(said('Line {}: no {} here; {}', [3, 'trills', 'Bb4'], true)).toBe(
      'Line 3: B♭4 ohne <span lang="en">trills</span>',
    )
    expect(said('{}, line {}: no {} here; {}', ['Bar 2 (line 9)', 9, 'x', 'y'], true)).toBe(
      'Bar 2 (line 9), Line 9: y ohne <span lang="en">x</span>',
    )
  })
  it('keys are named as everywhere on the page', () => {
    expect(said('{} is long', ['Bb minor'])).toBe('B♭ minor ist lang')
  })
  it('a place that is part of the sentence stays, and how many places there are', () => {
    expect(said('{} is long ({} places in all.)', ['Pickup', 4])).toBe('Pickup ist lang (4 places in all.)')
  })
  it('without a sentence the reader’s own is said', () => {
    expect(said('Line {}: nobody translated this', [3])).toBeUndefined()
  })
})

/** A template of Lit as the text it would be. */
function flat(part: unknown): string {
  if (Array.isArray(part)) return part.map(flat).join('')
  const { strings, values } = part as { strings?: readonly string[]; values?: readonly unknown[] }
  return strings
    ? strings.map((text, at) => text + (values && at < values.length ? flat(values[at]) : '')).join('')
    : String(part)
}
