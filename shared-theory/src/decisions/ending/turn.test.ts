import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, passesOf, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../../tests/fixtures/worked-rows.js'
import { rebar } from '../../rhythm/index.js'
import { must } from '../../units/index.js'
import { endingRecipes } from './index.js'
import { inRounds } from './turn.js'

describe('[EN8] rounds keep their number when the groove changes their length', () => {
  const tune = lanternSlip()
  const written = passesOf(tune, 'chorus-last')
  it('three times in 4/4 are three times in 7/4, where a round is half as many bars', () => {
    const seven = must(rebar(written, { metre: { beats: 7, beatType: 4 }, groups: [4, 3] }), '7/4').bars
    const trial = new Trial(endingRecipes, tune, written, { passId: 'chorus-last' })
    const offer = must(trial.offers('tag')[0], 'a tag')
    expect(trial.apply('tag', offer.params).bars).toHaveLength(written.length + 8)
    const { bars, issues } = trial.apply('tag', offer.params, seven)
    expect(issues).toEqual([])
    const tail = bars.slice(seven.length - 2).map((bar) => chordField(bar.chords))
    expect(tail.join(' | ')).toBe('Gm7 C7@4 | F/A D7#9@4 | Gm7 C7@4 | F/A D7#9@4 | Gm7 C7@4 | F6')
  })
  it('home inside the last joined bar: that bar goes round, the way back in the place of home until the last time', () => {
    const short = tuneOfRows('1 | F6 | F4:4\n2 | Gm7 | D5:4\n3 | C7 | G4:4\n4 | F6 | F4:4', { len: 4, key: 'F major' })
    const seven = must(
      rebar(passesOf(short, 'chorus-last'), { metre: { beats: 7, beatType: 4 }, groups: [4, 3] }),
      '7/4',
    ).bars
    const trial = new Trial(endingRecipes, short, seven, { passId: 'chorus-last' })
    const [first] = trial.offers('tag')
    const { bars, issues } = trial.apply('tag', must(first, 'a tag').params)
    expect(issues).toEqual([])
    expect(bars.map((bar) => chordField(bar.chords)).join(' | ')).toBe(
      'F6 Gm7@4 | C7 F/A@4 G7@6 | C7 F/A@4 G7@6 | C7 F6@4',
    )
    expect(bars.at(-1)?.fermataTick).toBeDefined()
    const faded = trial.apply('fade', must(trial.offers('fade')[0], 'a fade').params).bars
    expect(faded.map((bar) => chordField(bar.chords)).join(' | ')).toBe('F6 Gm7@4 | C7 F6@4 | C7 F6@4 | C7 F6@4')
  })
  it('a round that begins on the pitch it ended on strikes it anew', () => {
    const short = tuneOfRows('1 | F6 | A4:4\n2 | Gm7 | D5:4\n3 | C7sus | F4:2 G4:2\n4 | F6 | F4:4', {
      len: 4,
      key: 'F major',
    })
    const seven = must(
      rebar(passesOf(short, 'chorus-last'), { metre: { beats: 7, beatType: 4 }, groups: [4, 3] }),
      '7/4',
    ).bars
    const trial = new Trial(endingRecipes, short, seven, { passId: 'chorus-last' })
    for (const id of ['tag', 'fade']) {
      const { bars } = trial.apply(id, must(trial.offers(id)[0], id).params)
      const rounds = bars.slice(1).map(({ melody }) => melody.at(-1))
      expect(rounds.length).toBeGreaterThan(2)
      expect(rounds.every((note) => note?.name === 'F4' && !note.tiedToNext)).toBe(true)
    }
  })
  it('a number set by hand stays', () => {
    expect(inRounds({ bars: 6, round: 4 }, 2)).toEqual({ bars: 6, round: 4 })
    expect(inRounds({ bars: 8, round: 4 }, 2)).toEqual({ bars: 4, round: 4 })
    expect(inRounds({ bars: 8 }, 2)).toEqual({ bars: 8 })
    expect(inRounds({ bars: 'eight', round: 0 }, 2)).toEqual({ bars: 'eight', round: 0 })
  })
})
