import { readTune } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { type KeyPress, MidiIn, type MidiAccessLike, type MidiInputLike } from './midi-in.js'
import { playedFile } from './played-file.js'

class FakeInput implements MidiInputLike {
  onmidimessage: MidiInputLike['onmidimessage'] = null
  state = 'connected'
  constructor(readonly name: string) {}
  send(...data: number[]): void {
    this.onmidimessage?.({ data: Uint8Array.from(data), timeStamp: 5 })
  }
}
class FakeAccess implements MidiAccessLike {
  onstatechange: (() => void) | null = null
  readonly inputs = new Set<FakeInput>()
}

function connected(...inputs: FakeInput[]) {
  const access = new FakeAccess()
  for (const input of inputs) access.inputs.add(input)
  const midi = new MidiIn(
    async () => access,
    () => 1,
  )
  const pressed: KeyPress[] = []
  midi.listen((press) => pressed.push(press))
  return { access, midi, pressed }
}

describe('[UI67] a MIDI keyboard', () => {
  it('is named once it is connected, also where it is plugged in later', async () => {
    const { access, midi } = connected()
    expect(midi.state.value).toEqual({ stage: 'idle' })
    await midi.connect()
    expect(midi.state.value).toEqual({ stage: 'none' })
    access.inputs.add(new FakeInput('Boathouse keys'))
    access.onstatechange?.()
    expect(midi.state.value).toEqual({ stage: 'listening', names: ['Boathouse keys'] })
  })
  it('tells keys down and up; a key down at velocity 0 is up; nothing else is a key', async () => {
    const keys = new FakeInput('')
    const { midi, pressed } = connected(keys)
    await midi.connect()
    keys.send(0x90, 60, 90)
    keys.send(0x93, 60, 0)
    keys.send(0x80, 61, 40)
    keys.send(0xb0, 64, 127)
    keys.send(0xf8)
    expect(pressed.map(({ kind, midi: key, atMs }) => [kind, key, atMs])).toEqual([
      ['down', 60, 5],
      ['up', 60, 5],
      ['up', 61, 5],
    ])
    midi.close()
    expect(keys.onmidimessage).toBeNull()
  })
  it('a browser without, and a person who says no, are told apart', async () => {
    expect(new MidiIn(undefined, () => 0).state.value).toEqual({ stage: 'absent' })
    const midi = new MidiIn(
      async () => Promise.reject(new Error('no')),
      () => 0,
    )
    await midi.connect()
    expect(midi.state.value).toEqual({ stage: 'refused' })
  })
})

describe('[UI69] playing in time', () => {
  const clicks = { downbeatMs: 1000, clicksPerMinute: 120, beats: 3, beatType: 4 } as const
  /** Beats of half a second, played a little unevenly. */
  const played = (notes: readonly (readonly [beat: number, beats: number, midi: number])[]): KeyPress[] =>
    notes
      .flatMap(([beat, beats, midi], index): KeyPress[] => {
        const off = [12, -9, 17, -4][index % 4] ?? 0
        return [
          { kind: 'down', midi, velocity: 80, atMs: 1000 + beat * 500 + off },
          { kind: 'up', midi, velocity: 0, atMs: 1000 + (beat + beats * 0.9) * 500 },
        ]
      })
      .toSorted((a, b) => a.atMs - b.atMs)

  it('becomes a file that reads as what was meant: metre, tempo, bars, note values', () => {
    const bytes = playedFile(
      played([
        [0, 1, 65],
        [1, 0.5, 67],
        [1.5, 0.5, 69],
        [2, 1, 70],
        [3, 3, 72],
      ]),
      clicks,
      9000,
    )
    const read = readTune('midi', bytes ?? new Uint8Array())
    expect(read.ok && [read.value.metre, read.value.tempoBpm]).toEqual([{ beats: 3, beatType: 4 }, 120])
    expect(
      read.ok &&
        read.value.bars.map(({ melody }) => melody.map(({ midi, durationTicks }) => `${midi}:${durationTicks / 5040}`)),
    ).toEqual([['65:1', '67:0.5', '69:0.5', '70:1'], ['72:3']])
  })
  it('a click is a beat of the metre', () => {
    const bytes = playedFile(played([[0, 1, 65]]), { ...clicks, beats: 6, beatType: 8, clicksPerMinute: 240 }, 9000)
    const read = readTune('midi', bytes ?? new Uint8Array())
    expect(read.ok && read.value.tempoBpm).toBe(120)
  })
  it('keys held at the end and struck twice are notes; silence is no file', () => {
    const presses: KeyPress[] = [60, 60, 62].map((midi, index) => ({
      kind: 'down',
      midi,
      velocity: 70,
      atMs: 1000 + index * 500,
    }))
    const bytes = playedFile(presses, clicks, 4000)
    const read = readTune('midi', bytes ?? new Uint8Array())
    expect(read.ok && read.value.bars.flatMap(({ melody }) => melody.map(({ midi }) => midi)).slice(0, 2)).toEqual([
      60, 60,
    ])
    expect(playedFile([], clicks, 4000)).toBeUndefined()
  })
  it('a long tune has times of several bytes', () => {
    const bytes = playedFile(
      played([
        [0, 1, 65],
        [400, 1, 67],
      ]),
      clicks,
      900_000,
    )
    const read = readTune('midi', bytes ?? new Uint8Array())
    expect(read.ok && read.value.bars.length).toBe(134)
  })
})
