/** Folding at full sample: nothing lost, how short, how fast. */
import { it } from 'vitest'
import { LINEUPS, compile, defaultPlan, fold, unfold } from '@chartloft/shared-theory'
import { measureFold, shareOfThree, writtenTunes } from '../../laws/fold-laws.js'
import { madeTune } from '../../fixtures/made-tunes.js'
import { figure, processorMs } from '../figure.js'

it('unfold(fold(x)) is x', () => {
  const { faults, plans, played, written, withEndings, withJump } = measureFold(2000, 412)
  if (faults.length > 0) console.log(faults.slice(0, 20).join('\n'))
  figure({
    id: 'RM4',
    what: 'seeded plans whose folded form breaks a promise',
    value: faults.length,
    unit: '',
    target: { exactly: 0 },
    note: `${plans} plans, seed 412; ${withEndings} with endings, ${withJump} with D.S. or D.C.`,
  })
  figure({
    id: 'RM1',
    what: 'bars written of bars played, over those plans',
    value: (100 * written) / played,
    unit: '%',
    target: { atMost: 70 },
    note: `${written} of ${played}`,
  })
})

it('three equal choruses', () => {
  const tunes = [...writtenTunes(), ...Array.from({ length: 40 }, (_, seed) => madeTune(seed))]
  figure({
    id: 'RM6',
    what: 'three equal choruses: bars written of bars played, the longest',
    value: 100 * Math.max(...tunes.map(shareOfThree)),
    unit: '%',
    target: { atMost: 70 },
    note: `${tunes.length} tunes`,
  })
})

it('speed', () => {
  const [tune] = writtenTunes()
  const base = defaultPlan(tune!)
  const roadmap = base.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4 } : pass))
  const { arrangement } = compile({ ...base, roadmap, lineup: LINEUPS['septet']! })
  const folded = fold(arrangement)
  figure({
    id: 'RM1',
    what: `fold of ${arrangement.bars.length} bars for a septet`,
    value: processorMs(() => fold(arrangement), 15),
    unit: 'ms',
    target: { atMost: 50 },
  })
  figure({
    id: 'RM4',
    what: `unfold of ${arrangement.bars.length} bars for a septet`,
    value: processorMs(() => unfold(folded), 15),
    unit: 'ms',
    target: { atMost: 5 },
  })
  const most = compile({
    ...base,
    roadmap: [
      { ...roadmap[0]!, times: 32 },
      { ...roadmap[1]!, times: 32 },
    ],
  }).arrangement
  figure({
    id: 'RM1',
    what: `fold of ${most.bars.length} bars`,
    value: processorMs(() => fold(most)),
    unit: 'ms',
    target: { atMost: 1000 },
  })
})
