import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, passesOf, rowDifferences, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import { must } from '../../units/index.js'
import { harmonyRecipes } from './index.js'

const tune = lanternSlip()
const bars = passesOf(tune, 'chorus-1')
const lastA = new Trial(harmonyRecipes, tune, bars, { passId: 'chorus-1', sectionId: 'A3' })
const diff = (id: string, params: Parameters<Trial['apply']>[1], expected: string, enharmonic = false) => {
  const { bars: made, issues } = lastA.apply(id, params)
  const named = new Set(
    expected
      .trim()
      .split('\n')
      .map((line) => Number(line.split('|')[0])),
  )
  const stray = made
    .filter((bar, index) => JSON.stringify(bar.chords) !== JSON.stringify(bars[index]?.chords) && !named.has(index + 1))
    .map((bar) => `bar ${bar.barIndex + 1} changed too: ${chordField(bar.chords)}`)
  const melody = made.flatMap((bar, index) =>
    JSON.stringify(bar.melody) === JSON.stringify(bars[index]?.melody) ? [] : [`bar ${index + 1}: melody changed`],
  )
  return [
    ...issues.map(({ message }) => message),
    ...rowDifferences(made, expected, { len: 4, enharmonic }),
    ...stray,
    ...melody,
  ]
}

const distance = (id: string, at = 0): number => lastA.offers(id)[at]?.distance ?? Number.NaN

/** Two bars of A minor that stand still, on the way to iv. */
const still = (second: string): Trial => {
  const made = tuneOfRows(`1 | Am7 | C5:2 E5:2\n2 | Am7 | ${second}\n3 | Dm7 | F5:4\n4 | Am6 | A4:4`, {
    len: 4,
    key: 'A minor',
  })
  return new Trial(harmonyRecipes, made, passesOf(made, 'chorus-1'), { passId: 'chorus-1' })
}

describe('worked rows on the last eight bars', () => {
  it('[HA3] tritone substitution: only the dominant that falls a fifth', () => {
    expect(diff('tritone-substitution', { where: 'cadence' }, '30 | Gb7alt | =')).toEqual([])
    expect(diff('tritone-substitution', { where: 'approach' }, '28 | Gb7b9 | =')).toEqual([])
  })
  it('[HA4] related ii with its secondary dominant', () => {
    const offers = lastA.offers('related-ii')
    expect(offers.map(({ params }) => params['bar'])).toEqual([0, 1])
    expect(diff('related-ii', { bar: 0 }, '25 | Em7b5 A7b13 | =')).toEqual([])
    expect(diff('related-ii', { bar: 1 }, '26 | Am7 D7 | =')).toEqual([])
  })
  it('[HA5] secondary dominants', () => {
    expect(diff('secondary-dominants', { where: 'all' }, '25 | Fmaj7 A7b13 | =\n26 | Dm7 D7 | =')).toEqual([])
  })
  it('[HA6] back door: full pair refused, short and delayed stand', () => {
    expect(diff('backdoor', { form: 'short' }, '30 | Eb7b9#11 | =')).toEqual([])
    expect(diff('backdoor', { form: 'delayed' }, '31 | Bbm7 Eb9 | =')).toEqual([])
    const full = lastA.apply('backdoor', { form: 'full' })
    expect(full.bars).toEqual(bars)
    expect(full.issues[0]?.message).toContain('Bar 29 of the tune: D over B♭m7 is its major third.')
  })
  it('[HA7] diminished passing: iii–♭iii°–ii', () => {
    expect(
      diff('diminished-passing', { form: 'iii-biii-ii', to: 4, rate: 1 }, '27 | Am7 | =\n28 | Abdim7 | ='),
    ).toEqual([])
  })
  it('[HA14] modal interchange: ♭VI∆ for vi first, iiø refused', () => {
    const [first] = lastA.offers('modal-interchange')
    expect(diff('modal-interchange', first?.params ?? {}, '26 | Dbmaj7#11 | =')).toEqual([])
    const refused = lastA.apply('modal-interchange', { swap: 'iio-for-ii' })
    expect(refused.bars).toEqual(bars)
    expect(refused.issues[0]?.message).toContain('Bar 27 of the tune: D over Gø7 is its 5.')
  })
  it('[HA9] chromatic descent, one a bar to bar 29', () => {
    const expected = '25 | Bm7b5 | =\n26 | Bbm6 | =\n27 | F/A | =\n28 | Abdim7 | =\n29 | Gm7 | ='
    expect(diff('chromatic-descent', { rate: 1, from: 0, target: 4 }, expected)).toEqual([])
  })
  it('[HA9] two and four a bar where they are asked for', () => {
    const two = '27 | Bm7b5 Bbm6 | =\n28 | F/A Abdim7 | ='
    expect(diff('chromatic-descent', { rate: 2, from: 2, target: 4 }, two)).toEqual([])
    const four = '28 | Bm7b5 Bbm6 F/A Abdim7 | ='
    expect(diff('chromatic-descent', { rate: 4, from: 3, target: 4 }, four)).toEqual([])
    expect(lastA.offers('chromatic-descent').every(({ params }) => Number(params['rate']) <= 2)).toBe(true)
  })
  it('[HA9] going on to the tonic, ♭II∆ gives way to the altered dominant', () => {
    const expected = '25 | Bm7b5 | =\n26 | Bbm6 | =\n27 | F/A | =\n28 | Abdim7 | =\n29 | Gm7 | =\n30 | Gb7alt | ='
    expect(diff('chromatic-descent', { rate: 1, from: 0, target: 6 }, expected)).toEqual([])
  })
  it('[HA10] before a dominant under a melody that has ended, half a bar each; [HA11] a bar that is not home leads back', () => {
    const blues = slackTide()
    const trial = new Trial(harmonyRecipes, blues, passesOf(blues, 'chorus-1'), { passId: 'chorus-1' })
    const made = trial.apply('half-step-above', { form: 'before-dominant', bar: 11 }).bars
    expect(chordField(must(made[11], 'bar 12').chords)).toBe('Gbmaj7 F7sus@2')
    expect(trial.offers('up-a-half-step')[0]?.summary).toMatch(/F7sus leads back to the key\.$/)
    expect(lastA.offers('up-a-half-step')[0]?.summary).toMatch(/F6 brings it home\.$/)
  })
  it('[HA10] from a half step above', () => {
    expect(diff('half-step-above', { form: 'delay', bar: 6 }, '31 | Dbmaj7 Eb9 | =')).toEqual([])
    expect(diff('half-step-above', { form: 'before-dominant', bar: 3 }, '28 | Dbmaj7 C7@3 | =')).toEqual([])
    expect(lastA.apply('half-step-above', { form: 'before-dominant', bar: 5 }).issues).toHaveLength(1)
    // Falling needs home again after its two bars: the first A leads to the second, here nothing follows.
    expect(lastA.apply('half-step-above', { form: 'falling', bar: 6 }).issues).toHaveLength(1)
    const firstA = new Trial(harmonyRecipes, tune, bars, { passId: 'chorus-1', sectionId: 'A1' })
    const fallen = firstA.apply('half-step-above', { form: 'falling', bar: 6 })
    expect(rowDifferences(fallen.bars, '7 | Dbmaj7 C7sus | =\n8 | B7#11 Bbmaj7 | =', { len: 4 })).toEqual([])
    expect(firstA.offers('half-step-above').map(({ params }) => params['form'])).toContain('falling')
  })
  it('[HA11] everything up a half step', () => {
    const expected = `
25 | F#mmaj7 Eb7@3 | =
26 | Eb13 | =
27 | Ab7b9#11 | =
28 | Db7#9#11 | =
29 | Ab7#11 | =
30 | Db7alt | =
31 | Gbmaj7 | =
32 | F6 | =`
    expect(diff('up-a-half-step', {}, expected)).toEqual([])
  })
  it('[HA12] free root line', () => {
    const expected = `
25 | Bbmaj7 | =
26 | Eb13 | =
27 | Ab7b9#11 | =
28 | Db7#9#11 | =
29 | Gb7#11b13 | =
30 | Bm7b5 | =
31 | Bbm6 | =
32 | F6 | =`
    const roots = ['Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'Bb', 'F']
    expect(diff('free-root-line', { roots }, expected)).toEqual([])
    expect(diff('free-root-line', { roots: [5, 10, 3, 8, 1, 6, 5, 0] }, expected)).toEqual([])
  })
})

describe('what is the same for all recipes', () => {
  it('[HA1] as written changes nothing', () => {
    expect(lastA.apply('as-written', {}).bars).toBe(bars)
    expect(lastA.offers('as-written')).toHaveLength(1)
  })
  it('[HA2] changed bars say who changed them and where they come from; the rest is the same object', () => {
    const { bars: made } = lastA.apply('tritone-substitution', { where: 'cadence' })
    expect(made[29]?.provenance).toEqual({
      decision: 'harmony',
      optionId: 'tritone-substitution-test',
      rule: 'HA3',
      tuneBar: 29,
    })
    expect(made.filter((bar, index) => bar !== bars[index])).toHaveLength(1)
    const twice = lastA.apply('backdoor', { form: 'short' }, made).bars[29]
    expect(twice?.provenance.trail ?? []).toEqual([])
  })
  it('[HA8] tonic pedal: F under every chord that is not on it', () => {
    expect(diff('tonic-pedal', { bars: 4 }, '26 | Dm7/F | =\n27 | Gm7/F | =\n28 | C7/F | =')).toEqual([])
  })
  it('[HA21] line cliché over a minor chord that stands still, refused under its held root', () => {
    const trial = still('C5:2 E5:2')
    expect(
      rowDifferences(trial.apply('line-cliche', { bar: 0 }).bars, '1 | Am Am(maj7) | =\n2 | Am7 Am6 | =', { len: 4 }),
    ).toEqual([])
    expect(still('F5:4').absent('line-cliche')).toBe('Bar 2 of the tune: F over Am7 is its ♭13.')
    const held = tuneOfRows('1 | Am7 | A4:4~\n2 | Am7 | A4:4\n3 | Dm7 | F5:4', { len: 4, key: 'A minor' })
    const rubbing = new Trial(harmonyRecipes, held, passesOf(held, 'chorus-1'), { passId: 'chorus-1' })
    expect(rubbing.absent('line-cliche')).toContain('the held A rubs against the major seventh')
  })
  it('[HA13] circle of fifths into the tonic: roots fall by fifths', () => {
    const [first] = lastA.offers('cycle-extension')
    const made = lastA.apply('cycle-extension', first?.params ?? {}).bars.slice(26, 31)
    // What the tune has on its own way of fifths stays to the letter.
    expect(chordField(made[3]?.chords ?? [])).toBe('C7')
    expect(made.map(({ chords }) => chords[0]?.chord.root)).toEqual(['A', 'D', 'G', 'C', 'F'])
  })
  it('[HA16] what cannot work here says why, naming the bar or the chord', () => {
    const pedalled = tuneOfRows('1 | C6 | G4:4\n2 | C6 | G4:4', { len: 4, key: 'C major' })
    const still = new Trial(harmonyRecipes, pedalled, passesOf(pedalled, 'chorus-1'), { passId: 'chorus-1' })
    expect(still.absent('tritone-substitution')).toBe(
      'There is no dominant seventh chord in this stretch to substitute.',
    )
    expect(still.absent('tonic-pedal')).toContain('stands on the tonic already')
    const clashing = tuneOfRows('1 | G7 | C5:4\n2 | C6 | G4:4', { len: 4, key: 'C major' })
    const trial = new Trial(harmonyRecipes, clashing, passesOf(clashing, 'chorus-1'), { passId: 'chorus-1' })
    expect(trial.absent('tritone-substitution')).toBe('Bar 1 of the tune: C over D♭7 is its major seventh.')
  })
  it('[HA22] a soft note that is held costs rank and stands in the reason', () => {
    const offers = lastA.recipes.flatMap(({ id }) => lastA.offers(id))
    const soft = offers.filter(({ reason }) => reason.some(({ text }) => text.startsWith('soft: Bar ')))
    for (const { summary } of offers)
      expect(summary.replaceAll(/bars? [\d–, and]+ of the tune/g, '')).not.toMatch(/In bar|In bars/)
    const waltz = new Trial(harmonyRecipes, ferryBell(), passesOf(ferryBell(), 'chorus-1'), {
      passId: 'chorus-1',
      sectionId: 'B1',
    })
    const held = waltz.offers('chromatic-descent').find(({ params }) => params['target'] === 5)
    expect(held?.reason.at(-1)?.text).toBe('soft: Bar 13 of the tune: E♭ over B♭7 is its 11.')
    expect(held?.suits).toBeLessThan(0.75)
    expect(soft.every(({ suits }) => suits <= 0.65)).toBe(true)
  })
  it('[HA17] every repetition of the pass, and the next tune bar by bar', () => {
    const twice = [...passesOf(tune, 'chorus-1', 'chorus-1#2', 'chorus-last')]
    const trial = new Trial(harmonyRecipes, tune, twice, { passId: 'chorus-1', sectionId: 'A3' })
    const made = trial.apply('tritone-substitution', { where: 'cadence' }).bars
    expect(made.flatMap((bar, index) => (bar === twice[index] ? [] : [index + 1]))).toEqual([30, 62])
    const edited = bars.map((bar, index) =>
      index === 29 ? { ...bar, melody: bar.melody.map((note) => ({ ...note, midi: 65, name: 'F4' })) } : bar,
    )
    const result = lastA.apply('tritone-substitution', { where: 'cadence' }, edited)
    expect(result.bars).toEqual(edited)
    expect(result.issues[0]?.message).toContain('Bar 30 of the tune: F over G♭7 is its major seventh.')
  })
  it('[HA18] nonsense params leave the bars and say so', () => {
    const nonsense = [
      {},
      { where: 7 },
      { bar: 99 },
      { bar: 'x' },
      { target: -1, rate: 3 },
      { roots: ['H', 3] },
      { roots: [] },
      { seed: 0.5 },
      { swap: 'x' },
      { count: 99, target: 2 },
      { form: 3, to: 1.5 },
      { bars: Number.NaN },
    ]
    for (const recipe of harmonyRecipes) {
      for (const params of nonsense) {
        const made = lastA.apply(recipe.id, params)
        const hasChanged = made.bars.some((bar, index) => bar !== bars[index])
        if (!hasChanged && recipe.id !== 'as-written') {
          expect(
            made.issues.map(({ severity }) => severity),
            `${recipe.id} ${JSON.stringify(params)}`,
          ).toEqual(['warning'])
        }
      }
    }
  })
  it('[HA19] distance grows from one substitute to a whole new line', () => {
    const small = Math.max(distance('tritone-substitution'), distance('backdoor'))
    const middle = [
      distance('related-ii'),
      distance('related-ii', 1),
      distance('secondary-dominants'),
      distance('modal-interchange'),
    ]
    expect(small).toBeLessThan(Math.min(...middle))
    expect(Math.max(...middle)).toBeLessThan(distance('diminished-passing'))
    expect(distance('diminished-passing')).toBeLessThan(distance('chromatic-descent'))
    expect(distance('chromatic-descent')).toBeLessThan(Math.min(distance('up-a-half-step'), distance('free-root-line')))
  })
  it('[HA20] a place that is not there changes nothing', () => {
    const nowhere = new Trial(harmonyRecipes, tune, bars, { passId: 'encore' })
    const { bars: made, issues } = nowhere.apply('backdoor', { form: 'short' })
    expect(made).toBe(bars)
    expect(issues.map(({ message }) => message)).toEqual(['backdoor: no bars at its place.'])
  })
  it('[HA24] three keys a major third apart into home', () => {
    const made = tuneOfRows(
      '1 | Cmaj7 | G4:4\n2 | Am7 | C5:2 G4:2\n3 | Dm7 | D5:4\n4 | G7 | r:2 B4:2\n5 | Cmaj7 | G4:4',
      { len: 4, key: 'C major' },
    )
    const trial = new Trial(harmonyRecipes, made, passesOf(made, 'chorus-1'), { passId: 'chorus-1' })
    const { bars: written, issues } = trial.apply('major-third-cycle', { target: 4, rate: 2, way: 'falling' })
    expect(issues).toEqual([])
    expect(written.map((bar) => chordField(bar.chords))).toEqual([
      'Cmaj7',
      'Am7 Eb7@2',
      'Abmaj7#11 B7#9@2',
      'Emaj7 G7@2',
      'Cmaj7',
    ])
    expect(trial.apply('major-third-cycle', { target: 2, rate: 1, way: 'rising' }).issues).toHaveLength(1)
  })
  it('[HA25] more gives more and drops none; a rate and a seed are followed', () => {
    const idsAt = (more: number) =>
      harmonyRecipes.flatMap(({ id }) =>
        lastA.offers(id, { more }).map(({ params }) => `${id} ${JSON.stringify(params)}`),
      )
    const lists = [0, 1, 2].map(idsAt)
    for (const [n, list] of lists.slice(1).entries()) {
      expect(list.length).toBeGreaterThan(lists[n]?.length ?? 0)
      expect(list).toEqual(expect.arrayContaining([...(lists[n] ?? [])]))
    }
    expect(lastA.offers('chromatic-descent', { rate: 2 })[0]?.params['rate']).toBe(2)
    expect(lastA.offers('chromatic-descent').every(({ params }) => params['rate'] !== 4)).toBe(true)
    expect(lastA.offers('free-root-line', { seed: 40 })[0]?.params['seed']).toBe(40)
    // The line to ii and the whole way home, and no other twice.
    const kinds = lastA
      .offers('chromatic-descent')
      .map(({ params: { rate, start, last } }) => [rate, start, last].join(' '))
    expect(kinds.length - new Set(kinds).size).toBeLessThanOrEqual(1)
  })
  it('[HA9] down from home to V, and from ♯iv to VI7 before ii', () => {
    const home = lastA.offers('chromatic-descent', { more: 2 }).find(({ params }) => params['start'] === 0)
    expect(home?.title).toContain('from home to C7')
    const rows = Array.from({ length: 10 }, (_, n) => `${n + 1} | ${n < 5 ? 'Fmaj7' : 'F6'} | r:4`).join('\n')
    const made = tuneOfRows(`${rows}\n11 | Gm7 | G4:4`, { len: 4, key: 'F major' })
    const trial = new Trial(harmonyRecipes, made, passesOf(made, 'chorus-1'), { passId: 'chorus-1' })
    const { bars: written } = trial.apply('chromatic-descent', { rate: 1, target: 10, last: 'VI' })
    expect(chordField(written[0]?.chords ?? [])).toBe('Bm7b5')
    expect(written.slice(9).map((bar) => chordField(bar.chords))).toEqual(['D7', 'Gm7'])
  })
  it('[HA19] the distance is told as notes shared and functions kept', () => {
    const told = lastA.offers('tritone-substitution')[0]?.reason.find(({ rule }) => rule === 'HA19')?.text
    expect(told).toMatch(/^changes 1 of 8 bars; \d of \d chord notes shared, function kept in 1 of 1 chords$/)
  })
})
