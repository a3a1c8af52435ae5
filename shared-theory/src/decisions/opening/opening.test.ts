import { describe, expect, it } from 'vitest'
import { LOW_WATER_LETTER } from '@chartloft/demo'
import { emptyPlan, Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, passesOf, rowDifferences, rows, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, LANTERN_ROWS, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Option, Tune } from '../../contract/index.js'
import { chord } from '../../chords/index.js'
import { readTune } from '../../read/index.js'
import { rebar } from '../../rhythm/index.js'
import { must } from '../../units/index.js'
import { laidIn } from '../bars.js'
import { movedBar } from '../lift/index.js'
import { openingRecipes } from './index.js'

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}
const chordsOf = (bars: readonly ArrangedBar[]): string => bars.map((bar) => chordField(bar.chords)).join(' | ')
const trialOf = (tune: Tune): Trial =>
  new Trial(openingRecipes, tune, passesOf(tune, 'chorus-1'), { passId: 'chorus-1' })
const lantern = trialOf(lanternSlip())
const ferry = trialOf(ferryBell())
const slack = trialOf(slackTide())

function openingOf(trial: Trial, id: string, params: Option['params']): readonly ArrangedBar[] {
  const { bars, issues } = trial.apply(id, params)
  expect(issues).toEqual([])
  expect(bars.slice(-trial.bars.length)).toEqual(trial.bars)
  return bars.slice(0, bars.length - trial.bars.length)
}

/** The connection a musician reads in the rule chain of the offer with these params. */
function connection(trial: Trial, id: string, params: Option['params']): string {
  const offer = trial.offers(id).find((each) => JSON.stringify(each.params) === JSON.stringify(params))
  return offer?.reason.find(({ rule }) => rule === 'OP2')?.text ?? `no offer ${JSON.stringify(params)}`
}

const asRows = (chords: string): string =>
  chords
    .split('|')
    .map((bar, index) => `${index + 1} | ${bar.trim()} | -`)
    .join('\n')

interface Cell {
  readonly name: string
  readonly trial: Trial
  readonly id: string
  readonly params: Option['params']
  readonly len: number
  readonly chords: string
  readonly leads: string
}

const CELLS: readonly Cell[] = [
  {
    name: '[OP3] dominant pedal 8, rising',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 4,
    chords: 'Fmaj7/C | Gm7/C | Am7/C | Gm7/C | Fmaj7/C | Gm7/C | Am7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal 8, alternating',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'alternating' },
    len: 4,
    chords: 'Fmaj7/C | Gbmaj7/C | Fmaj7/C | Gbmaj7/C | Fmaj7/C | Gbmaj7/C | Fmaj7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal 4: first three bars and the last',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 4, form: 'rising' },
    len: 4,
    chords: 'Fmaj7/C | Gm7/C | Am7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal in minor',
    trial: ferry,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 3,
    chords: 'Gm6/D | Am7b5/D | Bbmaj7/D | Am7b5/D | Gm6/D | Am7b5/D | Bbmaj7/D | D7b9',
    leads: 'D7(♭9) leads to Gm6 as its dominant',
  },
  {
    name: '[OP3] dominant pedal in a blues',
    trial: slack,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 4,
    chords: 'Bb7/F | Cm7/F | Dm7/F | Cm7/F | Bb7/F | Cm7/F | Dm7/F | F7sus',
    leads: 'F7sus leads to B♭7 as its dominant',
  },
  {
    name: '[OP4] vamp 4',
    trial: lantern,
    id: 'vamp',
    params: { bars: 4, form: 'I-bVII', connected: false },
    len: 4,
    chords: 'Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7',
    leads: 'E♭∆ goes up a whole step to F∆, ♭VII to I',
  },
  {
    name: '[OP4] vamp 4, connected',
    trial: lantern,
    id: 'vamp',
    params: { bars: 4, form: 'I-bVII', connected: true },
    len: 4,
    chords: 'Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7 C7sus@2',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP4] vamp in minor',
    trial: ferry,
    id: 'vamp',
    params: { bars: 4, form: 'i-IV', connected: false },
    len: 3,
    chords: 'Gm7 | C7 | Gm7 | C7',
    leads: 'C7 goes home to Gm6, IV to i',
  },
  {
    name: '[OP4] vamp in a blues',
    trial: slack,
    id: 'vamp',
    params: { bars: 2, form: 'I-bVII', connected: false },
    len: 4,
    chords: 'Bb7 | Ab7',
    leads: 'A♭7 goes up a whole step to B♭7, ♭VII to I',
  },
  {
    name: '[OP7] turnaround',
    trial: lantern,
    id: 'turnaround',
    params: { bars: 4 },
    len: 4,
    chords: 'Gm7 | C7 | Am7 D7b9 | Gm7 C7',
    leads: 'C7 leads to F∆ as its dominant',
  },
]

describe('worked openings', () => {
  for (const { name, trial, id, params, len, chords, leads } of CELLS) {
    it(`${name}, [OP2] the connection named`, () => {
      const made = openingOf(trial, id, params)
      expect(made).toHaveLength(params['bars'] as number)
      expect(rowDifferences(made, asRows(chords), { len })).toEqual([])
      expect(connection(trial, id, params)).toBe(leads)
    })
  }
})

describe('[OP8] the last phrase quoted', () => {
  it('melody and chords of the last four bars, the last note cut where ii–V begins', () => {
    const made = openingOf(lantern, 'quote', { bars: 4 })
    const expected = `
1 | Gm7 | D5:1.5 C5:.5 Bb4:2
2 | C7 | A4:2 G4:1 E4:1
3 | F6 | F4:4
4 | Gm7 C7 | -`
    expect(rowDifferences(made, expected, { len: 4 })).toEqual([])
    expect(made[3]?.melody).toEqual([])
    expect(made.map(({ provenance }) => provenance.tuneBar)).toEqual([28, 29, 30, 31])
    expect(connection(lantern, 'quote', { bars: 4 })).toBe('C7 leads to F∆ as its dominant')
  })
  it('in a blues and in minor the last note is left where the turn begins', () => {
    expect(chordsOf(openingOf(slack, 'quote', { bars: 4 }))).toBe('Cm7 | F7 | Bb7 | Cm7 F7@2')
    expect(chordsOf(openingOf(ferry, 'quote', { bars: 4 }))).toBe('Cm7 | Am7b5 D7b9@2 | Gm6 | Am7b5 D7b9@2')
  })
  it('a phrase that lands only in its last bar keeps the first half of it', () => {
    const tune = tuneOfRows('1 | Cmaj7 | E4:4\n2 | Am7 | C5:4\n3 | Dm7 G7 | A4:2 B4:2\n4 | C6 | C5:4', {
      len: 4,
      key: 'C major',
    })
    const made = openingOf(trialOf(tune), 'quote', { bars: 4 })
    expect(rowDifferences(made.slice(3), '4 | C6 G7 | C5:2 r:2', { len: 4, fromBar: 1 })).toEqual([])
  })
})

describe('[OP5] free first sections', () => {
  const { bars, issues } = lantern.apply('free-first-sections', { bars: 0, sections: 2, tempoBpm: 58 })
  it('adds no bars; A A are rubato with the curve of the phrase, B is in time', () => {
    expect(issues).toEqual([])
    expect(bars).toHaveLength(32)
    expect(bars.slice(0, 16).every(({ feel }) => feel === 'rubato')).toBe(true)
    expect(bars.slice(16)).toEqual(lantern.bars.slice(16))
    expect([bars[0]?.tempoBpm, bars[0]?.tempoEndBpm]).toEqual([54.52, 59.16])
    expect([bars[3]?.tempoBpm, bars[3]?.tempoEndBpm]).toEqual([56.26, 52.2])
    expect([bars[7]?.tempoBpm, bars[7]?.tempoEndBpm, bars[7]?.fermataTick]).toEqual([56.26, 46.4, 0])
  })
  it('the last free bar waits in its first half and counts from its middle', () => {
    expect([bars[15]?.tempoBpm, bars[15]?.tempoEndBpm, bars[15]?.fermataTick]).toEqual([138, undefined, 0])
    expect(bars[15]?.provenance).toEqual({
      decision: 'opening',
      optionId: 'free-first-sections-test',
      rule: 'OP5',
      tuneBar: 15,
    })
  })
  it('melody and chords stay, and the offer names where the groove begins', () => {
    expect(bars.map(({ melody, chords }) => [melody, chords])).toEqual(
      lantern.bars.map(({ melody, chords }) => [melody, chords]),
    )
    expect(lantern.offers('free-first-sections').map(({ title }) => title)).toEqual([
      'Free A A, groove at B',
      'Free A, groove at the next A',
    ])
    expect(slack.absent('free-first-sections')).toContain('one section only')
  })
})

describe('[OP7] the way round', () => {
  it('two bars name what turns; in minor the tonic is not the same four notes as vi∅', () => {
    const says = (trial: Trial, bars: number) =>
      trial.offers('turnaround').find(({ params }) => params['bars'] === bars)?.reason[0]?.text
    expect(says(slack, 2)).toBe('B♭7 G7(♭9), then ii and V of B♭7')
    expect(says(slack, 4)).toBe('ii–V, then back to ii and V of B♭7')
    expect(chordsOf(openingOf(ferry, 'turnaround', { bars: 2 }))).toBe('Gm7 Em7b5@2 | Am7b5 D7b9@2')
  })
})

describe('[OP9] drums alone, [OP10] the falling bass', () => {
  it('drums have no chord and no melody', () => {
    const made = openingOf(lantern, 'drums-alone', { bars: 4 })
    expect(chordsOf(made)).toBe('N.C. | N.C. | N.C. | N.C.')
    expect(made.every(({ melody }) => melody.length === 0)).toBe(true)
    expect(connection(lantern, 'drums-alone', { bars: 4 })).toBe('no chord comes before F∆; the drum fill leads in')
  })
  it('8 7 ♭7 6 in the bass, then the dominant', () => {
    expect(chordsOf(openingOf(lantern, 'bass-cliche', { bars: 4 }))).toBe('F | Fmaj7/E | F7/Eb | F6/D C7sus@2')
    expect(chordsOf(openingOf(ferry, 'bass-cliche', { bars: 4 }))).toBe('Gm | GmMaj7/F# | Gm7/F | Gm6/E D7b9@2')
    expect(slack.absent('bass-cliche')).toContain('blues')
  })
})

describe("[OP6] the tune's own verse", () => {
  const verse = tuneOf(LOW_WATER_LETTER)
  const chorus = passesOf({ ...verse, sections: verse.sections.filter(({ role }) => role === 'chorus') }, 'chorus-1')
  const trial = new Trial(openingRecipes, verse, chorus, { passId: 'chorus-1' })
  it('its bars with melody, a pickup first, free or in time', () => {
    const free = openingOf(trial, 'own-verse', { bars: 9, feel: 'rubato' })
    expect(free.map(({ provenance }) => provenance.tuneBar)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8])
    expect(free.map(({ melody }) => melody.map(({ midi }) => midi))).toEqual(
      verse.bars.slice(0, 9).map(({ melody }) => melody.map(({ midi }) => midi)),
    )
    expect(
      free.every(({ feel, pass, sectionId }) => feel === 'rubato' && pass === 'opening' && sectionId === 'opening'),
    ).toBe(true)
    expect(free[0]?.lengthTicks).toBe(5040)
    const inTime = openingOf(trial, 'own-verse', { bars: 9, feel: 'in-time' })
    expect(inTime.every(({ feel, tempoBpm }) => feel === 'swing' && tempoBpm === 72)).toBe(true)
  })
  it('moves with the key, and goes to the metre of bar 1', () => {
    const lower = new Trial(
      openingRecipes,
      verse,
      chorus.map((bar) => movedBar(bar, -3)),
      trial.at,
    )
    const made = openingOf(lower, 'own-verse', { bars: 9, feel: 'in-time' })
    expect(made[0]?.melody.map(({ midi }) => midi)).toEqual(verse.bars[0]?.melody.map(({ midi }) => midi - 3))
    expect(made.at(-1)?.key.key).toBe('C major')
    const waltz = must(rebar(chorus, { metre: { beats: 3, beatType: 4 }, groups: [3] }), 'a waltz').bars
    const inThree = new Trial(openingRecipes, verse, waltz, trial.at)
    const offer = must(inThree.offers('own-verse')[0], 'an offer')
    const bars = openingOf(inThree, 'own-verse', offer.params)
    expect(bars.every(({ metre }) => metre.beats === 3)).toBe(true)
    expect(bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))).toEqual(
      verse.bars.slice(0, 9).flatMap(({ melody }) => melody.map(({ midi }) => midi)),
    )
  })
  it('chosen before the groove was, is still played whole in its metre', () => {
    const seven = must(rebar(chorus, { metre: { beats: 7, beatType: 4 }, groups: [4, 3] }), 'seven').bars
    const inSeven = new Trial(openingRecipes, verse, seven, trial.at)
    const made = openingOf(inSeven, 'own-verse', { bars: 9, feel: 'rubato' })
    expect(made).toHaveLength(5)
    expect(made.flatMap(({ melody }) => melody.map(({ source }) => source?.bar))).toContain(8)
  })
  it('is absent where there is none, or where it is played anyway', () => {
    expect(lantern.absent('own-verse')).toBe('The tune has no verse of its own.')
    const whole = new Trial(openingRecipes, verse, passesOf(verse, 'chorus-1'), trial.at)
    expect(whole.absent('own-verse')).toBe('The verse is in the running order already.')
  })
})

/** Lantern Slip with a beat of pickup, and its last bar a beat short. */
function pickedUp(pickup: string): Trial {
  const tune = tuneOfRows(LANTERN_ROWS, { len: 4, key: 'F major', tempoBpm: 138 })
  const [lead] = rows(`1 | N.C. | ${pickup}`, { len: 1, key: 'F major', metre: { beats: 4, beatType: 4 } })
  const bars = passesOf(tune, 'chorus-1').map((bar, index, all) =>
    index === all.length - 1
      ? {
          ...bar,
          lengthTicks: 15120,
          chords: laidIn({ ...bar, lengthTicks: 15120, chords: [] }, [chord('F6')]),
          melody: [],
        }
      : bar,
  )
  return new Trial(openingRecipes, tune, [must(lead, 'a pickup'), ...bars], { passId: 'chorus-1' })
}

describe('[OP12] a pickup', () => {
  it('takes the end of the last opening bar, and the closing bar becomes full', () => {
    const trial = pickedUp('G4:.5 Bb4:.5')
    const { bars } = trial.apply('dominant-pedal', { bars: 4, form: 'rising' })
    expect(bars).toHaveLength(36)
    expect(bars[3]?.melody.map(({ startTick, name, source }) => [startTick, name, source])).toEqual([
      [15120, 'G4', { bar: 0, index: 0 }],
      [17640, 'Bb4', { bar: 0, index: 1 }],
    ])
    expect(bars.every((bar) => bar.lengthTicks === 20160)).toBe(true)
    expect(bars.at(-1)?.chords.map(({ durationTicks }) => durationTicks)).toEqual([20160])
    expect(chordsOf(bars.slice(3, 4))).toBe('C7sus')
  })
  it('with the third of the dominant in it, turns the sus into a plain seventh', () => {
    const { bars } = pickedUp('E4:.5 G4:.5').apply('dominant-pedal', { bars: 4, form: 'rising' })
    expect(chordsOf(bars.slice(3, 4))).toBe('C7')
  })
  it('that changes the last chord is in the title and the sentence', () => {
    const [offer] = pickedUp('F4:1').offers('turnaround')
    expect(offer?.summary).toMatch(/Gm7 C7sus come round .*; C7sus leads to F∆ as its dominant\.$/)
    const vamp = pickedUp('E4:.5 G4:.5')
      .offers('vamp')
      .find(({ params }) => params['connected'] === true)
    expect(vamp?.title).toBe('Vamp F∆–E♭∆ with C7, 4 bars')
  })
  it('that no dominant carries stands alone', () => {
    const { bars } = pickedUp('B4:.5 E4:.5').apply('dominant-pedal', { bars: 4, form: 'rising' })
    expect(chordsOf(bars.slice(3, 4))).toBe('C7sus N.C.@3')
  })
  it('stays where there is no opening', () => {
    const trial = pickedUp('G4:.5 Bb4:.5')
    expect(trial.apply('none', { bars: 0 })).toEqual({ bars: trial.bars, issues: [] })
  })
})

describe('[OP1] no opening', () => {
  it('changes nothing', () => {
    expect(lantern.apply('none', { bars: 0 })).toEqual({ bars: lantern.bars, issues: [] })
  })
})

describe('[OP13] params from anywhere', () => {
  const NONSENSE: readonly Option['params'][] = [
    {},
    { bars: 0 },
    { bars: -3 },
    { bars: 2.5 },
    { bars: 'four' },
    { bars: 1e9 },
    { bars: Number.NaN },
    { bars: [4] },
    { bars: 4, form: 'sideways', feel: 7, sections: 0.5, tempoBpm: 'fast' },
    { sections: 99 },
    { sections: 1, tempoBpm: Number.POSITIVE_INFINITY },
  ]
  it('never throw; what makes no sense leaves the bars and says so', () => {
    for (const { id } of openingRecipes) {
      for (const params of NONSENSE) {
        const { bars, issues } = lantern.apply(id, params)
        const opened = bars.length - lantern.bars.length
        if (issues.length > 0) expect(bars, `${id} ${JSON.stringify(params)}`).toBe(lantern.bars)
        else expect([0, 4]).toContain(opened)
        expect(issues.every(({ severity, message }) => severity === 'warning' && message.endsWith('.'))).toBe(true)
      }
      expect(
        lantern.recipes
          .find((recipe) => recipe.id === id)
          ?.offer({ tune: lantern.tune, plan: emptyPlan(lantern.tune), bars: [], wish: {} }),
      ).toBeDefined()
      expect(lantern.apply(id, { bars: 4 }, []).bars).toEqual([])
    }
  })
  it('[OP14] a length set by hand is played: five bars of each that has a length', () => {
    for (const id of ['dominant-pedal', 'vamp', 'turnaround', 'quote', 'bass-cliche', 'drums-alone']) {
      expect(openingOf(lantern, id, { bars: 5 }), id).toHaveLength(5)
    }
  })
})
