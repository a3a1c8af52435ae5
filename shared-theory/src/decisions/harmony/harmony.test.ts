import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, passesOf, rowDifferences } from '../../../../tests/fixtures/rows.js'
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
    .map((bar) => `bar ${bar.barIndex + 1} changed too: ${chordField(bar.chords)}`)
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
  it('[HA7] diminished passing: iii–♭iii°–ii', () => {
    expect(
      diff('diminished-passing', { form: 'iii-biii-ii', to: 4, rate: 1 }, '27 | Am7 | =\n28 | Abdim7 | ='),
    ).toEqual([])
  })
  it('[HA14] modal interchange: ♭VI∆ for vi first, iiø refused', () => {
    const [first] = lastA.offers('modal-interchange')
    expect(diff('modal-interchange', first?.params ?? {}, '26 | Dbmaj7#11 | =')).toEqual([])
    const refused = lastA.apply('modal-interchange', { swap: 'iio-for-ii' })
    expect(refused.bars).toEqual(bars)
    expect(refused.issues[0]?.message).toContain('Bar 27: D does not fit Gø7')
  })
  it('[HA9] chromatic descent, one a bar to bar 29', () => {
    const expected = '25 | Bm7b5 | =\n26 | Bbm6 | =\n27 | F/A | =\n28 | Abdim7 | =\n29 | Gm7 | ='
    expect(diff('chromatic-descent', { rate: 1, from: 0, target: 4 }, expected)).toEqual([])
  })
  it('[HA9] going on to the tonic, ♭II∆ gives way to the altered dominant', () => {
    const expected = '25 | Bm7b5 | =\n26 | Bbm6 | =\n27 | F/A | =\n28 | Abdim7 | =\n29 | Gm7 | =\n30 | Gb7alt | ='
    expect(diff('chromatic-descent', { rate: 1, from: 0, target: 6 }, expected)).toEqual([])
  })
  it('[HA10] from a half step above', () => {
    expect(diff('half-step-above', { form: 'delay', bar: 6 }, '31 | Dbmaj7 Eb9 | =')).toEqual([])
    expect(diff('half-step-above', { form: 'before-dominant', bar: 3 }, '28 | Dbmaj7 C7@3 | =')).toEqual([])
    expect(lastA.apply('half-step-above', { form: 'before-dominant', bar: 5 }).issues).toHaveLength(1)
  })
  it('[HA11] everything up a half step', () => {
    const expected = `
25 | F#mmaj7 Eb7@3 | =
26 | Eb13 | =
27 | Ab7b9#11 | =
28 | Db7#9#11 | =
29 | Ab7#11 | =
30 | Db7alt | =
31 | Gbmaj7 | =
32 | F6 | =`
    expect(diff('up-a-half-step', {}, expected)).toEqual([])
  })
  it('[HA12] free root line', () => {
    const expected = `
25 | Bbmaj7 | =
26 | Eb13 | =
27 | Ab7b9#11 | =
28 | Db7#9#11 | =
29 | Gb7#11b13 | =
30 | Bm7b5 | =
31 | Bbm6 | =
32 | F6 | =`
    const roots = ['Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'Bb', 'F']
    expect(diff('free-root-line', { roots }, expected)).toEqual([])
    expect(diff('free-root-line', { roots: [5, 10, 3, 8, 1, 6, 5, 0] }, expected)).toEqual([])
  })
})
