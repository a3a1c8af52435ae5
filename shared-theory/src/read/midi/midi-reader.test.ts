import { type MidiEvent, writeMidi } from 'midi-file'
import { describe, expect, it } from 'vitest'
import type { Tune } from '../../contract/index.js'
import { readTune } from '../index.js'

const BEAT = 480
interface Line {
  readonly name: string
  readonly channel: number
  readonly notes: readonly (readonly [startBeats: number, beats: number, midi: number])[]
}

/** Bytes of a type 1 file; times in beats, shifted by `lateTicks` to play like a person. */
function midiOf(lines: readonly Line[], head: readonly MidiEvent[] = [], lateTicks = 0): Uint8Array {
  const tracks = lines.map(({ name, channel, notes }): MidiEvent[] => {
    const events = notes.flatMap(([start, length, noteNumber]) => [
      { at: Math.round(start * BEAT) + lateTicks, type: 'noteOn' as const, noteNumber, velocity: 80 },
      { at: Math.round((start + length) * BEAT) + lateTicks, type: 'noteOff' as const, noteNumber, velocity: 0 },
    ])
    events.sort((a, b) => a.at - b.at || (a.type === 'noteOff' ? -1 : 1))
    let before = 0
    const out: MidiEvent[] = [{ deltaTime: 0, meta: true, type: 'trackName', text: name }]
    for (const { at, ...event } of events) {
      out.push({ ...event, channel, deltaTime: at - before })
      before = at
    }
    return [...out, { deltaTime: 0, meta: true, type: 'endOfTrack' }]
  })
  const first: MidiEvent[] = [...head, { deltaTime: 0, meta: true, type: 'endOfTrack' }]
  return Uint8Array.from(
    writeMidi({ header: { format: 1, numTracks: tracks.length + 1, ticksPerBeat: BEAT }, tracks: [first, ...tracks] }),
  )
}
const HEAD: MidiEvent[] = [
  { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat: 500_000 },
  { deltaTime: 0, meta: true, type: 'timeSignature', numerator: 4, denominator: 4, metronome: 24, thirtyseconds: 8 },
  { deltaTime: 0, meta: true, type: 'keySignature', key: -1, scale: 0 },
]
const MELODY: Line['notes'] = [
  [0, 2, 69],
  [2, 1, 65],
  [3, 1, 67],
  [4, 1.5, 72],
  [5.5, 0.5, 74],
  [6, 1 / 3, 72],
  [6 + 1 / 3, 1 / 3, 70],
  [6 + 2 / 3, 1 / 3, 69],
  [7, 1, 67],
  [8, 4, 65],
]
const triad = (start: number, length: number, ...midis: number[]): (readonly [number, number, number])[] =>
  midis.map((midi) => [start, length, midi] as const)
const PIANO: Line['notes'] = [
  ...triad(0, 4, 41, 57, 60, 64),
  ...triad(4, 2, 43, 58, 62, 65),
  ...triad(6, 2, 48, 58, 64, 67),
  ...triad(8, 4, 41, 57, 60, 62),
]

function read(bytes: Uint8Array): { tune: Tune; codes: readonly string[] } {
  const result = readTune('midi', bytes)
  if (!result.ok) throw new Error(result.issues[0]?.message)
  return { tune: result.value, codes: (result.issues ?? []).map((one) => one.code) }
}
const rows = (tune: Tune): string[] =>
  tune.bars.map((bar) => bar.melody.map((note) => `${note.name} ${note.startTick}+${note.durationTicks}`).join(', '))

describe('a melody with piano', () => {
  const lines: Line[] = [
    { name: 'Piano', channel: 1, notes: PIANO },
    { name: 'Line', channel: 0, notes: MELODY },
  ]
  const want = [
    'A4 0+10080, F4 10080+5040, G4 15120+5040',
    'C5 0+7560, D5 7560+2520, C5 10080+1680, Bb4 11760+1680, A4 13440+1680, G4 15120+5040',
    'F4 0+20160',
  ]
  it('[RD15] the highest line is the melody, on the grid with triplets', () => {
    const { tune, codes } = read(midiOf(lines, HEAD))
    expect(rows(tune)).toEqual(want)
    expect([tune.tempoBpm, tune.key.key]).toEqual([120, 'F major'])
    expect(tune.bars[1]?.melody[2]?.tuplet).toEqual({ actual: 3, normal: 2 })
    expect(codes).toEqual(['RD14', 'RD15', 'RD15'])
  })
  it('[RD15] played late and short it reads the same', () => {
    const short = lines.map((line) => ({
      ...line,
      notes: line.notes.map(([start, length, midi]) => [start, length * 0.85, midi] as const),
    }))
    expect(rows(read(midiOf(short, HEAD, 14)).tune)).toEqual(want)
  })
  it('[RD15] chords are inferred and marked', () => {
    const { tune } = read(midiOf(lines, HEAD))
    expect(tune.bars.map((bar) => bar.chords.map((one) => [one.chord.symbol, one.inferred]))).toEqual([
      [['Fmaj7', true]],
      [
        ['Gm7', true],
        ['C7', true],
      ],
      [['F6', true]],
    ])
  })
  it('[RD14] a line named as the melody wins over a higher one', () => {
    const high: Line = {
      name: 'Bells',
      channel: 2,
      notes: MELODY.map(([start, length, midi]) => [start, length, midi + 24] as const),
    }
    const { tune } = read(midiOf([high, { name: 'Melody', channel: 0, notes: MELODY }], HEAD))
    expect(tune.bars[0]?.melody[0]?.name).toBe('A4')
  })
  it('[RD16] alone it gets proposed chords, and its key comes from its notes', () => {
    const { tune, codes } = read(midiOf([{ name: '', channel: 0, notes: MELODY }]))
    expect(tune.bars.every((bar) => bar.chords.every((one) => one.inferred))).toBe(true)
    expect(tune.bars.at(-1)?.chords.at(-1)?.chord.symbol).toBe('F')
    expect(codes).toContain('RD16')
    expect(tune.key.key).toBe('F major')
    expect(codes).toContain('RD11')
  })
})

describe('[RD15] bad MIDI is refused with what to do', () => {
  const good = midiOf([{ name: 'Line', channel: 0, notes: MELODY }], HEAD)
  const refusal = (bytes: Uint8Array): string => {
    const result = readTune('midi', bytes)
    return result.ok ? 'read' : (result.issues[0]?.message ?? '')
  }
  it('cut inside its header; a chunk of another kind is passed over, as the standard asks', () => {
    expect(refusal(good.slice(0, 16))).toMatch(/damaged/)
    const other = good.slice()
    other.set([0x58, 0x58, 0x58, 0x58], 14)
    const result = readTune('midi', other)
    expect(result.ok && rows(result.value)[0]).toBe('A4 0+10080, F4 10080+5040, G4 15120+5040')
  })
  it('film time', () => {
    const film = good.slice()
    film.set([0xe7, 0x28], 12)
    expect(refusal(film)).toMatch(/counts film frames/)
  })
  it('drums only', () => {
    expect(refusal(midiOf([{ name: 'Kit', channel: 9, notes: MELODY }]))).toMatch(/no pitched notes/)
  })
})
