import { describe, expect, it } from 'vitest'
import { fileName } from './downloads.js'

describe('[UI31] file names come from titles and stay plain', () => {
  it('letters of any script, no paths', () => {
    expect(fileName('Lantern Slip', 'tenor-sax', 'musicxml')).toBe('lantern-slip-tenor-sax.musicxml')
    expect(fileName('../../Übung: “Nr. 1”', '', 'mid')).toBe('übung-nr-1.mid')
    expect(fileName('<>', 'score', 'musicxml')).toBe('chart-score.musicxml')
  })
})
