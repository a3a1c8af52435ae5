import { afterEach, describe, expect, it } from 'vitest'
import { musicWords } from './music-text.js'
import { nameNotes } from './note-names.js'

describe('[UI72] note names in sentences about music', () => {
  afterEach(() => nameNotes('letters'))

  it.each([
    ['Tritone substitution: B7 for F7', 'Tritone substitution: H7 for F7', 'Tritone substitution: Si7 for Fa7'],
    [
      'over B♭∆ (F∆ over B): B is ♭9, Bb is 1',
      'over B∆ (F∆ over H): H is ♭9, B is 1',
      'over Si♭∆ (Fa∆ over Si): Si is ♭9, Si♭ is 1',
    ],
    ['Vamp F∆–E♭m7', 'Vamp F∆–E♭m7', 'Vamp Fa∆–Mi♭m7'],
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
})
