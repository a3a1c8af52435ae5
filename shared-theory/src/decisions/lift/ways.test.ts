/** The ways into a new key one by one: paths between keys, the held note, the line, the octave, the spelling, what was asked for. */
import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, melodyField, passesOf, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import { chord, pitchClassesOf } from '../../chords/index.js'
import type { ArrangedBar, Option, PartSpec, Plan, Tune } from '../../contract/index.js'
import { keySignatureOf, must, parseNoteName, pitchClass, tonicOf } from '../../units/index.js'
import type { Offer } from '../recipe.js'
import { commonTone, commonTriads, liftRecipes, modulationPaths, movedBar, PREPARATIONS } from './index.js'

const KEYS = [
  ...['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'].map((tonic) => `${tonic} major`),
  ...['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'].map((tonic) => `${tonic} minor`),
]
const PAIRS = KEYS.flatMap((from) => KEYS.filter((to) => to !== from).map((to) => [from, to] as const))

const lantern = lanternSlip()
const bars = passesOf(lantern, 'chorus-1', 'chorus-last')
const lastB = new Trial(liftRecipes, lantern, bars, { passId: 'chorus-last', sectionId: 'B1' })
const rowOf = (trial: Trial, id: string, params: Option['params'], index: number): string =>
  chordField(must(trial.apply(id, { preparation: id, aim: 'arrival', ...params }).bars[index], 'a bar').chords)
/** Two bars, then a section of two: what stands before it is `last`. */
const beforeB = (last: string, first: string, key: string, len = 4): Trial => {
  const rows = `1 | ${last} | -\n2 | ${last} | -\n3 | ${first} | -\n4 | ${first} | -`
  const tune = tuneOfRows(rows, {
    len,
    key,
    sections: [
      ['A1', 2],
      ['B1', 2],
    ],
  })
  return new Trial(liftRecipes, tune, passesOf(tune, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
}

describe('[LI8] the bar before a lift is read in the old key', () => {
  it('from A♭ to B the way to D♯m7 is B♭7, to G♭ the half step above B♭m7 is B7', () => {
    const trial = beforeB('Ab6', 'Cm7', 'Ab major')
    expect(rowOf(trial, 'sus-dominant', { semitones: 3 }, 1)).toBe('Bb7sus')
    expect(rowOf(trial, 'two-five', { semitones: 3 }, 1)).toBe('Fm7b5 Bb7b9@2')
    expect(rowOf(trial, 'tritone', { semitones: -2 }, 1)).toBe('B7')
  })
  it('ii and V of any pair of keys are a fifth apart in their letters', () => {
    for (const [from, to] of PAIRS) {
      const [two, five] = modulationPaths(from, to)
        .find(({ preparation }) => preparation === 'two-five')!
        .chords.map((symbol) => must(parseNoteName(chord(symbol).root), symbol))
      expect((must(five, to).step - must(two, to).step + 7) % 7, `${from} ${to}`).toBe(3)
    }
    expect(rowOf(beforeB('Am6', 'E7', 'A minor'), 'two-five', { semitones: 4 }, 1)).toBe('A#m7 D#7@2')
  })
})

describe('[LI8] lifted chords have names a player reads', () => {
  const movedTo = (symbols: string, key: string, semitones: number): string => {
    const tune = tuneOfRows(
      symbols
        .split(' ')
        .map((symbol, index) => `${index + 1} | ${symbol} | -`)
        .join('\n'),
      {
        len: 4,
        key,
      },
    )
    return passesOf(tune, 'chorus-1')
      .map((bar) => chordField(movedBar(bar, semitones).chords))
      .join(' ')
  }
  it('from E♭ to E no chord stands on E♯ or B♯', () => {
    expect(movedTo('Ebmaj7 E7 B7alt Am7b5 Abmaj7/C', 'Eb major', 1)).toBe('Emaj7 F7 C7alt A#m7b5 Amaj7/C#')
  })
  it('in G♭ the IV is C♭, the back door Bm7 E7', () => {
    expect(movedTo('Bbmaj7 Bbm7 Eb7 F6', 'F major', 1)).toBe('Cbmaj7 Bm7 E7 Gb6')
  })
  it('a diminished chord that leads up keeps its sharp', () => {
    expect(movedTo('Edim7 Fm7 Dm7b5', 'Ab major', 1)).toBe('E#dim7 F#m7 D#m7b5')
  })
})

describe('[LI17] a path between any two keys', () => {
  it('all 552 ordered pairs have five or more prepared ways, of at most two chords', { timeout: 60_000 }, () => {
    expect(PAIRS).toHaveLength(552)
    for (const [from, to] of PAIRS) {
      const prepared = modulationPaths(from, to).filter(({ preparation }) => preparation !== 'direct')
      expect(prepared.length, `${from} ${to}`).toBeGreaterThanOrEqual(5)
      for (const { chords } of prepared) {
        expect(chords.length, `${from} ${to} ${chords.join(' ')}`).toBeLessThanOrEqual(2)
        for (const symbol of chords)
          expect(
            Math.abs(must(parseNoteName(chord(symbol).root), symbol).alter),
            `${from} ${to} ${symbol}`,
          ).toBeLessThan(2)
      }
    }
  })
  it('a pivot wherever the keys share a triad that is not the one to come, and nowhere else', () => {
    for (const [from, to] of PAIRS) {
      const arriving = pitchClass(tonicOf(to))
      const shared = commonTriads(keySignatureOf(from), keySignatureOf(to)).filter(
        ({ root }) => pitchClass(root) !== arriving,
      )
      const hasPivot = modulationPaths(from, to).some(({ preparation }) => preparation === 'pivot')
      expect(hasPivot, `${from} ${to}`).toBe(shared.length > 0)
    }
  })
  it(
    'the dominants resolve: each last chord has the new leading note, or lies a half step above',
    { timeout: 60_000 },
    () => {
      for (const [from, to] of PAIRS) {
        const tonic = pitchClass(tonicOf(to))
        for (const { preparation, chords } of modulationPaths(from, to)) {
          const last = chords.at(-1)
          if (last === undefined || preparation === 'sus-dominant' || preparation === 'common-tone') continue
          const leads = pitchClassesOf(chord(last)).includes((tonic + 11) % 12)
          expect(leads, `${from} ${to} ${last}`).toBe(true)
        }
      }
    },
  )
  it('by name: F to G, C to E♭ minor, A minor to C', () => {
    // Common practice: ii–V with ♭5 and ♭9 in minor; Am is iii of F and ii of G.
    const chords = (from: string, to: string): { readonly [kind: string]: string } =>
      Object.fromEntries(modulationPaths(from, to).map(({ preparation, chords: all }) => [preparation, all.join(' ')]))
    expect(chords('F major', 'G major')).toMatchObject({
      direct: '',
      dominant: 'D7',
      'two-five': 'Am7 D7',
      tritone: 'Ab7',
      pivot: 'Am7 D7',
      'common-tone': 'F6',
      'chromatic-line': 'Am7 Ab7',
    })
    expect(chords('C major', 'Eb minor')).toMatchObject({ dominant: 'Bb7b9', 'two-five': 'Fm7b5 Bb7b9', tritone: 'E7' })
    expect(chords('A minor', 'C major')['pivot']).toBe('Dm7 G7')
  })
})

describe('[LI15] a common tone', () => {
  it('the tonic stays and hands on the melody note: F is the third of D♭∆', () => {
    expect(rowOf(lastB, 'common-tone', { semitones: 3 }, 47)).toBe('F6')
    const offer = lastB.offers('common-tone').find(({ params }) => params['semitones'] === 3)
    expect(offer?.summary).toContain('F6 stays in bar 16 of the last chorus; its F becomes the 3rd of D♭∆')
  })
  it('says so where the note gets another name', () => {
    const trial = beforeB('Ab6', 'Cm7', 'Ab major')
    const offer = trial.offers('direct', { semitones: 1 })[0]
    expect(offer?.summary).not.toContain('is in both')
    const held = beforeB('Eb7', 'Cm7', 'Ab major').offers('common-tone', { semitones: 1 })[0]
    expect(held?.summary).toContain('its A♭ becomes G♯, the 5th of C♯m7')
  })
  it('none between F6 and C♭∆: absent a half step up, and said where it is all there was', () => {
    expect(lastB.offers('common-tone').some(({ params }) => params['semitones'] === 1)).toBe(false)
    expect(lastB.absent('common-tone')).toBe('')
    const alone = lastB.answer('common-tone', { semitones: 1 })
    expect('absent' in alone && alone.absent).toBe('F6 and Cbmaj7 have no note in common that could be held.')
  })
  it('in a blues the tonic that stays is a seventh chord', () => {
    expect(rowOf(beforeB('F7sus', 'Bb7', 'Bb major'), 'common-tone', { semitones: 3 }, 1)).toBe('Bb6')
    const blues = slackTide()
    const trial = new Trial(liftRecipes, blues, passesOf(blues, 'solo-1', 'chorus-last'), {
      passId: 'chorus-last',
      sectionId: blues.sections[0]?.id ?? '',
    })
    expect(rowOf(trial, 'common-tone', { semitones: 3 }, 11)).toBe('Bb7')
  })
  it('where the bar rests on a chord that has the note already, it is the same as direct and not offered twice', () => {
    const bell = ferryBell()
    const trial = new Trial(liftRecipes, bell, passesOf(bell, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    expect(trial.absent('common-tone')).toBe('B♭∆ stays as written; that is the lift called direct.')
    expect(trial.offers('direct')[0]?.summary).toContain('(F is in both)')
  })
  it('names the new spelling, the melody note before others, and nothing for the same chord', () => {
    expect(commonTone(chord('Ebm7'), chord('Bmaj7'))).toBe('D#')
    expect(commonTone(chord('F6'), chord('Dbmaj7'), [0])).toBe('C')
    expect(commonTone(chord('C6'), chord('C6'))).toBeUndefined()
    expect(commonTone(chord('N.C.'), chord('C6'))).toBeUndefined()
  })
})

describe('[LI16] a chromatic line', () => {
  it('rises from two half steps below, or falls from ii', () => {
    expect(rowOf(lastB, 'chromatic-line', { semitones: 2, line: 'rising' }, 47)).toBe('Bb7 Bdim7@2')
    expect(rowOf(lastB, 'chromatic-line', { semitones: 2, line: 'falling' }, 47)).toBe('Dm7 Db7@2')
    expect(rowOf(beforeB('Gm6', 'Gm6', 'G minor'), 'chromatic-line', { semitones: 2, line: 'falling' }, 1)).toBe(
      'Bm7b5 Bb7@2',
    )
  })
  it('a lift up comes from below first, a lift down from above; more asks for both', () => {
    const linesOf = (offers: readonly Pick<Offer, 'params'>[], semitones: number) =>
      offers
        .filter(({ params }) => params['semitones'] === semitones)
        .map(({ params }) => `${String(params['line'])} ${String(params['aim'])}`)
    const few = lastB.offers('chromatic-line')
    expect(linesOf(few, 2)).toEqual(['rising arrival'])
    expect(linesOf(few, -2)).toEqual(['falling arrival'])
    expect(new Set(linesOf(lastB.offers('chromatic-line', { more: 1 }), 2))).toEqual(
      new Set(['rising arrival', 'falling arrival', 'rising key', 'falling key']),
    )
  })
  it('a line nobody named takes the way the melody allows', () => {
    expect(rowOf(lastB, 'chromatic-line', { semitones: 2 }, 47)).toBe('Dm7 Db7@2')
  })
})

describe('[LI3] minor keys, waltzes and odd metres', () => {
  it('V7♭9 and iiø before a minor chord', () => {
    const trial = beforeB('Gm6', 'Gm6', 'G minor')
    expect(rowOf(trial, 'dominant', { semitones: 2 }, 1)).toBe('E7b9')
    expect(rowOf(trial, 'two-five', { semitones: 2 }, 1)).toBe('Bm7b5 E7b9@2')
    expect(rowOf(trial, 'sus-dominant', { semitones: 2 }, 1)).toBe('E7sus')
    expect(rowOf(trial, 'tritone', { semitones: 2 }, 1)).toBe('Bb7')
  })
  it('two chords divide the bar where the metre does', () => {
    const places = [3, 4, 5, 6, 7].map((len) => {
      const made = beforeB('C6', 'C6', 'C major', len).apply('two-five', { semitones: 2, preparation: 'two-five' })
      return made.bars[1]?.chords.map(({ startTick }) => startTick / 5040)
    })
    expect(places).toEqual([
      [0, 2],
      [0, 2],
      [0, 3],
      [0, 3],
      [0, 4],
    ])
  })
  it('[LI6] what stands before a squeezed preparation is at home, in minor with raised sixth and seventh', () => {
    // A over B♭7sus is its major seventh, so the preparation waits for the rest; the tonic with its sixth stays before it.
    const stairs = tuneOfRows('1 | Fmaj7 | A4:4\n2 | Am6 | A4:3 r:1\n3 | Dm7 | F5:4\n4 | Am6 | A4:4', {
      len: 4,
      key: 'A minor',
      sections: [
        ['A1', 2],
        ['B1', 2],
      ],
    })
    const trial = new Trial(liftRecipes, stairs, passesOf(stairs, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    expect(rowOf(trial, 'sus-dominant', { semitones: 1 }, 1)).toBe('Am6 Bb7sus@3')
  })
  it('[LI6] where only the last beat is free, one chord stands there', () => {
    // F♯ over C7sus is its ♭5 and B its major seventh; the last beat rests.
    const busy = tuneOfRows('1 | C6 | C5:4\n2 | Cmaj7 | B4:2 F#5:1 r:1\n3 | C6 | -\n4 | C6 | C5:4', {
      len: 4,
      key: 'C major',
      sections: [
        ['A1', 2],
        ['B1', 2],
      ],
    })
    const trial = new Trial(liftRecipes, busy, passesOf(busy, 'chorus-1'), { passId: 'chorus-1', sectionId: 'B1' })
    expect(rowOf(trial, 'sus-dominant', { semitones: 5 }, 1)).toBe('Cmaj7 C7sus@3')
    const offer = must(
      trial.offers('sus-dominant', { semitones: 5 }).find(({ params }) => params['octave'] === undefined),
      'up a fourth',
    )
    expect(offer.summary).toContain('C7sus on beat 4 of bar 2')
  })
})

const trumpet: PartSpec = { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' }
const withLead = (tune: Tune, own: readonly ArrangedBar[], lead: PartSpec, kind: string): readonly Offer[] => {
  const plan: Plan = {
    tune,
    chosen: [],
    edits: [],
    lineup: [lead],
    roadmap: ['chorus-1', 'chorus-last'].map((id) => ({
      id,
      kind: 'chorus',
      sections: tune.sections.map((each) => each.id),
    })),
  }
  const recipe = must(
    liftRecipes.find(({ id }) => id === kind),
    kind,
  )
  const answer = recipe.offer({ tune, plan, bars: own, at: { passId: 'chorus-last', sectionId: 'B1' }, wish: {} })
  return 'offers' in answer ? answer.offers : []
}

describe('[LI14] out of range', () => {
  const octaves = (lead: PartSpec): readonly unknown[] =>
    withLead(lantern, bars, lead, 'sus-dominant')
      .filter(({ params }) => params['octave'] !== undefined)
      .map(({ params }) => [params['semitones'], params['octave']])
  it('a trumpet over G5: +3 and +4 are offered an octave lower too, +2 is not', () => {
    // Worked examples, section 5: trumpet limit G5; +3 reaches A♭5, +4 A5.
    expect(octaves(trumpet)).toEqual([
      [3, -1],
      [4, -1],
    ])
  })
  it('no octave is offered to who was out of range before, nor to who stays inside', () => {
    expect(octaves({ ...trumpet, id: 'tenor', instrument: 'tenor-sax' })).toEqual([])
    expect(octaves({ ...trumpet, id: 'violin', instrument: 'violin' })).toEqual([])
  })
  it('the melody drops, chords and key do not care, and everything before stays', () => {
    const [plain, low] = [undefined, -1].map(
      (octave) =>
        lastB.apply('dominant', { semitones: 3, preparation: 'dominant', ...(octave ? { octave } : {}) }).bars,
    ) as [readonly ArrangedBar[], readonly ArrangedBar[]]
    expect(low.slice(0, 48).map((bar) => melodyField(bar))).toEqual(bars.slice(0, 48).map((bar) => melodyField(bar)))
    for (let index = 48; index < low.length; index++) {
      expect(low[index]?.melody.map(({ midi }) => midi + 12)).toEqual(plain[index]?.melody.map(({ midi }) => midi))
      expect(low[index]?.chords).toEqual(plain[index]?.chords)
      expect(low[index]?.key).toEqual(plain[index]?.key)
    }
    expect(melodyField(must(low[48], 'bar 17'))).toBe('F4:3 Ab4:1')
  })
})

describe('[LI2] six flats or six sharps', () => {
  it('sharps where the params ask, names and all', () => {
    const { bars: made } = lastB.apply('sus-dominant', {
      semitones: 1,
      preparation: 'sus-dominant',
      spelling: 'sharps',
    })
    expect(made[48]?.key).toEqual({ key: 'F# major', mode: 'major', fifths: 6 })
    expect(made[48]?.chords[0]?.chord.symbol).toBe('Bmaj7')
    expect(melodyField(must(made[49], 'bar 18'))).toBe('D5:3 C#5:1')
    expect(chordField(must(made[47], 'bar 16').chords)).toBe('F6 F#7sus@2')
  })
  it('offered on wish, and not to a band with B♭ or E♭ instruments', () => {
    expect(lastB.offers('sus-dominant', { semitones: 1 }).map(({ title }) => title)).toContain(
      'Up a half step to F♯ major, V7sus',
    )
    expect(lastB.offers('sus-dominant').some(({ title }) => title.includes('F♯'))).toBe(false)
  })
})

describe('[LI18] what is asked for', () => {
  const countsOf = (wish: object) => PREPARATIONS.map((kind) => lastB.offers(kind, wish).length)
  it('a distance: only that lift, in every way it has', () => {
    for (const semitones of [-6, -5, 5, 6, 1]) {
      const all = PREPARATIONS.flatMap((kind) => lastB.offers(kind, { semitones }))
      expect(new Set(all.map(({ params }) => params['semitones'])), `${semitones}`).toEqual(new Set([semitones]))
      expect(all.length).toBeGreaterThanOrEqual(6)
    }
  })
  it('more gives more, and keeps what was there', { timeout: 60_000 }, () => {
    const [none, one, two] = [{}, { more: 1 }, { more: 2 }].map(countsOf) as [number[], number[], number[]]
    for (const [index, count] of one.entries()) {
      expect(count).toBeGreaterThan(none[index] as number)
      expect(two[index]).toBeGreaterThanOrEqual(count)
    }
    const titles = (wish: object) => PREPARATIONS.flatMap((kind) => lastB.offers(kind, wish).map(({ title }) => title))
    const further = new Set(titles({ more: 1 }))
    expect(titles({}).filter((title) => !further.has(title))).toEqual([])
  })
  it('a distance that is none is left aside', () => {
    for (const semitones of [0, 7, 1.5, Number.NaN]) expect(countsOf({ semitones })).toEqual(countsOf({}))
  })
  it('every summary is short, plain and ends', { timeout: 60_000 }, () => {
    for (const wish of [{}, { more: 2 }]) {
      for (const { summary } of PREPARATIONS.flatMap((kind) => lastB.offers(kind, wish))) {
        expect(summary.length, summary).toBeLessThanOrEqual(160)
        expect(summary).toMatch(/^[A-G].*\. From bar 17 all is in .*\.$/)
      }
    }
  })
})
