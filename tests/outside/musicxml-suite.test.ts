/** The suite of small MusicXML files, one feature each, and mutations of them. */
import { describe, expect, it } from 'vitest'
import { MUSICXML_SUITE } from '../fixtures/musicxml/suite.js'
import { fuzzSuite } from './judge-mutations.js'
import { faultsOfCase, lossesOfSuite } from './judge-suite.js'

describe('[RD31] MusicXML by feature', () => {
  it('more than 150 files, each under a name of its own', () => {
    expect(MUSICXML_SUITE.length).toBeGreaterThan(150)
    expect(new Set(MUSICXML_SUITE.map(({ name }) => name)).size).toBe(MUSICXML_SUITE.length)
  })
  it('each comes to what stands beside it', () => {
    expect(MUSICXML_SUITE.flatMap((one) => faultsOfCase(one))).toEqual([])
  })
  it('a file that comes to something else would be found', () => {
    const [first] = MUSICXML_SUITE
    expect(faultsOfCase({ ...first!, chords: 'H7' })).toHaveLength(1)
    expect(faultsOfCase({ ...first!, refusedBy: 'RD13' })).toHaveLength(1)
  })
  it('what is lost is said: second voices, lower notes, later verses of a chord, quarter tones', () => {
    const losses = lossesOfSuite()
    for (const name of ['voices: two', 'notes together', 'tie without an end', 'a bar too short', 'cue notes'])
      expect(losses.get(name) ?? [], name).not.toEqual([])
  })
})

describe('[RD32] mutations of valid files', () => {
  for (const format of ['musicxml', 'abc', 'midi'] as const)
    it(`two hundred of ${format} are answered, in words where they are refused, in under two seconds`, () => {
      const { faults, read, slowestMs } = fuzzSuite(format, 200, 7)
      expect(faults).toEqual([])
      expect(read).toBeGreaterThan(20)
      expect(slowestMs).toBeLessThan(2000)
    })
})
