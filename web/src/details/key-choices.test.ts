import { describe, expect, it } from 'vitest'
import { defaultPlan, keySignatureOf, keysForRange, readTune } from '@chartloft/shared-theory'
import { DEMO_TUNES } from '@chartloft/demo'
import { keyChoices, keyFields } from './key-choices.js'

const read = readTune('abc', DEMO_TUNES[0]?.abc ?? '')
if (!read.ok) throw new Error('the demo tune reads')
const tune = read.value
const fits = keysForRange(tune, defaultPlan(tune), [55, 72])

describe('[UI42] the keys to choose from', () => {
  it('are the best few, with the written one always there, marked as on while no other is asked for', () => {
    const choices = keyChoices(fits, tune.key, undefined, 3)
    expect(choices.slice(0, 3).map(({ semitones }) => semitones)).toEqual(
      fits.slice(0, 3).map(({ semitones }) => semitones),
    )
    expect(choices.filter(({ isWritten }) => isWritten)).toHaveLength(1)
    expect(choices.filter(({ isNow }) => isNow).map(({ key }) => key)).toEqual([tune.key.key])
    expect(choices.every(({ reason }) => reason.length > 5)).toBe(true)
  })

  it('hold the key that is on, called as it was asked for', () => {
    const other = keyChoices(fits, keySignatureOf('C major'), 'F# major', 0)
    expect(other.map(({ key, isNow, isWritten }) => [key, isNow, isWritten])).toContainEqual(['F# major', true, false])
    expect(other).toHaveLength(2)
  })

  it('send no key for the written one', () => {
    expect(keyFields({ key: 'Eb major', isWritten: true })).toEqual({})
    expect(keyFields({ key: 'Eb major', isWritten: false })).toEqual({ key: 'Eb major' })
  })
})
