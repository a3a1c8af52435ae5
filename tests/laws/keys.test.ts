/** The key of labelled tunes, in a small sample; `npm run bench -- theory` has the whole. */
import { describe, expect, it } from 'vitest'
import { keyFigures, ownTunes, traditionalTunes } from './key-figures.js'

describe('keys of labelled tunes', () => {
  const tunes = [...ownTunes(24), ...traditionalTunes()]

  it('[KY2] at least 95 % are read from melody and chords without their signature, in every key', () => {
    const { right, missed } = keyFigures(tunes, 'melody and chords', true)
    expect(right, missed.join('\n')).toBeGreaterThanOrEqual(95)
  })

  it('[KY2] the signature makes it no worse', () => {
    const { right, missed } = keyFigures(tunes, 'melody, chords and signature', false)
    expect(right, missed.join('\n')).toBeGreaterThanOrEqual(95)
  })

  it('[KE6] traditional melodies alone give their key in 95 %', () => {
    const { right, missed } = keyFigures(traditionalTunes(), 'melody alone', false)
    expect(right, missed.join('\n')).toBeGreaterThanOrEqual(95)
  })

  it('[KE6] melody and chord notes, as notes only, give the key or its runner-up in 95 %', () => {
    const { amongTwo, missed } = keyFigures(tunes, 'melody and chord notes, as notes only', true)
    expect(amongTwo, missed.join('\n')).toBeGreaterThanOrEqual(95)
  })
})
