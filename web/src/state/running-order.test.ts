import type { BoardState, Option } from '@chartloft/shared-theory'
import { keySignatureOf } from '@chartloft/shared-theory'
import { EMPTY_STATE } from '@chartloft/shared-theory/board'
import { describe, expect, it } from 'vitest'
import { barAfter, barMs, runningOrder } from './running-order.js'
import { bar, renumber } from './test-bars.js'

const endingOption: Option = {
  id: 'e1',
  kind: 'ending',
  recipe: 'delayed-tonic',
  title: 'Delayed tonic',
  params: {},
  summary: '',
  reason: [{ rule: 'EN1', text: '' }],
  score: 1,
}
const section = (pass: string, sectionId: string, symbols: readonly string[], changes = {}) =>
  symbols.map((symbol, index) => bar(index, symbol, { pass, sectionId, ...changes }))
const isEnding = { provenance: { decision: 'ending', optionId: 'e1', rule: 'EN1' } } as const
const lifted = { key: keySignatureOf('D major') }
const bars = renumber([
  ...section('chorus-1', 'A1', ['C', 'G7']),
  ...section('chorus-1', 'A2', ['C', 'G7']),
  ...section('solo-1', 'A1', ['C', 'G7']),
  ...section('solo-1#2', 'A1', ['C', 'G7']),
  ...section('chorus-last', 'A1', ['D', 'A7'], lifted),
  ...section('ending', 'ending', ['D6'], { ...lifted, ...isEnding }),
])
const state: BoardState = {
  ...EMPTY_STATE,
  roadmap: [
    { id: 'chorus-1', kind: 'chorus', sections: ['A1', 'A2'] },
    { id: 'solo-1', kind: 'solo', sections: ['A1'], times: 2 },
    { id: 'chorus-last', kind: 'chorus', sections: ['A1'] },
  ],
}

describe('[UI4] the running order', () => {
  const passes = runningOrder(bars, state)

  it('lists passes in playing order, repetitions once', () => {
    expect(passes.map(({ id, kind, times, firstBar, bars }) => [id, kind, times, firstBar, bars])).toEqual([
      ['chorus-1', 'chorus', 1, 0, 4],
      ['solo-1', 'solo', 2, 4, 4],
      ['chorus-last', 'chorus', 1, 8, 2],
      ['ending', 'ending', 1, 10, 1],
    ])
    expect(passes.map(({ turn, turns }) => `${turn + 1}/${turns}`)).toEqual(['1/2', '1/1', '2/2', '1/1'])
    expect(passes[1]?.cards.map((card) => card.bars.map(({ barNumber }) => barNumber))).toEqual([[5, 6]])
  })

  it('times add up: 2 s a bar at 120', () => {
    expect(barMs(bars[0])).toBe(2000)
    expect(passes[2]?.startMs).toBe(16_000)
    expect(passes[1]?.lengthMs).toBe(8000)
    expect(passes[0]?.cards[1]?.startMs).toBe(4000)
  })

  it('knows which bar a playback has reached', () => {
    const from = { fromTick: 2 * 20160, tempoScale: 1 }
    expect(barAfter(bars, from, 0)).toBe(2)
    expect(barAfter(bars, from, 4500)).toBe(4)
    expect(barAfter(bars, { ...from, tempoScale: 0.5 }, 4500)).toBe(3)
    expect(barAfter(bars, from, 600_000)).toBeUndefined()
    expect(barAfter(bars, { ...from, loop: [4 * 20160, 6 * 20160] }, 9000)).toBe(4)
  })

  it('says where the key changes', () => {
    expect(passes[2]?.cards[0]?.keyBefore?.key).toBe('C major')
    expect(passes[2]?.cards[0]?.startKey.key).toBe('D major')
    expect(passes[3]?.cards[0]?.keyBefore).toBeUndefined()
  })

  it('pencils a bar until every choice behind it is locked', () => {
    const ending = (on: BoardState) => runningOrder(bars, on)[3]?.cards[0]?.bars[0]
    expect(ending(state)).toMatchObject({ isChanged: true, isAdded: true, isPencilled: true })
    const locks = [{ slot: { decision: 'ending' }, option: endingOption, bars: [], tuneHash: 'x', seq: 3 }] as const
    expect(ending({ ...state, locks })?.isPencilled).toBe(false)
    expect(passes[0]?.cards[0]?.bars[0]).toMatchObject({ isChanged: false, isAdded: false, isPencilled: false })
  })
})
