import { chord } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { chordType, withSigns } from './chord-symbol.js'

const set = (symbol: string) => {
  const { root, quality, raised, bass, spoken } = chordType(chord(symbol))
  return [root, quality, raised, bass ?? '', spoken].join('|')
}

describe('[UI6] chord symbols', () => {
  it.each([
    ['Ab6', 'A♭||6||A flat 6'],
    ['Fm7', 'F|m|7||F minor 7'],
    ['Cm7b5', 'C|m|7♭5||C minor 7 flat 5'],
    ['Bb7b9', 'B♭||7♭9||B flat 7 flat 9'],
    ['G7#9', 'G||7♯9||G 7 sharp 9'],
    ['Ebm7/Db', 'E♭|m|7|D♭|E flat minor 7 over D flat'],
    ['Abdim7', 'A♭||°7||A flat diminished 7'],
    ['N.C.', 'N.C.||||no chord'],
  ])('%s', (symbol, typeset) => {
    expect(set(symbol)).toBe(typeset)
  })

  it('keeps the slash of six-nine out of the bass', () => {
    expect(chordType({ root: 'C', symbol: 'C6/9' })).toMatchObject({ raised: '6/9' })
    expect(chordType({ root: 'C', symbol: 'C6/9' }).bass).toBeUndefined()
  })

  it('sets real signs in running text', () => {
    expect(withSigns('The held Bb is the third of Gbmaj7; F# leads.')).toBe(
      'The held B♭ is the third of G♭maj7; F♯ leads.',
    )
  })
})
