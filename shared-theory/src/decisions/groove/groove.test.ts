/** Groove options on the worked tunes, and what applying them makes of the bars. */
import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, melodyField, passesOf, rows, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import { GROOVES } from '../../rhythm/index.js'
import { barTicks, formatMetre } from '../../units/index.js'
import { grooveRecipes, readGrooveRequest, tempoFor } from './index.js'

const trialOf = (tune: ReturnType<typeof lanternSlip>) =>
  new Trial(grooveRecipes, tune, passesOf(tune, 'chorus-1', 'chorus-last'), { passId: 'chorus-1' })
const lantern = trialOf(lanternSlip())
const ferry = trialOf(ferryBell())
const slack = trialOf(slackTide())

describe('[GD1] what is offered', () => {
  it('tunes in five, seven and nine have five grooves or more', () => {
    for (const [beats, beatType] of [
      [5, 4],
      [7, 8],
      [9, 8],
    ] as const) {
      const len = (beats * 4) / beatType
      const bars = Array.from({ length: 8 }, (_, bar) => `${bar + 1} | F6 | F4:${len}`).join('\n')
      const trial = trialOf(tuneOfRows(bars, { len, key: 'F major', metre: { beats, beatType } }))
      const offers = grooveRecipes.flatMap(({ id }) => trial.offers(id))
      expect(offers.length, `${beats}/${beatType}`).toBeGreaterThanOrEqual(5)
    }
  })
  it('a 4/4 tune is offered every groove of the catalogue but rubato, once, and as written first among equals', () => {
    const offered = grooveRecipes.flatMap(({ id }) => lantern.offers(id).map(({ params }) => params['groove']))
    const wanted = GROOVES.filter(({ metre }) => metre !== 'any').map(({ id }) => id)
    expect(new Set(offered)).toEqual(new Set(wanted))
    expect(lantern.offers('as-written')[0]?.params).toEqual({ groove: 'swing-medium', metre: '4/4', tempoBpm: 138 })
    expect(lantern.absent('swing-medium')).toContain('as written')
  })

  it('waltz and blues get theirs too, in the metres their maps reach', () => {
    for (const trial of [ferry, slack]) {
      const offers = grooveRecipes.flatMap(({ id }) => trial.offers(id))
      expect(offers.length).toBeGreaterThanOrEqual(15)
    }
    expect(ferry.offers('bossa')[0]?.title).toBe('Bossa nova, 4/4, quarter = 144')
    expect(ferry.offers('seven-4-even')[0]?.params['metre']).toBe('7/4')
  })

  it('every offer has one sentence about this tune, a rule chain, and figures between their bounds', () => {
    for (const trial of [lantern, ferry, slack]) {
      const summaries = new Set<string>()
      for (const { id } of grooveRecipes) {
        for (const offer of trial.offers(id)) {
          expect(offer.summary).toMatch(/^[A-Z0-9].*\.$/)
          expect(offer.reason.length).toBeGreaterThan(0)
          for (const { rule, text } of offer.reason) expect(rule.length > 2 && text.length > 5).toBe(true)
          for (const share of [offer.suits, offer.distance, offer.difficulty])
            expect(share >= 0 && share <= 1).toBe(true)
          expect(Math.abs(offer.energy)).toBeLessThanOrEqual(1)
          summaries.add(offer.summary)
        }
      }
      expect(summaries.size).toBeGreaterThan(12)
    }
  })

  it('[GD6] a blues likes the shuffle better than the bossa, a held ∆ tune the other way round', () => {
    const suits = (trial: Trial, id: string) => trial.offers(id)[0]?.suits ?? 0
    const heldTune = tuneOfRows('1 | Fmaj7 | A4:4\n2 | Gm7 | r:.5 D5:3.5\n3 | Am7 | C5:4\n4 | Bbmaj7 | r:.5 D5:3.5', {
      len: 4,
      key: 'F major',
      tempoBpm: 130,
    })
    const held = trialOf(heldTune)
    // The blues is written as a shuffle's tempo of swing: both are offered there.
    expect(suits(slack, 'shuffle')).toBeGreaterThan(suits(slack, 'bossa'))
    expect(suits(held, 'bossa')).toBeGreaterThan(suits(held, 'shuffle'))
  })

  it('where a bar cannot go, the answer names it', () => {
    const sixteenths = Array.from({ length: 16 }, () => 'F4:.25').join(' ')
    const tune = tuneOfRows(`1 | F6 | F4:4\n2 | F6 | ${sixteenths}`, { len: 4, key: 'F major' })
    expect(trialOf(tune).absent('seven-4-even')).toBe(
      "Bar 2 of the tune can't go to 7/4: a note would become shorter than a triplet sixteenth. Longer notes there, or a groove in the tune's own metre, would work.",
    )
    const thirteen = tuneOfRows('1 | F6 | F4:6.5', { len: 6.5, key: 'F major', metre: { beats: 13, beatType: 8 } })
    expect(trialOf(thirteen).absent('bossa')).toContain('no re-barring leads there from 13/8')
    expect(trialOf(thirteen).offers('as-written')[0]?.params['groove']).toBe('plain-13-8')
  })
})

describe('[GD2] applying a groove', () => {
  it('sets metre, groups, feel and tempo on every bar, stamps it, and keeps the tune bar', () => {
    for (const trial of [lantern, ferry, slack]) {
      for (const { id } of grooveRecipes) {
        for (const offer of trial.offers(id)) {
          const { bars, issues } = trial.apply(id, offer.params)
          expect(issues.filter(({ severity }) => severity !== 'note')).toEqual([])
          for (const bar of bars) {
            expect(bar.lengthTicks).toBe(barTicks(bar.metre))
            expect(bar.groups.reduce((sum, group) => sum + group, 0)).toBe(bar.metre.beats)
            expect(bar.tempoBpm).toBe(offer.params['tempoBpm'])
            expect(bar.feel).toBe(GROOVES.find((groove) => groove.id === offer.params['groove'])?.feel)
            if (id !== 'as-written') expect(bar.provenance.decision).toBe('groove')
            expect(bar.provenance.tuneBar).toBeDefined()
          }
          const inMetre = bars.filter(({ metre }) => formatMetre(metre) === offer.params['metre']).length
          expect(inMetre / bars.length).toBeGreaterThan(0.9)
        }
      }
    }
  })

  it('bossa and samba keep the tune to the tick; samba at 104', () => {
    for (const id of ['bossa', 'samba', 'ballad-even']) {
      const params = lantern.offers(id)[0]?.params ?? {}
      const { bars } = lantern.apply(id, params)
      expect(bars.map((bar) => [chordField(bar.chords), melodyField(bar)])).toEqual(
        lantern.bars.map((bar) => [chordField(bar.chords), melodyField(bar)]),
      )
    }
    expect(lantern.offers('samba').map(({ params }) => params['tempoBpm'])).toEqual([104, 104])
    expect(lantern.apply('samba', lantern.offers('samba')[1]?.params ?? {}).bars).toHaveLength(128)
  })

  it('options of one tune all give different bars', () => {
    const made = grooveRecipes.flatMap(({ id }) =>
      lantern
        .offers(id)
        .map(({ params }) =>
          JSON.stringify([
            params['groove'],
            lantern.apply(id, params).bars.map(({ provenance: _provenance, ...bar }) => bar),
          ]),
        ),
    )
    expect(new Set(made).size).toBe(made.length)
  })

  it('named maps are obeyed', () => {
    const { bars } = lantern.apply('jazz-waltz', {
      groove: 'jazz-waltz',
      metre: '3/4',
      tempoBpm: 150,
      maps: ['43-long'],
    })
    expect(bars).toHaveLength(128)
    const turned = lantern.apply('jazz-waltz', { groove: 'jazz-waltz', metre: '3/4', tempoBpm: 150, maps: ['43b'] })
    expect(melodyField(turned.bars[0]!)).toBe('A4:1 F4:1 G4:1')
  })

  it('[GD3] nonsense leaves the bars and says so', () => {
    const same = (params: Record<string, string | number | boolean | readonly (string | number)[]>) => {
      const { bars, issues } = lantern.apply('bossa', params)
      expect(bars).toEqual(lantern.bars)
      expect(issues.some(({ severity }) => severity === 'error')).toBe(true)
      return issues[0]?.message
    }
    expect(same({})).toContain("no groove 'undefined'")
    expect(same({ groove: 'polka' })).toContain('polka')
    expect(same({ groove: 42 })).toContain('42')
    expect(same({ groove: 'rubato' })).toContain('openings and endings')
    expect(same({ groove: 'jazz-waltz', maps: ['nonsense'] })).toContain('no re-barring')
    const slow = lantern.apply('bossa', { groove: 'bossa', metre: '4/4', tempoBpm: -5 })
    expect(slow.bars[0]?.tempoBpm).toBe(128)
    expect(slow.issues.map(({ severity, code }) => [severity, code])).toContainEqual(['warning', 'GD3'])
    expect(lantern.apply('bossa', { groove: 'bossa', metre: '5/4', tempoBpm: 128 }).issues[0]?.message).toContain(
      'not 5/4',
    )
    expect(lantern.apply('bossa', { groove: 'bossa' }, []).bars).toEqual([])
  })

  it('[GD4] as written never re-bars, even when the tune has changed its metre since', () => {
    const waltz = passesOf(ferryBell(), 'chorus-1')
    const { bars } = lantern.apply('as-written', { groove: 'swing-medium', metre: '4/4', tempoBpm: 138 }, waltz)
    expect(bars.every(({ metre, feel }) => formatMetre(metre) === '3/4' && feel === 'swing')).toBe(true)
  })

  it('[GD5] tempo: the beat stays equal where the groove can be played at it', () => {
    const groove = (id: string) => GROOVES.find((each) => each.id === id)!
    const common = { beats: 4, beatType: 4 } as const
    expect(tempoFor(groove('afro-12-8'), common, 120)).toBe(180)
    expect(tempoFor(groove('ballad-6-8'), common, 50)).toBe(75)
    expect(tempoFor(groove('bossa'), common, 138)).toBe(138)
    expect(tempoFor(groove('samba'), common, 138)).toBe(104)
    expect(tempoFor(groove('bossa'), common, undefined)).toBe(128)
    expect(readGrooveRequest({ groove: 'bossa' }, rows('1 | F6 | F4:4', { len: 4, key: 'F major' }))).toMatchObject({
      tempoBpm: 128,
    })
  })
})
