import { describe, expect, it } from 'vitest'
import { INSTRUMENTS, type Arrangement, type PartSpec } from '@chartloft/shared-theory'
import { soundsOf } from './sounds-of.js'

const part = (instrument: string, role: PartSpec['role'] = 'chords'): PartSpec => ({
  id: 'p',
  instrument,
  name: 'P',
  role,
})
const nameOf = (spec: PartSpec, groove = 'swing-medium', bars: Arrangement['bars'] = []) =>
  soundsOf({ lineup: [spec], groove, bars }).get('p')
const bar = (feel: string, name: string) =>
  ({
    feel,
    parts: { p: [{ startTick: 0, durationTicks: 1, midi: 38, name, velocity: 80 }] },
  }) as unknown as Arrangement['bars'][number]

describe('[AU16] who plays on which sound', () => {
  it('every instrument has one', () => {
    for (const { id, family } of INSTRUMENTS)
      expect(nameOf(part(id))?.name, id).toBe(
        family === 'voice' ? 'voice-ooh' : family === 'guitar' ? 'jazz-guitar' : family === 'drums' ? 'drum-kit' : id,
      )
  })
  it('a guitar takes nylon strings for a bossa, a singer who leads sings open', () => {
    expect(nameOf(part('guitar'), 'bossa')?.name).toBe('nylon-guitar')
    expect(nameOf(part('voice-alto', 'lead'))?.name).toBe('voice-aah')
  })
  it('drums: brushes where half of the bars are brushed, jazz drums where it swings, else plain sticks', () => {
    const drums = part('drum-kit', 'drums')
    expect(nameOf(drums, 'x', [bar('swing', 'ride'), bar('swing', 'btap')])?.kit).toBe('brushes')
    expect(nameOf(drums, 'x', [bar('street', 'btap'), bar('street', 'snare'), bar('street', 'snare')])?.kit).toBe(
      'sticks',
    )
    expect(nameOf(drums, 'x', [bar('swing', 'ride'), bar('swing', 'snare'), bar('even', 'snare')])?.kit).toBe('jazz')
    expect(nameOf(drums, 'x', [bar('even', 'snare')])?.kit).toBe('sticks')
  })
})
