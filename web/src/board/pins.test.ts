import { describe, expect, it } from 'vitest'
import { anchorAt, barPlaces, type DraftComment } from '@chartloft/shared-theory/board'
import { bar, renumber } from '../state/test-bars.js'
import { pinBars } from './desk/pin-bars.js'
import { pinNumbers, pinsAt } from './pins.js'

const TUNE = [0, 1, 2, 3].map((index) => bar(index, 'F'))
const opened = (optionId: string) =>
  renumber([
    bar(0, 'C7', { pass: 'opening', sectionId: 'opening', provenance: { decision: 'opening', optionId, rule: 'OP1' } }),
    ...TUNE,
  ])
const comment = (id: string, anchor: DraftComment['anchor'], resolved = false): DraftComment => ({
  id,
  anchor,
  text: id,
  by: 'Tove',
  at: 0,
  resolved,
})

describe('[UI51] comments at their bars', () => {
  const places = barPlaces(TUNE)
  const [, , third] = places.map((place) => anchorAt(place)) as [unknown, unknown, DraftComment['anchor']]

  it('a pin stands at the bar its music is in now; what is done with has none', () => {
    const comments = [comment('a', third), comment('b', third, true), comment('c', third)]
    expect([...pinNumbers(comments)]).toEqual([
      ['a', 1],
      ['c', 2],
    ])
    const pins = pinsAt(barPlaces(opened('pedal')), comments)
    expect([...pins.keys()]).toEqual([3])
    expect(pins.get(3)?.map(({ number }) => number)).toEqual([1, 2])
  })

  it('a tune bar that several options show is offered once, what each adds is its own and named', () => {
    const music = ['pedal', 'vamp'].map((optionId, index) => ({
      places: barPlaces(opened(optionId)),
      shown: [0, 1, 2],
      option: index + 1,
    }))
    expect(pinBars(music).map(({ number, option }) => [number, option])).toEqual([
      [1, 1],
      [1, 2],
      [2, undefined],
      [3, undefined],
    ])
    expect(pinBars([{ places, shown: [0, 1] }]).map(({ number, option }) => [number, option])).toEqual([
      [1, undefined],
      [2, undefined],
    ])
  })
})
