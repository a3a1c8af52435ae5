/** The suite of small Standard MIDI Files, one feature each. */
import { describe, expect, it } from 'vitest'
import { MIDI_SUITE } from '../fixtures/midi/suite.js'
import { faultsOfMidiCase } from './judge-midi.js'

describe('[RD34] MIDI by feature', () => {
  it('more than 60 files, each under a name of its own', () => {
    expect(MIDI_SUITE.length).toBeGreaterThan(60)
    expect(new Set(MIDI_SUITE.map(({ name }) => name)).size).toBe(MIDI_SUITE.length)
  })
  it('each comes to what stands beside it, and tells what it loses and nothing else', () => {
    const faults = MIDI_SUITE.flatMap((one) => faultsOfMidiCase(one))
    if (faults.length > 0) console.log(faults.join('\n'))
    expect(faults).toEqual([])
  })
  it('a file that comes to something else, or tells something else, would be found', () => {
    const [first] = MIDI_SUITE
    expect(faultsOfMidiCase({ ...first!, melody: 'H5' })).toHaveLength(1)
    expect(faultsOfMidiCase({ ...first!, says: [/never told/] })).toHaveLength(1)
    expect(faultsOfMidiCase({ ...first!, refusedBy: 'RD1' })).toHaveLength(1)
  })
})
