import { describe, expect, it } from 'vitest'
import { compile } from '../compile/index.js'
import { defaultPlan } from '../compile/index.js'
import type { PassPlan } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
import { proposeOptions } from '../propose/index.js'
import { must } from '../units/index.js'
import { lanternTune } from '../../../tests/fixtures/lantern-band.js'

function soloistsIn(solo: Partial<PassPlan>): readonly (readonly string[] | undefined)[] {
  const plan = { ...defaultPlan(lanternTune()), lineup: must(LINEUPS['quintet'], 'the quintet') }
  const roadmap = plan.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, ...solo } : pass))
  return compile({ ...plan, roadmap }).arrangement.bars.map(({ soloists }) => soloists)
}

describe('[BA14] who may improvise stands in the bar', () => {
  it('nobody where the melody is played; in a solo nobody is named for, every line player', () => {
    const all = soloistsIn({})
    expect(all.slice(0, 32).every((one) => one === undefined)).toBe(true)
    expect(all.slice(32, 64).every((one) => one?.join() === 'trumpet,tenor-sax')).toBe(true)
  })
  it('the one that is named; those who play backgrounds do not', () => {
    expect(soloistsIn({ soloist: 'piano' })[40]).toEqual(['piano'])
    expect(soloistsIn({ backgrounds: true })[40]).toEqual(['trumpet'])
  })
  it('trading: the soloist and the drummer take turns', () => {
    const all = soloistsIn({ soloist: 'tenor-sax', trading: 4 })
    expect([32, 35, 36, 39, 40].map((index) => all[index]?.[0])).toEqual([
      'tenor-sax',
      'tenor-sax',
      'drums',
      'drums',
      'tenor-sax',
    ])
  })
  it('a vamp at the end has a last solo: the lead, in a trio the pianist, beside a singer who does not sing', () => {
    const start = defaultPlan(lanternTune())
    const vamp = proposeOptions(start.tune, 'ending', start).find(({ recipe }) => recipe === 'vamp')
    for (const [name, soloist] of [
      ['quintet', 'trumpet'],
      ['trio', 'piano'],
      ['quartet-voice', 'piano'],
    ] as const) {
      const plan = { ...start, lineup: must(LINEUPS[name], name) }
      const { bars } = compile({ ...plan, chosen: [{ kind: 'ending', option: must(vamp, 'a vamp') }] }).arrangement
      const round = bars.filter(({ provenance, melody }) => provenance.rule === 'EN5' && melody.length === 0)
      expect(round.length).toBeGreaterThan(2)
      for (const bar of round) {
        expect(bar.soloists).toEqual([soloist])
        if (name === 'quintet') expect(bar.parts['trumpet']).toEqual([])
      }
    }
  }, 30_000)
})
