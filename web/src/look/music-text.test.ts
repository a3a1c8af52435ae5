import { afterEach, describe, expect, it } from 'vitest'
import { musicWords } from './music-text.js'
import { nameNotes } from './note-names.js'

describe('[UI72] note names in sentences about music', () => {
  afterEach(() => nameNotes('letters'))

  it.each([
    ['Tritone substitution: B7 for F7', 'Tritone substitution: H7 for F7', 'Tritone substitution: Si7 for Fa7'],
    [
      'over B♭∆ (F∆ over B): B is ♭9, Bb is 1',
      'over Bmaj7 (Fmaj7 over H): H is ♭9, B is 1',
      'over Si♭maj7 (Famaj7 over Si): Si is ♭9, Si♭ is 1',
    ],
    ['Vamp F∆–E♭m7', 'Vamp Fmaj7–E♭m7', 'Vamp Famaj7–Mi♭m7'],
    ['A dominant pedal on A', 'A dominant pedal on A', 'A dominant pedal on La'],
    ['A major, then Bdim7 and Bsus', 'A major, then Hdim7 and Hsus', 'La major, then Sidim7 and Sisus'],
    ['Free A B, groove from C', 'Free A B, groove from C', 'Free A B, groove from C'],
    [
      'Bars, Degrees, ABC, IV and ♭VII stay',
      'Bars, Degrees, ABC, IV and ♭VII stay',
      'Bars, Degrees, ABC, IV and ♭VII stay',
    ],
  ])('%s', (text, german, solfege) => {
    nameNotes('german')
    expect(musicWords(text)).toBe(german)
    nameNotes('solfege')
    expect(musicWords(text)).toBe(solfege)
  })
  it.each([
    ['Eø7 A7(♭13) in bar 25', 'Em7♭5 A7(♭13) in bar 25'],
    [
      '♭VI∆ for vi: D♭∆ for Dm7, B♭m∆9 then F∆♯11 and B°7',
      '♭VI∆ for vi: D♭maj7 for Dm7, B♭mMaj9 then Fmaj7♯11 and B°7',
    ],
  ])('qualities are written as in the bars: %s', (text, shown) => {
    expect(musicWords(text)).toBe(shown)
  })
})
