/** The traditional tunes are what their labels say: read without a remark, bars full, the same sound in an independent reader. */
import { describe, expect, it } from 'vitest'
import { barTicks, readTune } from '@chartloft/shared-theory'
import { soundOfAbcjs, soundOfTune } from '../fixtures/abc-sound.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

describe('[LW13] traditional tunes', () => {
  it('titles are unique', () => {
    expect(new Set(TRADITIONAL_TUNES.map((one) => one.title)).size).toBe(TRADITIONAL_TUNES.length)
  })
  for (const { title, abc, key, metre } of TRADITIONAL_TUNES)
    it(`${title} reads clean`, () => {
      const read = readTune('abc', abc)
      if (!read.ok) throw new Error(read.issues[0]?.message)
      const tune = read.value
      expect(tune.source.issues.filter((one) => one.severity !== 'note')).toEqual([])
      expect(`${tune.key.key.split(' ')[0]} ${tune.key.mode}`).toBe(key)
      expect(`${tune.metre.beats}/${tune.metre.beatType}`).toBe(metre)
      const full = barTicks(tune.metre)
      tune.bars.slice(1, -1).forEach((bar) => expect(bar.lengthTicks, `bar ${bar.barIndex}`).toBe(full))
      expect(soundOfTune(tune)).toEqual(soundOfAbcjs(abc))
    })
})
