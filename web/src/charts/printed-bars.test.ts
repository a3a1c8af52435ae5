import { describe, expect, it } from 'vitest'
import type { ChartMark, EngravedChart } from '@chartloft/shared-theory'
import { barsOfChart, changesSince, printOf, runsOf } from './printed-bars.js'

const chart = (notes: readonly string[], more: { readonly [bar: number]: Partial<ChartMark> } = {}): EngravedChart => ({
  musicXml: `<score><part id="P1">${notes.map((note, index) => `<measure number="${index + 1}">${index % 4 === 0 ? '<print new-system="yes"/>' : ''}<note>${note}</note></measure>`).join('')}</part></score>`,
  marks: notes.map((_, index) => ({ number: index + 1, playings: [index], letter: 'X', ...more[index] })),
})
const changes = (before: EngravedChart, after: EngravedChart) =>
  changesSince({ bars: barsOfChart(before) }, barsOfChart(after), after.marks)
const tune = 'CDEFGABC'.split('')

describe('[UI90] what has changed since a person’s last print', () => {
  it('nothing, though letters and lines fall otherwise', () => {
    const after = chart(tune, { 0: { letter: 'B' } })
    const moved = { ...after, musicXml: after.musicXml.replaceAll('<print new-system="yes"/>', '') }
    expect(changes(chart(tune), moved)).toEqual({ changed: [], gone: [] })
  })
  it('a bar rewritten, in notes or in what stands above it', () => {
    const rewritten = tune.map((note, index) => (index === 2 ? 'E♭' : note))
    expect(changes(chart(tune), chart(rewritten))).toEqual({ changed: [3], gone: [] })
    expect(changes(chart(tune), chart(tune, { 4: { jump: 'D.C.' } }))).toEqual({ changed: [5], gone: [] })
  })
  it('bars put in do not make the rest new; bars left out are told with their place', () => {
    expect(changes(chart(tune), chart(['intro', 'intro 2', ...tune]))).toEqual({ changed: [1, 2], gone: [] })
    expect(changes(chart(tune), chart(tune.slice(2)))).toEqual({ changed: [], gone: [{ count: 2, before: 1 }] })
    expect(changes(chart(tune), chart(tune.slice(0, 6)))).toEqual({ changed: [], gone: [{ count: 2, before: 0 }] })
    const shorter = [...tune.slice(0, 3), 'new', ...tune.slice(6)]
    expect(changes(chart(tune), chart(shorter))).toEqual({ changed: [4], gone: [{ count: 2, before: 5 }] })
  })
  it('every part of a score counts', () => {
    const two = (second: string): EngravedChart => {
      const { musicXml, marks } = chart(tune)
      return { musicXml: `${musicXml}<part id="P2"><measure number="1"><note>${second}</note></measure></part>`, marks }
    }
    expect(changes(two('x'), two('y')).changed).toEqual([1])
  })
  it('runs are said as runs', () => {
    expect(runsOf([3, 4, 5, 9, 11, 12])).toBe('3–5, 9, 11–12')
    expect(runsOf([])).toBe('')
  })
  it('what a browser kept is looked at before it is believed', () => {
    const print = { at: 1, version: 7, bars: ['a'] }
    expect(printOf({ score: print }, 'score')).toEqual(print)
    for (const wrong of [null, {}, { score: 3 }, { score: { at: 1, version: 7, bars: [1] } }, { score: { bars: [] } }])
      expect(printOf(wrong, 'score')).toBeUndefined()
  })
})
