/** What is proposed first for folk songs, dances and hymns: what an arranger of such tunes would try, before the colours of jazz. */
import { describe, expect, it } from 'vitest'
import { type Option, defaultPlan, proposeOptions, readTune } from '@chartloft/shared-theory'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

const NEAR = new Set([
  'diatonic-substitution',
  'secondary-dominants',
  'related-ii',
  'tonic-pedal',
  'modal-interchange',
  'diminished-passing',
  'line-cliche',
  'cycle-extension',
  'as-written',
])

const lists = TRADITIONAL_TUNES.map(({ title, abc }) => {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  const options: readonly Option[] = proposeOptions(read.value, 'harmony', defaultPlan(read.value))
  return { title, options, first: options.slice(0, 5).map(({ recipe }) => recipe) }
})
const withFirst = (recipe: string): readonly string[] =>
  lists.filter(({ first }) => first.includes(recipe)).map(({ title }) => title)

describe('[HA27] harmonies of traditional tunes', () => {
  it('every tune has five at least', () => {
    expect(lists.filter(({ options }) => options.length < 5).map(({ title }) => title)).toEqual([])
  })
  it('of all first fives nine in ten options are near ones', () => {
    const all = lists.flatMap(({ first }) => first)
    const near = all.filter((recipe) => NEAR.has(recipe))
    expect(near.length / all.length).toBeGreaterThanOrEqual(0.9)
  })
  it('a free root line or a long descent is among the first five of two tunes at most, where little else fits', () => {
    expect(withFirst('free-root-line').length).toBeLessThanOrEqual(2)
    expect(withFirst('chromatic-descent').length).toBeLessThanOrEqual(2)
  })
})
