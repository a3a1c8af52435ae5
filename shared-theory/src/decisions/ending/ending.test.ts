import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, melodyField, passesOf, rowDifferences, rows, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Option, Tune } from '../../contract/index.js'
import { bassOf, chord } from '../../chords/index.js'
import { compile, defaultPlan } from '../../compile/index.js'
import { fitOf, judgeMelody } from '../../fit/index.js'
import { proposeOptions } from '../../propose/index.js'
import { rebar } from '../../rhythm/index.js'
import { barTicks, must, nameOfPitch, pitchClass } from '../../units/index.js'
import { liftRecipes, movedBar } from '../lift/index.js'
import { endingRecipes } from './index.js'

const here = { passId: 'chorus-last' }
const trialOf = (tune: Tune, bars = passesOf(tune, 'chorus-last')) => new Trial(endingRecipes, tune, bars, here)
const tune = lanternSlip()
const written = passesOf(tune, 'chorus-last')
const lantern = trialOf(tune)

/** The bars with a recipe's ending; applying it must bring no issue. */
function ended(trial: Trial, recipe: string, params: Option['params']): readonly ArrangedBar[] {
  const { bars, issues } = trial.apply(recipe, params)
  expect(issues).toEqual([])
  return bars
}
const chordsFrom = (bars: readonly ArrangedBar[], from: number): string =>
  bars
    .slice(from)
    .map((bar) => chordField(bar.chords))
    .join(' | ')
const soundOf = ({ chords }: ArrangedBar) =>
  chords.map((placed) => [
    placed.startTick,
    [...placed.chord.notes, placed.chord.bass ?? placed.chord.root].map(pitchClass),
  ])
const offersOf = (trial: Trial) => endingRecipes.flatMap(({ id }) => trial.offers(id).map((offer) => ({ id, offer })))

describe('[EN1] as written', () => {
  it('nothing but a fermata on the last bar', () => {
    const bars = ended(lantern, 'as-written', { bars: 0 })
    expect(bars).toHaveLength(32)
    expect(bars.slice(0, 31)).toEqual(written.slice(0, 31))
    expect(bars[31]).toMatchObject({ fermataTick: 0, pass: 'chorus-last', chords: written[31]?.chords })
  })
})

describe('[EN1] a blues does not end on its turnaround', () => {
  const blues = trialOf(slackTide())
  it('home lasts, under the fermata; the turnaround as it stands is shown when more is asked for', () => {
    const offer = must(blues.offers('as-written')[0], 'an offer')
    expect(offer.params).toEqual({ bars: 0, close: 'home' })
    const bars = ended(blues, 'as-written', offer.params)
    expect(chordsFrom(bars, 10)).toBe('Bb7 | Bb7')
    expect(bars).toHaveLength(12)
    expect(bars.at(-1)?.fermataTick).toBe(0)
    expect(blues.offers('as-written')).toHaveLength(1)
  })
  it('a plan that asks for the written bars keeps them', () => {
    expect(chordsFrom(ended(blues, 'as-written', { bars: 0 }), 10)).toBe('Bb7 | F7sus')
  })
})

describe('[EN8] a real iii', () => {
  it('the last note stops after its beat and iii comes in after it', () => {
    const offer = must(
      lantern.offers('tag').find(({ params }) => params['iii'] === true),
      'a tag by way of iii',
    )
    const bars = ended(lantern, 'tag', offer.params)
    expect(chordsFrom(bars, 30).split(' | ').slice(0, 4)).toEqual(['F6 Am7@1', 'D7b9', 'Gm7', 'C7'])
    expect(bars.slice(30, 32).map(melodyField)).toEqual(['F4:1 r:3', '-'])
  })
})

describe('[EN16] from a half step above the dominant', () => {
  it('falls to IV in two bars under the held tonic, and home comes after', () => {
    // Worked examples, section 4.8: F is 3, 4, ♯11 and 5.
    const bars = ended(lantern, 'half-step-above', { bars: 2 })
    expect(bars).toHaveLength(34)
    const text = '31 | Dbmaj7 C7sus | F4:4~\n32 | B7#11 Bbmaj7 | F4:4~\n33 | F6 | F4:4~\n34 | F6 | F4:4'
    expect(rowDifferences(bars, text, { len: 4 })).toEqual([])
  })
  it('in minor IV is minor; a last note it cannot hold is named', () => {
    expect(chordsFrom(ended(trialOf(ferryBell()), 'half-step-above', { bars: 2 }), 14)).toBe(
      'Ebmaj7 D7sus@2 | Db7#11 Cm7@2 | Gm6 | Gm6',
    )
    const third = tuneOfRows('1 | Fmaj7 | F4:4\n2 | C7 | E4:4\n3 | F6 | A4:4\n4 | F6 | A4:4', {
      len: 4,
      key: 'F major',
    })
    expect(trialOf(third).absent('half-step-above')).toMatch(/A over D♭∆/)
  })
})

describe('[EN18] the last phrase free', () => {
  it('the last four bars go free with their own melody and chords, none added; the note is waited on', () => {
    const bars = ended(lantern, 'free-last-phrase', { bars: 0 })
    expect(bars).toHaveLength(32)
    expect(bars.slice(28).every(({ feel }) => feel === 'rubato')).toBe(true)
    expect(bars[27]?.feel).not.toBe('rubato')
    expect(bars.map(({ melody, chords }) => [melody, chords])).toEqual(
      lantern.bars.map(({ melody, chords }) => [melody, chords]),
    )
    expect(bars.at(-1)?.fermataTick).toBe(0)
  })
  it('[GR8] compiled, the bar before slows to 70 % and the first free chord has a fermata', () => {
    const plan = defaultPlan(tune)
    const option = must(
      proposeOptions(tune, 'ending', plan).find(({ recipe }) => recipe === 'free-last-phrase'),
      'the last phrase free',
    )
    const { bars } = compile({ ...plan, chosen: [{ kind: 'ending', option }] }).arrangement
    const first = bars.findIndex(({ feel }) => feel === 'rubato')
    expect(first).toBe(bars.length - 4)
    expect(bars[first]?.fermataTick).toBe(0)
    const before = must(bars[first - 1], 'the bar before')
    expect(must(before.tempoEndBpm, 'it slows') / before.tempoBpm).toBeCloseTo(0.7, 5)
  }, 20_000)
  it('a tune of one phrase has no time to come out of', () => {
    const short = tuneOfRows('1 | Gm7 | D5:4\n2 | C7 | G4:4\n3 | F6 | F4:4', { len: 4, key: 'F major' })
    expect(trialOf(short).absent('free-last-phrase')).toContain('one phrase')
  })
})

describe('[EN3] delayed tonic in minor', () => {
  const offers = trialOf(ferryBell()).offers('delayed-tonic')
  const chordOf = (degree: string): string | undefined =>
    offers.find(({ params }) => JSON.stringify(params['chords']) === JSON.stringify([degree]))?.title
  it('♯IV∆ takes the name a player reads: D♭∆, not C♯∆ with its E♯ and B♯', () => {
    expect(chordOf('#IV')).toBe('Delayed tonic over D♭∆, 2 bars')
  })
  it('♭VI∆, which is its own, comes before IV∆, which has the third it has not', () => {
    const suits = (degree: string): number =>
      must(
        offers.find(({ title }) => title === chordOf(degree)),
        degree,
      ).suits
    expect(suits('bVI')).toBeGreaterThan(suits('IV'))
  })
})

describe('[EN3] delayed tonic', () => {
  it('the six major-seventh chords that carry the held tonic, each exact; home is no delay', () => {
    // Worked examples, section 6: "The seven".
    const expected = { bII: 'Gbmaj7', bIII: 'Abmaj7', IV: 'Bbmaj7', '#IV': 'Bmaj7', bVI: 'Dbmaj7', bVII: 'Ebmaj7' }
    for (const [degree, symbol] of Object.entries(expected)) {
      const bars = ended(lantern, 'delayed-tonic', { chords: [degree], bars: 2 })
      expect(bars).toHaveLength(34)
      const text = `31 | ${symbol} | F4:4~\n32 | ${symbol} | F4:4~\n33 | F6 | F4:4~\n34 | F6 | F4:4`
      expect(rowDifferences(bars, text, { len: 4 })).toEqual([])
    }
    const offered = lantern.offers('delayed-tonic').map((offer) => (offer.params['chords'] as string[]).join('–'))
    expect(offered.slice(0, 6).toSorted()).toEqual(Object.keys(expected).toSorted())
    for (const never of ['II', 'III', 'V', 'VI', 'VII', 'I', 'bV', 7, true]) {
      const { bars, issues } = lantern.apply('delayed-tonic', { chords: [never as string], bars: 2 })
      expect(bars, String(never)).toEqual(written)
      expect(issues, String(never)).toMatchObject([{ code: 'EN13', severity: 'warning' }])
    }
  })
  it('♯IV∆ takes the name that needs no double sharp', () => {
    const jig = tuneOfRows('1 | A7 | C#5:4\n2 | D6 | D5:4', { len: 4, key: 'D major' })
    const bars = ended(trialOf(jig), 'delayed-tonic', { chords: ['#IV'], bars: 2 })
    expect(chordField(bars[1]?.chords ?? [])).toBe('Abmaj7')
  })
  it('[EN4] two in a row: all thirty pairs stand, D♭∆–G♭∆ leads, three of three points follow', () => {
    const degrees = ['bII', 'bIII', 'IV', '#IV', 'bVI', 'bVII']
    const pairs = degrees.flatMap((a) => degrees.filter((b) => b !== a).map((b) => [a, b]))
    expect(pairs).toHaveLength(30)
    for (const chords of pairs) expect(ended(lantern, 'delayed-tonic', { chords, bars: 2 })).toHaveLength(34)
    const offered = lantern.offers('delayed-tonic').map((offer) => (offer.params['chords'] as string[]).join('–'))
    expect(offered[6]).toBe('bVI–bII')
    expect(['IV–bVII', '#IV–IV', 'bIII–bII'].toSorted()).toEqual(offered.slice(7).toSorted())
    const two = ended(lantern, 'delayed-tonic', { chords: ['bVI', 'bII'], bars: 2 })
    expect(chordsFrom(two, 30)).toBe('Dbmaj7 | Gbmaj7 | F6 | F6')
    expect(lantern.apply('delayed-tonic', { chords: ['bII', 'bII'], bars: 2 }).bars).toEqual(written)
    expect(lantern.apply('delayed-tonic', { chords: ['bVI', 'bII'], bars: 3 }).bars).toEqual(written)
  })
  it('a tune that ends on its third asks for other chords', () => {
    const third = tuneOfRows('1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | Cmaj7 | E5:4~\n4 | Cmaj7 | E5:4', {
      len: 4,
      key: 'C major',
    })
    const offered = trialOf(third)
      .offers('delayed-tonic')
      .map((offer) => (offer.params['chords'] as string[]).join('–'))
    expect(offered).toContain('IV')
    expect(offered).toContain('bVII')
    expect(offered).not.toContain('bII')
    const bars = ended(trialOf(third), 'delayed-tonic', { chords: ['IV'], bars: 1 })
    expect(chordsFrom(bars, 2)).toBe('Fmaj7 | Cmaj7 | Cmaj7')
  })
})

describe('[EN5] vamp on cue', () => {
  it('F6 E♭∆ four times, the note in the first bar and on the last chord', () => {
    const bars = ended(lantern, 'vamp', { bars: 8, form: 'I-bVII' })
    expect(bars).toHaveLength(40)
    expect(chordsFrom(bars, 30)).toBe('F6 | Ebmaj7 | F6 | Ebmaj7 | F6 | Ebmaj7 | F6 | Ebmaj7 | F6 | F6')
    expect(bars.slice(30).map(melodyField)).toEqual(['F4:4', ...Array.from({ length: 7 }, () => '-'), 'F4:4~', 'F4:4'])
    expect(bars.slice(30).map(({ mark }) => mark)[0]).toBe('on cue')
    expect(lantern.apply('vamp', { bars: 5 }).bars).toEqual(written)
  })
  it('minor: i and IV7; blues: I7 and ♭VII7', () => {
    expect(chordsFrom(ended(trialOf(ferryBell()), 'vamp', { bars: 4 }), 14)).toBe('Gm6 | C7 | Gm6 | C7 | Gm6 | Gm6')
    expect(chordsFrom(ended(trialOf(slackTide()), 'vamp', { bars: 4 }), 10)).toBe('Bb7 | Ab7 | Bb7 | Ab7 | Bb7 | Bb7')
  })
})

describe('[EN6] chromatic descent', () => {
  it('one a bar, held through, exact', () => {
    const bars = ended(lantern, 'chromatic-descent', { rate: 1, bars: 6 })
    expect(bars).toHaveLength(38)
    // Worked examples, section 6; the last note ends with its bar, since nothing follows.
    const text = `31 | Bm7b5 | F4:4~
      32 | Bbm6 | F4:4~
      33 | F/A | F4:4~
      34 | Abdim7 | F4:4~
      35 | Gm7 | F4:4~
      36 | Gbmaj7 | F4:4~
      37 | F6 | F4:4~
      38 | F6 | F4:4`
    expect(rowDifferences(bars, text, { len: 4 })).toEqual([])
  })
  it('two a bar', () => {
    const bars = ended(lantern, 'chromatic-descent', { rate: 2, bars: 3 })
    expect(bars).toHaveLength(35)
    expect(
      rowDifferences(
        bars,
        '31 | Bm7b5 Bbm6 | F4:4~\n32 | F/A Abdim7 | F4:4~\n33 | Gm7 Gbmaj7 | F4:4~\n34 | F6 | F4:4~\n35 | F6 | F4:4',
        { len: 4 },
      ),
    ).toEqual([])
  })
  it('in minor and in a blues every chord carries the note', () => {
    for (const own of [ferryBell(), slackTide()]) {
      const bars = ended(trialOf(own), 'chromatic-descent', { rate: 1, bars: 6 })
      for (const bar of bars)
        expect(
          judgeMelody(bar).filter(({ fit }) => fit === 'hard'),
          own.title,
        ).toEqual([])
    }
  })
})

describe('[EN7] dominant pedal', () => {
  it('floats over C to the end, exact', () => {
    const bars = ended(lantern, 'dominant-pedal', { bars: 4 })
    expect(bars).toHaveLength(36)
    const text = `31 | Gm7/C | F4:4~
      32 | Dbmaj7/C | F4:4~
      33 | Gm7/C | F4:4~
      34 | Bbmaj7/C | F4:4~
      35 | F6/C | F4:4~
      36 | F6/C | F4:4`
    expect(rowDifferences(bars, text, { len: 4 })).toEqual([])
    for (const { chords } of bars.slice(30))
      expect(chords.every((placed) => !placed.chord.notes.includes('E'))).toBe(true)
  })
  it('bass on the fifth in minor too', () => {
    const bars = ended(trialOf(ferryBell()), 'dominant-pedal', { bars: 4 })
    expect(bars.slice(14).map(({ chords }) => bassOf(must(chords[0], 'a chord').chord))).toEqual(
      Array.from({ length: 6 }, () => 'D'),
    )
  })
})

describe('[EN8] tag', () => {
  it('three times, the third slower, exact', () => {
    const bars = ended(lantern, 'tag', { times: 3, bars: 8 })
    expect(bars).toHaveLength(40)
    const round = (from: number) => `${from} | F/A | F4:4~
      ${from + 1} | D7#9 | F4:4
      ${from + 2} | Gm7 | D5:1.5 C5:.5 Bb4:2
      ${from + 3} | C7 | A4:2 G4:1 E4:1`
    expect(rowDifferences(bars, `${round(31)}\n${round(35)}\n39 | F6 | F4:4~\n40 | F6 | F4:4`, { len: 4 })).toEqual([])
    expect(bars.slice(0, 36).every(({ tempoBpm, tempoEndBpm }) => tempoBpm === 138 && tempoEndBpm === undefined)).toBe(
      true,
    )
    expect(bars[36]?.tempoBpm).toBe(133.86)
    expect(bars[39]?.tempoEndBpm).toBe(107.64)
    for (let index = 36; index < 39; index++) expect(bars[index]?.tempoEndBpm).toBe(bars[index + 1]?.tempoBpm)
    expect(bars[39]?.fermataTick).toBe(0)
    expect(bars[32]?.provenance.tuneBar).toBe(28)
  })
  it('where home is one bar the whole phrase of four comes back, the way back inside that bar', () => {
    const folk = tuneOfRows('1 | D | F#4:4\n2 | Em7 | G4:4\n3 | A7 | E4:4\n4 | Em7 A7 | B4:2 C#5:2\n5 | D | D5:4', {
      len: 4,
      key: 'D major',
    })
    const bars = ended(trialOf(folk), 'tag', { times: 2, bars: 4 })
    expect(chordsFrom(bars, 1)).toBe('Em7 | A7 | Em7 A7@2 | D/F# B7#9@2 | Em7 | A7 | Em7 A7@2 | D')
    const faded = ended(trialOf(folk), 'fade', { bars: 4 })
    expect(chordsFrom(faded, 5)).toBe('Em7 | A7 | Em7 A7@2 | D')
  })
  it('a phrase that begins at home on the held note: its dominant is suspended, and the note is struck anew', () => {
    const minor = tuneOfRows(
      '1 | Dm7 | D5:4\n2 | Am7 | A4:2 C5:2\n3 | E7 | G#4:2 B4:2\n4 | Am6 | A4:4~\n5 | Am6 | A4:4',
      { len: 4, key: 'A minor' },
    )
    const bars = ended(trialOf(minor), 'tag', { times: 2, bars: 4 })
    expect(chordsFrom(bars, 3)).toBe('Am/C | E7sus | Am7 | E7 | Am6 | Am6')
    expect(bars.slice(3, 6).map(melodyField)).toEqual(['A4:4~', 'A4:4', 'A4:2 C5:2'])
  })
  it('a last note struck again at home: the whole last phrase comes back, its dominant after home', () => {
    const reel = tuneOfRows('1 | G | B4:4\n2 | C | E5:4\n3 | C | G5:2 E5:2\n4 | G D7 | D5:2 F#4:2\n5 | G | G4:2 G4:2', {
      len: 4,
      key: 'G major',
    })
    const bars = ended(trialOf(reel), 'tag', { times: 2, bars: 4 })
    expect(chordsFrom(bars, 1)).toBe('C | C | G D7@2 | G G7@2 | C | C | G D7@2 | G')
    expect(bars.at(-1)?.fermataTick).toBe(10080)
    expect(trialOf(reel).offers('tag')[1]?.summary).toBe(
      'The last 4 bars come twice, G7 at the end leading back; the last time slows down.',
    )
    expect(ended(trialOf(reel), 'fade', { bars: 4 })).toHaveLength(9)
  })
  it('a tune whose last bars do not turn home has none, and says so', () => {
    const plagal = tuneOfRows('1 | C6 | C5:4\n2 | Bbmaj7 | D5:4\n3 | Fmaj7 | A4:4\n4 | C6 | C5:4', {
      len: 4,
      key: 'C major',
    })
    expect(trialOf(plagal).absent('tag')).toContain('do not turn home')
  })
})

describe('[EN9] button', () => {
  it('one hit on beat one, no bar 32, no fermata', () => {
    const bars = ended(lantern, 'button', { bars: -1 })
    expect(bars).toHaveLength(31)
    expect(melodyField(must(bars[30], 'bar 31'))).toBe('F4:1 r:3')
    expect(chordField(must(bars[30], 'bar 31').chords)).toBe('F6')
    expect(bars[30]?.fermataTick).toBeUndefined()
  })
})

describe('[EN10] ritardando', () => {
  it('the last four bars 100, 97, 92, 85, 70 per cent; a turnaround is left out', () => {
    const bars = ended(trialOf(slackTide()), 'ritardando', { bars: 0 })
    expect(bars.slice(8).map(({ tempoBpm, tempoEndBpm }) => [tempoBpm, tempoEndBpm])).toEqual([
      [116, 112.52],
      [112.52, 106.72],
      [106.72, 98.6],
      [98.6, 81.2],
    ])
    expect(chordsFrom(bars, 10)).toBe('Bb7 | Bb7')
    expect(bars.every(({ pass }) => pass === 'chorus-last')).toBe(true)
  })
})

describe('[EN15] fade', () => {
  it('the last four bars twice more, softer, no fermata', () => {
    const bars = ended(lantern, 'fade', { bars: 8 })
    expect(bars).toHaveLength(40)
    expect(bars.flatMap(({ dynamic }) => dynamic ?? [])).toEqual(['mp', 'p', 'pp'])
    expect(chordsFrom(bars, 32)).toBe('Gm7 | C7 | F6 | F6 | Gm7 | C7 | F6 | F6')
  })
})

describe('[EN11] coda', () => {
  const withCoda: Tune = (() => {
    const made = tuneOfRows(
      '1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | C6 | C5:4\n4 | C6 | r:4\n5 | Fmaj7 | A4:4\n6 | Fm6 | Ab4:4\n7 | C6 | G4:4\n8 | C6 | G4:4',
      {
        len: 4,
        key: 'C major',
        sections: [
          ['A1', 4],
          ['Coda', 4],
        ],
      },
    )
    return {
      ...made,
      sections: [...made.sections.slice(0, 1), { id: 'coda', letter: 'Coda', role: 'coda', startBar: 4, bars: 4 }],
    }
  })()
  const chorus = passesOf({ ...withCoda, sections: withCoda.sections.slice(0, 1) }, 'chorus-1', 'chorus-last')
  it('follows the last chorus, in the key a lift left', () => {
    const lifted = chorus.map((bar, index) => (index < 4 ? bar : movedBar(bar, 2)))
    const bars = ended(trialOf(withCoda, lifted), 'coda', { bars: 4 })
    expect(chordsFrom(bars, 8)).toBe('Gmaj7 | Gm6 | D6 | D6')
    expect(bars.slice(8).map(({ pass, provenance }) => [pass, provenance.tuneBar])).toEqual(
      [4, 5, 6, 7].map((bar) => ['ending', bar]),
    )
    expect(melodyField(must(bars[9], 'bar 10'))).toBe('Bb4:4')
  })
  it('goes into the metre of the groove', () => {
    const waltz = must(rebar(chorus, { metre: { beats: 3, beatType: 4 }, groups: [3] }), 'a waltz').bars
    const bars = ended(trialOf(withCoda, waltz), 'coda', { bars: 4 })
    expect(bars.slice(-4).every(({ metre, lengthTicks }) => metre.beats === 3 && lengthTicks === 15120)).toBe(true)
  })
  it('is absent where the tune has none', () => {
    expect(lantern.absent('coda')).toBe('The tune has no coda of its own.')
  })
})

describe('[EN2] where an ending comes', () => {
  it('inserted bars belong to the ending and to no tune bar; the final bars keep theirs', () => {
    const bars = ended(lantern, 'delayed-tonic', { chords: ['bII'], bars: 2 })
    expect(bars.slice(0, 30)).toEqual(written.slice(0, 30))
    expect(
      bars
        .slice(30)
        .map(({ pass, sectionId, provenance }) => [pass, sectionId, provenance.decision, provenance.tuneBar]),
    ).toEqual([undefined, undefined, 30, 31].map((tuneBar) => ['ending', 'ending', 'ending', tuneBar]))
  })
  it('a last note that begins inside the last bar is delayed right there, tied over, and the last chord made', () => {
    const late = tuneOfRows('1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | C6 | E5:2 C5:2', { len: 4, key: 'C major' })
    const bars = ended(trialOf(late), 'delayed-tonic', { chords: ['bII'], bars: 1 })
    expect(bars.slice(2).map(melodyField)).toEqual(['E5:2 C5:2~', 'C5:4'])
    expect(chordsFrom(bars, 2)).toBe('C6 Dbmaj7@2 | C6')
  })
  it('a short last note is held through what is added', () => {
    const short = tuneOfRows('1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | C6 | C5:1 r:3\n4 | C6 | -', { len: 4, key: 'C major' })
    const bars = ended(trialOf(short), 'delayed-tonic', { chords: ['bII'], bars: 1 })
    expect(bars.slice(2).map(melodyField)).toEqual(['C5:4~', 'C5:1 r:3', '-'])
  })
  it('a turnaround after home is left out: there is nothing to turn back to', () => {
    const bars = ended(trialOf(slackTide()), 'delayed-tonic', { chords: ['bII'], bars: 2 })
    expect(chordsFrom(bars, 10)).toBe('Bmaj7 | Bmaj7 | Bb7 | Bb7')
  })
  it('a melody that rests at home leaves the added bars silent', () => {
    const quiet = tuneOfRows('1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | C6 | r:4\n4 | C6 | r:4', { len: 4, key: 'C major' })
    const bars = ended(trialOf(quiet), 'chromatic-descent', { rate: 1, bars: 6 })
    expect(bars.slice(2).every(({ melody }) => melody.length === 0)).toBe(true)
  })
  it('∆ under a held tonic becomes the sixth', () => {
    const plain = tuneOfRows('1 | Dm7 | A4:4\n2 | G7 | B4:4\n3 | Cmaj7 | C5:4~\n4 | Cmaj7 | C5:4', {
      len: 4,
      key: 'C major',
    })
    expect(chordsFrom(ended(trialOf(plain), 'delayed-tonic', { chords: ['bII'], bars: 1 }), 2)).toBe('Dbmaj7 | C6 | C6')
  })
})

describe('[EN14] after any lift, in any metre', () => {
  const lifted = new Trial(liftRecipes, tune, written, { passId: 'chorus-last', sectionId: 'B1' }).apply(
    'sus-dominant',
    {
      semitones: 2,
      preparation: 'sus-dominant',
    },
  ).bars
  it('up a whole step every row is a whole step up', () => {
    const trial = trialOf(tune, lifted)
    for (const { id, offer } of offersOf(lantern)) {
      const plain = ended(lantern, id, offer.params).slice(30)
      const moved = ended(trial, id, offer.params).slice(30)
      // Compared by what sounds: in G the ♯IV of the fall is written D♭7♯11, without double sharps.
      expect(moved.map(soundOf), offer.title).toEqual(plain.map((bar) => soundOf(movedBar(bar, 2))))
      expect(moved.map(melodyField)).toEqual(plain.map((bar) => melodyField(movedBar(bar, 2))))
      expect(moved.every(({ key }) => key.key === 'G major')).toBe(true)
    }
    expect(chord('G6').root).toBe('G')
  })
  it('in 7/4, where home is one bar; in 3/4, 5/4 and 12/8', () => {
    for (const [beats, beatType, groups] of [
      [7, 4, [4, 3]],
      [3, 4, [3]],
      [5, 4, [3, 2]],
      [12, 8, [3, 3, 3, 3]],
    ] as const) {
      const again = must(rebar(written, { metre: { beats, beatType }, groups }), 'a way').bars
      const trial = trialOf(tune, again)
      for (const { id, offer } of offersOf(trial)) {
        const bars = ended(trial, id, offer.params)
        for (const bar of bars) {
          expect(bar.lengthTicks).toBe(barTicks({ beats, beatType }))
          expect(
            bar.chords.reduce((sum, placed) => sum + placed.durationTicks, 0),
            offer.title,
          ).toBe(bar.lengthTicks)
        }
      }
    }
    const seven = must(rebar(written, { metre: { beats: 7, beatType: 4 }, groups: [4, 3] }), '7/4').bars
    expect(chordsFrom(ended(trialOf(tune, seven), 'chromatic-descent', { rate: 2, bars: 3 }), 15)).toBe(
      'Bm7b5 Bbm6@4 | F/A Abdim7@4 | Gm7 Gbmaj7@4 | F6',
    )
    expect(chordsFrom(ended(trialOf(tune, seven), 'tag', { times: 2, bars: 2 }), 15)).toBe('F/A D7#9@4 | Gm7 C7@4 | F6')
  })
})

describe('[EN12] the last chord carries the last note', () => {
  it('every option of the worked tunes: no hard note in the ending, a fermata but for button and fade, every tie taken up', () => {
    for (const own of [lanternSlip(), ferryBell(), slackTide()]) {
      const trial = trialOf(own)
      const all = offersOf(trial)
      expect(new Set(all.map(({ id }) => id)).size).toBeGreaterThanOrEqual(5)
      for (const { id, offer } of all) {
        const bars = ended(trial, id, offer.params)
        const last = must(bars.at(-1), 'a last bar')
        expect(last.fermataTick === undefined, offer.title).toBe(id === 'button' || id === 'fade')
        const note = last.melody.at(-1)
        if (note && id !== 'as-written')
          expect(fitOf(must(last.chords.at(-1), 'a chord').chord, nameOfPitch(note.name)), offer.title).toBe('ok')
        for (const [index, bar] of bars.entries()) {
          expect(
            judgeMelody(bar).filter(({ fit }) => fit === 'hard'),
            `${own.title} ${offer.title}`,
          ).toEqual([])
          const tied = bar.melody.at(-1)
          if (tied?.tiedToNext) expect(bars[index + 1]?.melody[0]).toMatchObject({ startTick: 0, midi: tied.midi })
        }
      }
    }
  })
  it('a delayed ending takes exactly the bars it says', () => {
    for (const { id, offer } of offersOf(lantern)) {
      expect(ended(lantern, id, offer.params).length - written.length, offer.title).toBe(offer.params['bars'])
    }
  })
})

describe('[EN13] nonsense', () => {
  it('leaves the bars and says so, for every recipe', () => {
    for (const recipe of ['delayed-tonic', 'vamp', 'chromatic-descent', 'dominant-pedal', 'tag', 'fade']) {
      for (const bars of [0, -3, 1.5, 1000, Number.NaN, 'two', true]) {
        const made = lantern.apply(recipe, { bars, chords: ['bII'] })
        expect(made.bars, `${recipe} ${String(bars)}`).toEqual(written)
        expect(made.issues).toMatchObject([{ code: 'EN13', severity: 'warning', path: 'chosen' }])
      }
    }
    expect(lantern.apply('chromatic-descent', { rate: 3, bars: 2 }).bars).toEqual(written)
  })
  it('an ending that adds no bars says so when asked for some', () => {
    for (const recipe of ['as-written', 'button', 'ritardando'])
      expect(lantern.apply(recipe, { bars: 4 }).issues, recipe).toMatchObject([{ code: 'EN13', severity: 'warning' }])
  })
  it('no bars at all', () => {
    const empty = trialOf(tune, [])
    for (const { id } of endingRecipes) {
      expect(empty.apply(id, { bars: 2 }).bars).toEqual([])
      expect(empty.offers(id)).toEqual([])
    }
  })
  it('a tune of one bar', () => {
    const one = tuneOfRows('1 | C6 | C5:4', { len: 4, key: 'C major' })
    for (const { id, offer } of offersOf(trialOf(one)))
      expect(ended(trialOf(one), id, offer.params).length, id).toBeGreaterThan(0)
    expect(rows('1 | C6 | C5:4', { len: 4, key: 'C major' })).toHaveLength(1)
  })
})
