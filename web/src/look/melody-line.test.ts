import type { MelodyNote } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { melodyPath } from './melody-line.js'

const note = (startTick: number, durationTicks: number, midi: number): MelodyNote => ({
  startTick,
  durationTicks,
  midi,
  name: 'C5',
})

describe('[UI7] the melody’s outline', () => {
  it('holds one note level over the bar', () => {
    expect(melodyPath({ lengthTicks: 20160, melody: [note(0, 20160, 72)] }, [60, 84])).toBe('M4 16H76')
  })

  it('eases between notes, higher notes higher', () => {
    const path = melodyPath({ lengthTicks: 20160, melody: [note(0, 10080, 60), note(10080, 10080, 84)] }, [60, 84])
    expect(path).toBe('M4 28.5H37.5C41.3 28.5 41.3 3.5 45 3.5H76')
  })

  it('lifts the pen over a rest', () => {
    const path = melodyPath({ lengthTicks: 20160, melody: [note(0, 5040, 60), note(15120, 5040, 60)] }, [60, 84])
    expect(path.match(/M/g)).toHaveLength(2)
  })

  it('is empty without melody', () => {
    expect(melodyPath({ lengthTicks: 20160, melody: [] }, [60, 84])).toBe('')
  })
})
