/** What an arranger tries first on a plain tune: chords of the key, before the colours of jazz. */
import { describe, expect, it } from 'vitest'
import { passesOf, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { harmonyRecipes } from './index.js'

/** Eight bars of triads and V7 in G, as any songbook has them. */
const PLAIN = `1 | G | B4:2 D5:2
2 | G | B4:2 G4:2
3 | C | E5:2 C5:2
4 | G | B4:4
5 | G | B4:2 D5:2
6 | D7 | A4:2 C5:2
7 | D7 | A4:2 F#4:2
8 | G | G4:4`
/** The same melody over chords of a jazz player. */
const COLOURED = PLAIN.replaceAll('| G |', '| Gmaj7 |').replaceAll('| C |', '| Am7 |')

const trialOf = (rows: string): Trial => {
  const tune = tuneOfRows(rows, { len: 4, key: 'G major' })
  return new Trial(harmonyRecipes, tune, passesOf(tune, 'chorus-1'), { passId: 'chorus-1' })
}
const plain = trialOf(PLAIN)
const coloured = trialOf(COLOURED)
const symbols = (trial: Trial, recipe: string, params: Parameters<Trial['apply']>[1]): string =>
  trial
    .apply(recipe, params)
    .bars.map((bar) => bar.chords.map(({ chord }) => chord.symbol).join(' '))
    .join(' | ')

describe('[HA26] a chord of the key for its neighbour a third away', () => {
  it('the second bar of a tonic goes to the relative minor, home at both ends stays', () => {
    // Bars 4 and 5 are one stay of two bars as well.
    expect(symbols(plain, 'diatonic-substitution', { swap: 'vi-for-I' })).toBe('G | Em | C | G | Em | D7 | D7 | G')
  })
  it('ii stands in for a IV of one bar, whole; in a tune of sevenths with its own', () => {
    expect(symbols(plain, 'diatonic-substitution', { swap: 'ii-for-IV' })).toBe('G | G | Am | G | G | D7 | D7 | G')
    expect(symbols(coloured, 'diatonic-substitution', { swap: 'IV-for-ii' })).toBe(
      'Gmaj7 | Gmaj7 | Cmaj7 | Gmaj7 | Gmaj7 | D7 | D7 | Gmaj7',
    )
  })
  it('an exchange nobody knows is refused in words and changes nothing', () => {
    const { bars, issues } = plain.apply('diatonic-substitution', { swap: 'toString' })
    expect(bars).toEqual(plain.bars)
    expect(issues[0]?.message).toContain('There is no such exchange.')
  })
})

describe('[HA27] plain tunes first get what is near', () => {
  const suits = (trial: Trial, recipe: string): number => trial.offers(recipe)[0]?.suits ?? Number.NaN

  it('on triads of the key the relative minor suits better than a tritone or a free root line, and these say why', () => {
    for (const far of ['tritone-substitution', 'free-root-line', 'chromatic-descent']) {
      expect(suits(plain, 'diatonic-substitution'), far).toBeGreaterThan(suits(plain, far))
      expect(plain.offers(far)[0]?.reason.map(({ rule }) => rule)).toContain('HA27')
    }
  })
  it('on sevenths it is the other way round, and nothing is said', () => {
    expect(suits(coloured, 'tritone-substitution')).toBeGreaterThan(suits(coloured, 'diatonic-substitution'))
    expect(coloured.offers('tritone-substitution')[0]?.reason.map(({ rule }) => rule)).not.toContain('HA27')
  })
})

describe('[HA28] energy is reckoned from the bars', () => {
  const energies = (recipe: string, trial = plain): readonly number[] =>
    trial.offers(recipe).map(({ energy }) => energy)

  it('dominants in more bars lift more than in one', () => {
    const twoGoals = trialOf(PLAIN.replace('5 | G |', '5 | Em |'))
    const [all, last] = energies('secondary-dominants', twoGoals)
    expect(all).toBeGreaterThan(last ?? Number.NaN)
  })
  it('a pedal over more of the stretch calms more, and stays a calming one', () => {
    const few = trialOf(PLAIN.replaceAll('| D7 |', '| G |')).offers('tonic-pedal')[0]?.energy
    expect(energies('tonic-pedal')[0]).toBeLessThan(few ?? Number.NaN)
    expect(few).toBeLessThan(0)
  })
})
