/** Versions of a groove on demand, titles, and bars before and after. */
import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, melodyField, passesOf, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip } from '../../../../tests/fixtures/worked-rows.js'
import type { Metre, Tune, Wish } from '../../contract/index.js'
import { defaultPlan } from '../../compile/index.js'
import { GROOVES } from '../../rhythm/index.js'
import { must } from '../../units/index.js'
import { rank as rankOptions } from '../../propose/rank.js'
import { factsOf, grooveRecipes, rebarExcerpt } from './index.js'
import { GROOVE_HINTS, HINTS, rank } from './hints.js'
import { countOf, countOfGroove, metreWord, tempoWord } from './words.js'

const offersOf = (tune: Tune, wish: Wish = {}) => {
  const bars = passesOf(tune, 'chorus-1')
  return grooveRecipes.flatMap((recipe) => {
    const answer = recipe.offer({ tune, plan: defaultPlan(tune), bars, wish })
    return 'absent' in answer ? [] : answer.offers
  })
}
const groove = (id: string) =>
  must(
    GROOVES.find((each) => each.id === id),
    id,
  )

describe('[GD8] more', () => {
  it('gives further versions and takes none away', () => {
    for (const tune of [lanternSlip(), ferryBell()]) {
      let before: readonly string[] = []
      for (const more of [0, 1, 2, 3]) {
        const now = offersOf(tune, { more }).map(({ params }) => JSON.stringify(params))
        expect(new Set(now).size).toBe(now.length)
        expect(before.filter((params) => !now.includes(params))).toEqual([])
        if (more > 0) expect(now.length).toBeGreaterThan(before.length)
        before = now
      }
    }
  })
  it('has the other maps, group orders and long metre at 1, tempi inside the band at 2', () => {
    const titles = offersOf(lanternSlip(), { more: 1 }).map(({ title }) => title)
    expect(titles).toContain('Jazz waltz, 3/4, second half kept, quarter = 138')
    expect(titles).toContain('Relaxed 7/4, 3+4, quarter = 116')
    expect(titles).toContain('5/4, 2+3, quarter = 138')
    expect(titles).toContain('Bossa nova, 4/4, long metre, quarter = 138')
    expect(offersOf(ferryBell(), { more: 1 }).map(({ title }) => title)).toContain(
      'Bossa nova, 4/4, last beat doubled, quarter = 144',
    )
    for (const { params } of offersOf(lanternSlip(), { more: 3 })) {
      if (params['groove'] === 'swing-medium') continue
      const { low, high } = groove(String(params['groove'])).tempo
      expect(Number(params['tempoBpm'])).toBeGreaterThanOrEqual(low)
      expect(Number(params['tempoBpm'])).toBeLessThanOrEqual(high)
    }
  })
  it('leaves the first five of different grooves', () => {
    const candidates = offersOf(lanternSlip(), { more: 2 }).map((offer) => ({
      offer,
      kind: 'groove' as const,
      warnings: 0,
      outOfRange: [],
      newlyOutOfRange: [],
    }))
    const first = rankOptions(candidates).slice(0, 5)
    expect(new Set(first.map(({ candidate }) => candidate.offer.params['groove'])).size).toBe(5)
  })
  it('a group order asked for is played, and nonsense is said', () => {
    const tune = lanternSlip()
    const trial = new Trial(grooveRecipes, tune, passesOf(tune, 'chorus-1'), { passId: 'chorus-1' })
    const params = { groove: 'seven-4-even', metre: '7/4', tempoBpm: 116 }
    const turned = trial.apply('seven-4-even', { ...params, groups: '3+4' })
    expect(turned.bars.every(({ groups }) => groups.join() === '3,4')).toBe(true)
    expect(melodyField(turned.bars[0]!)).toBe('A4:2 F4:0.5 G4:0.5 C5:3 G4:1')
    const foolish = trial.apply('seven-4-even', { ...params, groups: '5+2' })
    expect(foolish.bars[0]?.groups).toEqual([4, 3])
    expect(foolish.issues[0]?.message).toContain('no groups 5+2')
  })
})

describe('[GD7] titles', () => {
  it('tell the tempo in the beat people count', () => {
    const metre = (beats: number, beatType: Metre['beatType']): Metre => ({ beats, beatType })
    expect(tempoWord(144, countOf(metre(6, 8)))).toBe('dotted quarter = 96')
    expect(tempoWord(132, countOf(metre(7, 8)))).toBe('eighth = 264')
    expect(tempoWord(132, countOf(metre(3, 4)))).toBe('quarter = 132')
    expect(tempoWord(184, countOf(metre(2, 2)))).toBe('half = 92')
    expect(tempoWord(184, countOfGroove(groove('street-beat'), metre(4, 4)))).toBe('half = 92')
    expect(metreWord(metre(2, 2))).toBe('2/2 (cut time)')
    expect(offersOf(lanternSlip()).map(({ title }) => title)).toContain('Street beat, cut time, half = 92')
  })
})

describe('[GD6] what a summary says', () => {
  it('is true of the tune: no hint is quoted that the tune does not show', () => {
    const silent = tuneOfRows('1 | Cmaj7 | r:4\n2 | A7 | r:4\n3 | Dm7 | r:4\n4 | G7 | r:4', { len: 4, key: 'C major' })
    for (const tune of [lanternSlip(), ferryBell(), silent]) {
      const facts = factsOf(tune)
      for (const hints of Object.values(GROOVE_HINTS)) {
        const { pro, con } = rank(hints, facts)
        for (const said of [pro, con ?? '']) {
          const quoted = Object.values(HINTS).filter((hint) => hint.words(facts) === said)
          if (quoted.length > 0)
            expect(Math.max(...quoted.map((hint) => hint.degree(facts)))).toBeGreaterThanOrEqual(0.3)
        }
      }
    }
    expect(
      offersOf(silent)
        .map(({ summary }) => summary)
        .join(' '),
    ).not.toMatch(/melody|notes/)
  })
  it('running eighths are not syncopated; a note after silence on the beat is', () => {
    const facts = (melody: string) => factsOf(tuneOfRows(`1 | F6 | ${melody}`, { len: 4, key: 'F major' }))
    expect(facts('F4:.5 G4:.5 A4:.5 G4:.5 F4:2').syncopated).toBe(0)
    expect(facts('r:.5 F4:.5 r:1 G4:2').syncopated).toBe(0.5)
    expect(facts('F4:.5 G4:1 A4:2.5').syncopated).toBeCloseTo(2 / 3)
  })
})

describe('[GD9] before and after', () => {
  const tune = lanternSlip()
  const bars = passesOf(tune, 'chorus-1')
  const option = (id: string) => {
    const offer = must(
      offersOf(tune).find(({ recipe }) => recipe === id),
      id,
    )
    return { recipe: id, params: offer.params }
  }
  it('shows two bars and the one they make', () => {
    const steps = rebarExcerpt(bars, option('seven-4-even'))
    expect(steps.map(({ before, after }) => [before.length, after.length])).toEqual([
      [2, 1],
      [2, 1],
    ])
    expect(steps[0]?.before.map((bar) => `${chordField(bar.chords)} | ${melodyField(bar)}`)).toEqual([
      'Fmaj7 | A4:2 F4:1 G4:1',
      'Dm7 | C5:3 G4:1',
    ])
    expect(steps[0]?.after.map((bar) => `${chordField(bar.chords)} | ${melodyField(bar)}`)).toEqual([
      'Fmaj7 Dm7@4 | A4:2 F4:1 G4:1 C5:2.5 G4:0.5',
    ])
    expect(steps[0]?.words).toContain('of two bars the first stays as the four')
  })
  it('takes the section and the number of bars asked for; the same bars where nothing is re-barred', () => {
    const steps = rebarExcerpt(bars, option('bossa'), { sectionId: 'B1', count: 2 })
    expect(steps.map(({ before }) => before[0]?.tuneBar)).toEqual([16, 17])
    for (const { before, after, words } of steps) {
      expect(after.map(({ melody }) => melody)).toEqual(before.map(({ melody }) => melody))
      expect(words).toBeUndefined()
    }
  })
  it('is empty where there is nothing to show', () => {
    expect(rebarExcerpt([], option('bossa'))).toEqual([])
    expect(rebarExcerpt(bars, option('bossa'), { sectionId: 'Z9' })).toEqual([])
    expect(rebarExcerpt(bars, { recipe: 'bossa', params: {} })).toEqual([])
  })
})

describe('[GD10] energy follows the tempo', () => {
  it('of the versions of one groove the quicker lifts more', () => {
    const versions = offersOf(lanternSlip(), { more: 2 })
    const tempi = (id: string) =>
      versions
        .filter(({ recipe }) => recipe === id)
        .map(({ params, energy }) => ({ tempo: Number(params['tempoBpm']), energy }))
        .toSorted((a, b) => a.tempo - b.tempo)
    for (const id of ['bossa', 'samba', 'ballad-swing']) {
      const [slowest, quickest] = [tempi(id)[0], tempi(id).at(-1)]
      expect(quickest?.tempo, id).toBeGreaterThan(slowest?.tempo ?? Number.NaN)
      expect(quickest?.energy, id).toBeGreaterThan(slowest?.energy ?? Number.NaN)
    }
  })
  it('at its usual tempo a groove does what its row says', () => {
    for (const { recipe, params, energy } of offersOf(lanternSlip()))
      if (recipe !== 'as-written' && params['tempoBpm'] === groove(recipe).tempo.default)
        expect(energy, recipe).toBe(GROOVE_HINTS[recipe]?.energy)
  })
})
