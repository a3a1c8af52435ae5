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

  it('says when it would lie well an octave away', () => {
    expect(outOfReach([60, 76], { instrument: 'voice-bass' })).toEqual({ below: 0, above: 16 })
    expect(outOfReach([57, 72], { instrument: 'voice-bass' })).toEqual({ below: 0, above: 12, octave: 'lower' })
    expect(outOfReach([50, 66], trumpet)).toEqual({ below: 5, above: 0, octave: 'higher' })
  })
})
