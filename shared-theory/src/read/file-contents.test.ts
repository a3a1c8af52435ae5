import { type MidiEvent, writeMidi } from 'midi-file'
import { describe, expect, it } from 'vitest'
import { listContents, readTune } from './index.js'

const BEAT = 480
type Played = readonly (readonly [beat: number, midi: number])[]

function track(name: string, channel: number, program: number | undefined, notes: Played): MidiEvent[] {
  const events = notes
    .flatMap(([beat, noteNumber]) => [
      { at: beat * BEAT, type: 'noteOn' as const, noteNumber, velocity: 80 },
      { at: (beat + 1) * BEAT, type: 'noteOff' as const, noteNumber, velocity: 0 },
    ])
    .toSorted((a, b) => a.at - b.at || (a.type === 'noteOff' ? -1 : 1))
  let before = 0
  const out: MidiEvent[] = [{ deltaTime: 0, meta: true, type: 'trackName', text: name }]
  if (program !== undefined) out.push({ deltaTime: 0, type: 'programChange', channel, programNumber: program })
  for (const { at, ...event } of events) {
    out.push({ ...event, channel, deltaTime: at - before })
    before = at
  }
  return [...out, { deltaTime: 0, meta: true, type: 'endOfTrack' }]
}
const high: Played = [
  [0, 72],
  [1, 74],
  [2, 76],
  [3, 72],
  [4, 77],
  [5, 76],
  [6, 74],
  [7, 72],
]
const low: Played = high.flatMap(
  ([beat]) =>
    [
      [beat, 48],
      [beat, 55],
    ] as const,
)
const FILE = Uint8Array.from(
  writeMidi({
    header: { format: 1, numTracks: 2, ticksPerBeat: BEAT },
    tracks: [track('', 1, 0, low), track('Reeds', 0, 66, high)],
  }),
)

describe('[RD46] what a file holds to choose from', () => {
  it('lines of a MIDI file: name, instrument, notes, range, and which one is proposed', () => {
    const listed = listContents('midi', FILE)
    expect(listed).toEqual({
      ok: true,
      value: {
        kind: 'lines',
        lines: [
          { name: '', channel: 2, program: 0, notes: 16, lowMidi: 48, highMidi: 55, together: 1, isProposed: false },
          {
            name: 'Reeds',
            channel: 1,
            program: 66,
            notes: 8,
            lowMidi: 72,
            highMidi: 77,
            together: 0,
            isProposed: true,
          },
        ],
      },
    })
  })
  it('the line asked for is the melody, and nothing is said of a proposal', () => {
    const first = readTune('midi', FILE, { line: 0 })
    expect(first.ok && first.value.bars[0]?.melody[0]?.name).toBe('G3')
    expect(first.issues?.some(({ code }) => code === 'RD14')).toBe(false)
    const proposed = readTune('midi', FILE)
    expect(proposed.ok && proposed.value.bars[0]?.melody[0]?.name).toBe('C5')
    const none = readTune('midi', FILE, { line: 7 })
    expect(none.ok ? '' : none.issues[0]?.message).toBe('This MIDI file has 2 lines; line 8 is not in it.')
  })
  it('tunes of an ABC file by number and title; one number once', () => {
    const listed = listContents('abc', 'X:1\nT:One\nK:C\nC|\n\nX:3\nK:C\nD|\n\nX:3\nT:again\nK:C\nE|\n')
    expect(listed).toEqual({
      ok: true,
      value: {
        kind: 'tunes',
        tunes: [
          { number: 1, title: 'One', line: 1 },
          { number: 3, title: '', line: 6 },
        ],
      },
    })
  })
  it('broken files are answered in words', () => {
    const listed = listContents('midi', Uint8Array.of(77, 84, 104, 100, 0, 0))
    expect(listed.ok ? '' : listed.issues[0]?.message).toMatch(/damaged|no pitched|film/)
  })
})

describe('[RD47] a doubt knows its bar', () => {
  const barsOf = (abc: string): (readonly [string, number | undefined])[] => {
    const read = readTune('abc', abc)
    return (read.issues ?? []).map(({ code, bar }) => [code, bar] as const)
  }
  it('by line and column, played bars counted', () => {
    const abc = 'X:1\nT:t\nM:4/4\nL:1/4\nK:C\n|:"C"C4|"Zz"D4:|\n"F"F4|G3|"C"C4|]'
    expect(barsOf(abc)).toEqual([
      ['RD5', 1],
      ['RD6', 5],
    ])
  })
  it('what concerns the head or the whole file has none', () => {
    expect(barsOf('X:1\nT:t\nQ:soon\nM:4/4\nL:1/4\nK:C\n"C"C4|]').map(([, bar]) => bar)).toEqual([undefined])
  })
})
