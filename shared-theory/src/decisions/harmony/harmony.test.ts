import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { passesOf, rowDifferences } from '../../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../../tests/fixtures/worked-rows.js'
import { harmonyRecipes } from './index.js'

const tune = lanternSlip()
const bars = passesOf(tune, 'chorus-1')
const lastA = new Trial(harmonyRecipes, tune, bars, { passId: 'chorus-1', sectionId: 'A3' })
const diff = (id: string, params: Parameters<Trial['apply']>[1], expected: string, enharmonic = false) => {
  const { bars: made, issues } = lastA.apply(id, params)
  const named = new Set(
    expected
      .trim()
      .split('\n')
      .map((line) => Number(line.split('|')[0])),
  )
  const stray = made
    .filter((bar, index) => JSON.stringify(bar.chords) !== JSON.stringify(bars[index]?.chords) && !named.has(index + 1))
    .map((bar) => `bar ${bar.barIndex + 1} changed too: ${bar.chords.map((placed) => placed.chord.symbol)}`)
  const melody = made.flatMap((bar, index) =>
    JSON.stringify(bar.melody) === JSON.stringify(bars[index]?.melody) ? [] : [`bar ${index + 1}: melody changed`],
  )
  return [
    ...issues.map(({ message }) => message),
    ...rowDifferences(made, expected, { len: 4, enharmonic }),
    ...stray,
    ...melody,
  ]
}

describe('worked rows on the last eight bars', () => {
  it('[HA3] tritone substitution: only the dominant that falls a fifth', () => {
    expect(diff('tritone-substitution', { where: 'cadence' }, '30 | Gb7alt | =')).toEqual([])
    expect(diff('tritone-substitution', { where: 'approach' }, '28 | Gb7b9 | =')).toEqual([])
  })
  it('[HA4] related ii with its secondary dominant', () => {
    const offers = lastA.offers('related-ii')
    expect(offers.map(({ params }) => params['bar'])).toEqual([0, 1])
    expect(diff('related-ii', { bar: 0 }, '25 | Em7b5 A7b13 | =')).toEqual([])
    expect(diff('related-ii', { bar: 1 }, '26 | Am7 D7 | =')).toEqual([])
  })
  it('[HA5] secondary dominants', () => {
    expect(diff('secondary-dominants', { where: 'all' }, '25 | Fmaj7 A7b13 | =\n26 | Dm7 D7 | =')).toEqual([])
  })
  it('[HA6] back door: full pair refused, short and delayed stand', () => {
    expect(diff('backdoor', { form: 'short' }, '30 | Eb7b9#11 | =')).toEqual([])
    expect(diff('backdoor', { form: 'delayed' }, '31 | Bbm7 Eb9 | =')).toEqual([])
    const full = lastA.apply('backdoor', { form: 'full' })
    expect(full.bars).toEqual(bars)
    expect(full.issues[0]?.message).toContain('Bar 29: D over B♭m7 is its major third.')
  })
})
