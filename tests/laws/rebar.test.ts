/** Re-barring on tunes nobody chose, and how many grooves each tune is offered. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { type Tune, readTune } from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { oddTune } from '../fixtures/odd-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'
import { UNLIKE_TUNES } from '../fixtures/unlike-tunes.js'
import { groovesOffered, METRE_PAIRS } from './groove-laws.js'
import { measureRebarring } from './rebar-laws.js'

const read = (abc: string): Tune => {
  const made = readTune('abc', abc)
  if (!made.ok) throw new Error(JSON.stringify(made.issues))
  return made.value
}
const WRITTEN = [...DEMO_TUNES.map(({ abc }) => abc), ...MORE_TUNES, ...Object.values(UNLIKE_TUNES)].map(read)
const TRADITIONAL = TRADITIONAL_TUNES.filter((_, index) => index % 9 === 0).map(({ abc }) => read(abc))
const MADE = Array.from({ length: 14 }, (_, seed) => madeTune(seed))
const ODD = Array.from({ length: 24 }, (_, seed) => oddTune(seed))

describe('[LW20] re-barring', () => {
  it('loses nothing, adds no clash and no short note, and is undone to the identical tune', () => {
    const { faults, pairs, downbeats, strong } = measureRebarring([...WRITTEN, ...TRADITIONAL, ...MADE, ...ODD])
    expect(faults.slice(0, 10)).toEqual([])
    expect(strong / downbeats).toBeGreaterThanOrEqual(0.95)
    for (const pair of METRE_PAIRS) expect(pairs, pair).toContain(pair)
  })
})

describe('[LW21] grooves offered', () => {
  it('twelve or more to a tune in four, eight or more to one in three, five or more to any of eight bars', () => {
    const few = [...WRITTEN, ...TRADITIONAL, ...MADE.slice(0, 7)]
      .map(groovesOffered)
      .filter(({ offered, wanted }) => offered < wanted)
    expect(few).toEqual([])
  })
})
