/** Our MIDI files read by the `midi-file` package: the same notes, tempi, metres, keys and markers as the schedule. */
import { describe, expect, it } from 'vitest'
import { type MidiEvent, parseMidi } from 'midi-file'
import {
  type ArrangedBar,
  type Arrangement,
  type PartNote,
  scheduleEvents,
  tickToMs,
  writeMidi,
} from '@chartloft/shared-theory'
import { SEXTET, arrangementOf, lanternArrangement, lanternTune, withSextet } from '../fixtures/lantern-band.js'
import { passesOf, rows } from '../fixtures/rows.js'

interface HeardNote {
  readonly tick: number
  readonly length: number
  readonly midi: number
  readonly velocity: number
  readonly channel: number
}

const timed = (events: readonly MidiEvent[]): readonly (MidiEvent & { tick: number })[] => {
  let tick = 0
  return events.map((event) => ({ ...event, tick: (tick += event.deltaTime) }))
}

/** Notes of a track; a note that never ends is a fault. */
function heardNotes(events: readonly MidiEvent[]): readonly HeardNote[] {
  const notes: HeardNote[] = []
  const open = new Map<number, HeardNote>()
  for (const event of timed(events)) {
    if (event.type === 'noteOn' && event.velocity > 0) {
      expect(open.has(event.noteNumber), `key ${event.noteNumber} struck while it sounds`).toBe(false)
      open.set(event.noteNumber, {
        tick: event.tick,
        length: 0,
        midi: event.noteNumber,
        velocity: event.velocity,
        channel: event.channel,
      })
    }
    if (event.type === 'noteOff' || (event.type === 'noteOn' && event.velocity === 0)) {
      const begun = open.get(event.noteNumber)
      expect(begun, `note-off ${event.noteNumber} ends something`).toBeDefined()
      open.delete(event.noteNumber)
      notes.push({ ...begun!, length: event.tick - begun!.tick })
    }
  }
  expect(open.size).toBe(0)
  return notes.sort((a, b) => a.tick - b.tick || a.midi - b.midi)
}

const read = (arrangement: Arrangement, options?: Parameters<typeof writeMidi>[1]) =>
  parseMidi(writeMidi(arrangement, options))

/** An opening in F, a waltz section in G minor with a ritardando, a fermata at the end. */
function varied(): Arrangement {
  const tune = lanternTune()
  const waltz = rows('1|Gm6|D5:2 Bb4:1\n2|Eb7|G4:2 Bb4:1\n3|Gm6|G4:3~\n4|Gm6|G4:3', {
    len: 3,
    key: 'G minor',
    pass: 'ending',
    sections: [['ending', 4]],
    tempoBpm: 100,
  })
  const slowing = waltz.map((bar, index): ArrangedBar => {
    if (index === 2) return { ...bar, tempoEndBpm: 70 }
    return index === 3 ? { ...bar, tempoBpm: 70, fermataTick: 0 } : bar
  })
  return arrangementOf(withSextet([...passesOf(tune, 'chorus-1'), ...slowing]))
}

describe('[MI1] the file as midi-file reads it', () => {
  it('type 1, 5040 ticks a quarter, one track a part after the first', () => {
    const { header, tracks } = read(lanternArrangement())
    expect(header).toMatchObject({ format: 1, ticksPerBeat: 5040, numTracks: 7 })
    const names = tracks.map((events) => events.find((event) => event.type === 'trackName'))
    expect(names.map((event) => event?.type === 'trackName' && event.text)).toEqual([
      'Lantern Slip',
      ...SEXTET.map(({ name }) => name),
    ])
  })

  for (const feel of ['played', 'notated'] as const) {
    it(`the same notes as the schedule, ${feel}`, () => {
      const arrangement = varied()
      const { tracks } = read(arrangement, { feel })
      const events = scheduleEvents(arrangement)
      for (const [index, part] of arrangement.lineup.entries()) {
        const meant = events
          .filter(({ partId }) => partId === part.id)
          .map((event) => ({
            tick: Math.max(0, feel === 'played' ? event.playTick : event.startTick),
            midi: event.midi,
            velocity: event.velocity,
          }))
          .sort((a, b) => a.tick - b.tick || a.midi - b.midi)
        const heard = heardNotes(tracks[index + 1]!)
        expect(
          heard.map(({ tick, midi, velocity }) => ({ tick, midi, velocity })),
          part.id,
        ).toEqual(meant)
        expect(heard.every(({ length }) => length > 0)).toBe(true)
        expect(
          new Set(heard.map(({ channel }) => channel === 9)).has(part.role === 'drums') || heard.length === 0,
        ).toBe(true)
      }
    })
  }
  it('only the parts asked for', () => {
    const { tracks } = read(lanternArrangement(), { parts: ['bass', 'nobody'] })
    expect(tracks).toHaveLength(2)
    expect(heardNotes(tracks[1]!).length).toBeGreaterThan(30)
  })
})

describe('[MI2] the conductor track', () => {
  const conductor = timed(read(varied()).tracks[0]!)
  it('metre and key where they change', () => {
    const metres = conductor.flatMap((event) =>
      event.type === 'timeSignature' ? [[event.tick, event.numerator, event.denominator]] : [],
    )
    expect(metres).toEqual([
      [0, 4, 4],
      [32 * 20160, 3, 4],
    ])
    const keys = conductor.flatMap((event) =>
      event.type === 'keySignature' ? [[event.tick, event.key, event.scale]] : [],
    )
    expect(keys).toEqual([
      [0, -1, 0],
      [32 * 20160, -2, 1],
    ])
  })
  it('a marker at every section', () => {
    const markers = conductor.flatMap((event) => (event.type === 'marker' ? [[event.tick / 20160, event.text]] : []))
    expect(markers).toEqual([
      [0, 'A: A, Chorus 1'],
      [8, 'B: A'],
      [16, 'C: B'],
      [24, 'D: A'],
      [32, 'E: Ending'],
    ])
  })
  it('tempo steps give every bar the length the schedule gives it, fermata and ritardando included', () => {
    const arrangement = varied()
    const toMs = tickToMs(arrangement)
    const tempi = conductor.flatMap((event) =>
      event.type === 'setTempo' ? [{ tick: event.tick, micro: event.microsecondsPerBeat }] : [],
    )
    expect(tempi.length).toBeGreaterThan(10)
    const msAt = (tick: number): number =>
      tempi.reduce((ms, { tick: from, micro }, index) => {
        const to = Math.min(tick, tempi[index + 1]?.tick ?? Infinity)
        return to > from ? ms + ((to - from) * micro) / 5040 / 1000 : ms
      }, 0)
    let tick = 0
    for (const bar of arrangement.bars) {
      tick += bar.lengthTicks
      expect(Math.abs(msAt(tick) - toMs(tick))).toBeLessThan(0.5)
    }
  })
})

describe('[MI3] sounds', () => {
  it('General MIDI programs, drums on channel 10', () => {
    const { tracks } = read(lanternArrangement())
    const programs = tracks.slice(1).map((events) => events.find((event) => event.type === 'programChange'))
    expect(programs.map((event) => event?.type === 'programChange' && [event.channel, event.programNumber])).toEqual([
      [0, 56],
      [1, 65],
      [2, 66],
      [3, 0],
      [4, 32],
      [9, 0],
    ])
  })
  it('held melody notes grow to the middle and fall, and the expression is put back', () => {
    const arrangement = lanternArrangement()
    const swelled = scheduleEvents(arrangement).filter(({ swells }) => swells)
    expect(swelled.length).toBeGreaterThan(4)
    const [lead] = read(arrangement).tracks.slice(1)
    const expression = timed(lead ?? []).flatMap((event) =>
      event.type === 'controller' && event.controllerType === 11 ? [{ tick: event.tick, value: event.value }] : [],
    )
    expect(expression.length).toBe(7 * swelled.length)
    for (const { playTick, playDurationTicks } of swelled) {
      const within = expression.filter(({ tick }) => tick >= playTick && tick <= playTick + playDurationTicks)
      expect(within.map(({ value }) => Math.round((100 * value) / 127))).toEqual([90, 95, 100, 92, 84, 75, 100])
    }
  })

  it('brushes: program 40, taps and slaps on the snare, the slap an accent louder, sweeps left out', () => {
    const stroke = (name: string, midi: number, quarter: number): PartNote => ({
      startTick: quarter * 5040,
      durationTicks: 2520,
      midi,
      name,
      velocity: 60,
    })
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1').slice(0, 1)).map((bar) => ({
      ...bar,
      parts: {
        ...bar.parts,
        drums: [stroke('btap', 38, 0), stroke('bslap', 39, 1), stroke('bsweep', 40, 2), stroke('handclap', 39, 3)],
      },
    }))
    const drums = read(arrangementOf(bars), { feel: 'notated' }).tracks.at(-1)!
    expect(drums.find((event) => event.type === 'programChange')).toMatchObject({ programNumber: 40, channel: 9 })
    const heard = heardNotes(drums)
    expect(heard.map(({ midi, tick }) => [midi, tick / 5040])).toEqual([
      [38, 0],
      [38, 1],
      [39, 3],
    ])
    const taps = heard.filter(({ midi }) => midi === 38)
    expect(taps[1]!.velocity - taps[0]!.velocity).toBeGreaterThan(15)
  })
  it('the same arrangement gives the same bytes; an empty one still reads', () => {
    expect(writeMidi(varied())).toEqual(writeMidi(varied()))
    expect(parseMidi(writeMidi(arrangementOf([]))).tracks).toHaveLength(7)
  })
})
