import { describe, expect, it } from 'vitest'
import { outOfReach } from './reach.js'

const trumpet = { instrument: 'trumpet', name: 'Trumpet', role: 'lead' } as const
const clarinet = { instrument: 'clarinet', name: 'Clarinet', role: 'horn' } as const
const bass = { instrument: 'double-bass', name: 'Bass', role: 'bass' } as const

describe('[UI41] whether the lead reaches the tune', () => {
  it('has nothing to say where it does, to the last half step', () => {
    expect(outOfReach([55, 79], trumpet)).toBeUndefined()
  })

  it('counts the half steps on both sides and names who else reaches all of it', () => {
    expect(outOfReach([54, 82], trumpet, [bass, clarinet])).toEqual({ below: 1, above: 3, other: 'Clarinet' })
    expect(outOfReach([54, 95], trumpet, [bass, clarinet])).toEqual({ below: 1, above: 16 })
  })

  it('offers another key only where one is enough, else the octave with it, else neither', () => {
    expect(outOfReach([62, 84], trumpet)).toEqual({ below: 0, above: 5, key: true })
    expect(outOfReach([50, 66], trumpet)).toEqual({ below: 5, above: 0, key: true })
    expect(outOfReach([64, 77], { instrument: 'voice-bass' })).toEqual({ below: 0, above: 17, octave: 'lower' })
    expect(outOfReach([40, 55], { instrument: 'flute' })).toEqual({ below: 20, above: 0 })
    expect(outOfReach([45, 60], { instrument: 'flute' })).toEqual({ below: 15, above: 0, octave: 'higher' })
  })
})
