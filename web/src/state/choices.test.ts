import type { Chosen, Option, Plan, Tune } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { withChoice, withoutChoice } from './choices.js'

const option = (id: string, kind: Option['kind'], at?: Option['at']): Option => ({
  id,
  kind,
  recipe: id,
  title: id,
  params: {},
  summary: '',
  reason: [{ rule: 'X1', text: '' }],
  score: 1,
  ...(at ? { at } : {}),
})
const here = { passId: 'chorus-1', sectionId: 'A3' }
const there = { passId: 'chorus-last', sectionId: 'A2' }
const plan = (...chosen: Chosen[]): Plan => ({ tune: {} as Tune, roadmap: [], chosen, lineup: [], edits: [] })

describe('[UI3] one choice in or out', () => {
  it('replaces the choice at the same place and leaves the same decision elsewhere alone', () => {
    const before = plan(
      { kind: 'harmony', at: here, option: option('h1', 'harmony', here) },
      { kind: 'harmony', at: there, option: option('h2', 'harmony', there) },
      { kind: 'groove', option: option('g', 'groove') },
    )
    const after = withChoice(before, { decision: 'harmony', at: here }, option('h3', 'harmony', here))
    expect(after.chosen.map((choice) => choice.option.id)).toEqual(['h2', 'g', 'h3'])
    expect(withoutChoice(before, { decision: 'groove' }).chosen.map((choice) => choice.option.id)).toEqual(['h1', 'h2'])
  })

  it('knows a choice without a place by its option’s place', () => {
    const before = plan({ kind: 'lift', option: option('l1', 'lift', there) })
    expect(withoutChoice(before, { decision: 'lift', at: there }).chosen).toEqual([])
    expect(withoutChoice(before, { decision: 'lift', at: here }).chosen).toHaveLength(1)
  })
})
