/** The suite of small ABC tunes, one construct of the standard each. */
import { describe, expect, it } from 'vitest'
import { ABC_SUITE } from '../fixtures/abc/suite.js'
import { faultsOfAbcCase } from './judge-abc.js'

describe('[RD33] ABC by construct', () => {
  it('more than 200 tunes, each under a name of its own', () => {
    expect(ABC_SUITE.length).toBeGreaterThan(200)
    const names = ABC_SUITE.map(({ section, what }) => `${section} ${what}`)
    expect(names.filter((name, at) => names.indexOf(name) !== at)).toEqual([])
  })
  it('each comes to what stands beside it, tells what it loses and nothing else, and sounds the same to abcjs', () => {
    const faults = ABC_SUITE.flatMap((one) => faultsOfAbcCase(one))
    if (faults.length > 0) console.log(faults.join('\n'))
    expect(faults).toEqual([])
  })
  it('a tune that comes to something else, or tells something else, would be found', () => {
    const [first] = ABC_SUITE
    expect(faultsOfAbcCase({ ...first!, melody: 'H5' })).toHaveLength(1)
    expect(faultsOfAbcCase({ ...first!, says: [/never told/] })).toHaveLength(1)
    expect(faultsOfAbcCase({ ...first!, abc: 'X:1\nT:t\nM:4/4\nL:1/8\nK:C\n!tenuto!c2 d2 e2 f2 |\n' })).toHaveLength(1)
  })
})
