import { describe, expect, it } from 'vitest'
import { ferryBell, lanternSlip, slackTide } from '../../../tests/fixtures/worked-rows.js'
import { passesOf } from '../../../tests/fixtures/rows.js'
import { defaultPlan } from '../compile/index.js'
import type { Option, Tune, Wish } from '../contract/index.js'
import { stableJson } from '../units/index.js'
import { endingRecipes } from './ending/index.js'
import { openingRecipes } from './opening/index.js'

function paramsOf(tune: Tune, kind: 'opening' | 'ending', recipe: string, wish: Wish): readonly Option['params'][] {
  const found = (kind === 'opening' ? openingRecipes : endingRecipes).find(({ id }) => id === recipe)
  const answer = found?.offer({ tune, plan: defaultPlan(tune), bars: passesOf(tune, 'chorus-last'), wish })
  return answer && 'offers' in answer ? answer.offers.map(({ params }) => params) : []
}

describe('[OP16] openings of the length asked for, and more of them', () => {
  it('16 bars of pedal, vamp, drums, turnaround and falling bass; 3 bars of a vamp', () => {
    for (const recipe of ['dominant-pedal', 'vamp', 'drums-alone', 'turnaround', 'bass-cliche'])
      expect(
        paramsOf(lanternSlip(), 'opening', recipe, { bars: 16 }).some(({ bars }) => bars === 16),
        recipe,
      ).toBe(true)
    expect(paramsOf(lanternSlip(), 'opening', 'vamp', { bars: 3 }).some(({ bars }) => bars === 3)).toBe(true)
  })
  it('a length that is none changes nothing', () => {
    for (const bars of [0, -4, 2.5, 1000])
      expect(paramsOf(lanternSlip(), 'opening', 'vamp', { bars })).toEqual(
        paramsOf(lanternSlip(), 'opening', 'vamp', {}),
      )
  })
  it('more holds all of less, in major, minor and blues', () => {
    for (const tune of [lanternSlip(), ferryBell(), slackTide()]) {
      for (const { id } of openingRecipes) {
        const lists = [0, 1, 2].map((more) => paramsOf(tune, 'opening', id, { more }).map(stableJson))
        expect(lists[1], id).toEqual(expect.arrayContaining(lists[0] ?? []))
        expect(lists[2], id).toEqual(expect.arrayContaining(lists[1] ?? []))
      }
      expect(paramsOf(tune, 'opening', 'vamp', { more: 2 }).length).toBeGreaterThan(
        paramsOf(tune, 'opening', 'vamp', {}).length + 5,
      )
    }
  })
})

describe('[EN17] endings of the length asked for, and more of them', () => {
  it('a tag four times is twelve bars, a vamp sixteen; a delayed tonic one bar or four', () => {
    expect(paramsOf(lanternSlip(), 'ending', 'tag', { bars: 12 }).some(({ times }) => times === 4)).toBe(true)
    expect(paramsOf(lanternSlip(), 'ending', 'vamp', { bars: 16 }).some(({ bars }) => bars === 16)).toBe(true)
    for (const bars of [1, 4])
      expect(
        paramsOf(lanternSlip(), 'ending', 'delayed-tonic', { bars }).filter((own) => own['bars'] === bars).length,
      ).toBeGreaterThan(5)
  })
  it('the second time more is asked for all thirty pairs are there', () => {
    const pairs = paramsOf(lanternSlip(), 'ending', 'delayed-tonic', { more: 2 }).filter(
      ({ chords, bars }) => Array.isArray(chords) && chords.length === 2 && bars === 2,
    )
    expect(pairs).toHaveLength(30)
  })
  it('more holds all of less', () => {
    for (const { id } of endingRecipes) {
      const lists = [0, 1, 2].map((more) => paramsOf(slackTide(), 'ending', id, { more }).map(stableJson))
      expect(lists[1], id).toEqual(expect.arrayContaining(lists[0] ?? []))
      expect(lists[2], id).toEqual(expect.arrayContaining(lists[1] ?? []))
    }
  })
})
