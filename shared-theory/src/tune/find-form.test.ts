import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FERRY_BELL, LANTERN_SLIP, LOW_WATER_LETTER, PAINTED_DORIES, SLACK_TIDE } from '@chartloft/demo'
import { chord } from '../chords/index.js'
import type { MelodyNote, PlacedChord, Tune, TuneBar } from '../contract/index.js'
import { keySignatureOf, pitchInKey } from '../units/index.js'
import { findForm, readKey, tuneHash } from './index.js'
import { type FormLabel, sectionsOf, tilesTune } from './sections.js'
import { readTune } from '../read/index.js'

const KEY = keySignatureOf('C major')
const CHORDS = ['Cmaj7', 'Am7', 'Dm7', 'G7', 'Em7', 'A7', 'Fmaj7', 'Bb7', 'C6', 'Ebmaj7', 'Abmaj7', 'F#m7b5']

/** A bar of four quarters and one chord, from five small numbers; the last picks the chord. */
function barOf(numbers: readonly number[]): Omit<TuneBar, 'barIndex' | 'writtenBar'> {
  const melody = numbers.slice(0, 4).map((number, at): MelodyNote => {
    const midi = 60 + (number % 13)
    return { startTick: at * 5040, durationTicks: 5040, midi, name: pitchInKey(midi, KEY) }
  })
  const placed: PlacedChord = {
    startTick: 0,
    durationTicks: 20160,
    chord: chord(CHORDS[(numbers[4] ?? 0) % CHORDS.length] as string),
  }
  return { metre: { beats: 4, beatType: 4 }, lengthTicks: 20160, key: KEY, melody, chords: [placed] }
}
type Bars = readonly (readonly number[])[]
function tuneOf(bars: Bars, withChords = true): Tune {
  return {
    version: 1,
    title: 't',
    rights: 'own',
    key: KEY,
    metre: { beats: 4, beatType: 4 },
    pickupTicks: 0,
    bars: bars.map((numbers, at) => ({
      ...barOf(numbers),
      ...(withChords ? {} : { chords: [] }),
      barIndex: at,
      writtenBar: at,
    })),
    sections: [],
    source: { format: 'typed', issues: [] },
  }
}
const read = (abc: string): Tune => {
  const result = readTune('abc', abc)
  if (!result.ok) throw new Error(result.issues[0]?.message)
  return result.value
}
const cadences = (abc: string): string[] => findForm(read(abc)).sections.map((section) => section.cadence)
const withLabels = (tune: Tune, labels: readonly FormLabel[]): string[] =>
  sectionsOf(tune, labels).map((section) => `${section.id}:${section.bars}`)

describe('forms found from what repeats', { timeout: 60_000 }, () => {
  const isAlike = (bar: readonly number[], other: readonly number[] | undefined): boolean =>
    bar.filter((number, place) => number === other?.[place]).length > 2
  /** Sections of one property are tunes of their own: no two share more than two bars at their places, or what makes most of a bar. */
  const areOthers = (...sections: readonly Bars[]): boolean =>
    sections.every((one, at) =>
      sections.slice(at + 1).every((other) => one.filter((bar, place) => isAlike(bar, other[place])).length <= 2),
    )
  const section = (bars: number) =>
    fc.array(fc.array(fc.nat(11), { minLength: 5, maxLength: 5 }), { minLength: bars, maxLength: bars })
  for (const pattern of ['AABA', 'ABAC', 'AABB', 'ABAB'])
    for (const withChords of [true, false])
      it(`[FO1] ${pattern} of eights, ${withChords ? 'with' : 'without'} chords, with other last bars (fast-check prints its seed)`, () => {
        fc.assert(
          fc.property(section(8), section(8), section(8), section(1), (a, b, c, other) => {
            fc.pre(areOthers(a, b, c))
            const letters: { readonly [letter: string]: Bars } = { A: a, B: b, C: c }
            const bars = Array.from(pattern).flatMap((letter, at) => {
              const own = letters[letter] as Bars
              return at === 1 ? [...own.slice(0, 7), other[0] as readonly number[]] : own
            })
            const form = findForm(tuneOf(bars, withChords))
            expect(form.pattern).toBe(pattern)
            expect(form.confidence).toBeGreaterThan(0.6)
          }),
          { numRuns: 40 },
        )
      })
  it('[FO1] a verse before and a coda after are told from A A B A', () => {
    fc.assert(
      fc.property(
        section(8),
        section(8),
        section(8),
        fc.constantFrom(8, 16),
        section(16),
        fc.constantFrom(0, 2, 4),
        (a, b, tail, lead, verse, coda) => {
          fc.pre(areOthers(a, b, tail, verse.slice(0, 8), verse.slice(8)))
          const bars = [...verse.slice(0, lead), ...a, ...a, ...b, ...a, ...tail.slice(0, coda)]
          expect(findForm(tuneOf(bars)).sections.map((one) => `${one.id}:${one.bars}`)).toEqual([
            `verse:${lead}`,
            'A1:8',
            'A2:8',
            'B1:8',
            'A3:8',
            ...(coda > 0 ? [`coda:${coda}`] : []),
          ])
        },
      ),
      { numRuns: 40 },
    )
  })
  it('[FO4] two choruses of a blues are two sections of twelve', () => {
    const blues = read(SLACK_TIDE)
    const twice: Tune = {
      ...blues,
      sections: [],
      bars: [...blues.bars, ...blues.bars].map((bar, barIndex) => ({ ...bar, barIndex })),
    }
    expect(findForm(twice).sections.map((one) => `${one.id}:${one.bars}`)).toEqual(['A1:12', 'A2:12'])
  })
  it('[FO1] a few bars are one section', () => {
    for (const count of [1, 3, 6, 7, 10]) {
      const bars = Array.from({ length: count }, (_, at) => [at, at * 5, at * 7, at * 3, at])
      expect(findForm(tuneOf(bars)).sections.map((one) => `${one.id}:${one.bars}`)).toEqual([`A1:${count}`])
    }
  })
  it('[FO7] sections tile every tune of any length (fast-check prints its seed)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.nat(3), { minLength: 5, maxLength: 5 }), { minLength: 1, maxLength: 70 }),
        (bars) => {
          const tune = tuneOf(bars)
          const { sections } = findForm(tune)
          expect(tilesTune({ ...tune, sections })).toBe(true)
          expect(new Set(sections.map((one) => one.id)).size).toBe(sections.length)
        },
      ),
      { numRuns: 200 },
    )
  })
})

describe('labels', () => {
  const tune = read(LANTERN_SLIP)
  it('[FO6] letters, words and their ids', () => {
    expect(
      withLabels(tune, [
        { startBar: 0, text: 'Verse 1' },
        { startBar: 8, text: "A'" },
        { startBar: 16, text: 'Bridge' },
        { startBar: 24, text: 'Outro' },
      ]),
    ).toEqual(['verse:8', 'A1:8', 'bridge:8', 'coda:8'])
    expect(
      withLabels(tune, [
        { startBar: 4, text: 'A' },
        { startBar: 16, text: 'A' },
      ]),
    ).toEqual(['intro:4', 'A1:12', 'A2:16'])
  })
  it('[FO6] a long chorus is looked into; rehearsal numbers are no letters', () => {
    expect(withLabels(tune, [{ startBar: 0, text: 'Chorus' }])).toEqual(['A1:8', 'A2:8', 'B1:8', 'A3:8'])
    const numbers = [1, 9, 17, 25].map((number) => ({ startBar: number - 1, text: `${number}` }))
    expect(withLabels(tune, numbers)).toEqual(['A1:8', 'A2:8', 'B1:8', 'A3:8'])
  })
  it('[FO6] named sections stand, however little repeats', () => {
    const named = {
      ...tune,
      sections: sectionsOf(tune, [
        { startBar: 0, text: 'A' },
        { startBar: 20, text: 'B' },
      ]),
    }
    const form = findForm(named)
    expect([form.pattern, form.confidence, form.sections[1]?.evidence]).toEqual([
      'AB',
      0.95,
      ['bars 21–32: new melody or chords', 'full close on F6 in F major'],
    ])
  })
})

describe('cadences', () => {
  it('[FO2] of the demo tunes', () => {
    expect(cadences(FERRY_BELL)).toEqual(['full', 'full'])
    expect(cadences(SLACK_TIDE)).toEqual(['turnaround'])
    expect(cadences(LOW_WATER_LETTER)).toEqual(['half', 'turnaround', 'turnaround', 'half', 'full', 'full'])
    expect(cadences(PAINTED_DORIES)).toEqual(['half', 'half', 'half', 'full'])
  })
  it('[FO2] open where nothing closes; by the last note where there are no chords', () => {
    const four = (body: string): string => `X:1\nT:t\nM:4/4\nL:1/4\nK:G\n${body}|]\n`
    expect(cadences(four('"G"G4|"C"c4|"Am"A4|"Am7"A4'))).toEqual(['open'])
    expect(cadences(four('G4|c4|A4|G4'))).toEqual(['full'])
    expect(cadences(four('G4|c4|A4|d4'))).toEqual(['half'])
    expect(cadences(four('G4|c4|A4|B4'))).toEqual(['open'])
  })
})

describe('what differs', () => {
  it('[FO3] chords, melody, rhythm and length are said bar by bar', () => {
    const body = (last: string): string => `"G"G4|"C"c4|"Am"A4|${last}|`
    const tune = read(
      `X:1\nT:t\nM:4/4\nL:1/4\nK:G\nP:A\n${body('"G"G4')}\nP:A\n${body('"D7"z4')}\nP:A\n${body('"G"B4')}\nP:A\n${body('"G"G3 G')}\nP:A\n${body('"G"G4')}"C"c4|]\n`,
    )
    expect(findForm(tune).sections.map((section) => section.sameAs?.differences)).toEqual([
      undefined,
      ['bar 4: chord D7, melody rests'],
      ['bar 4: melody B4'],
      ['bar 4: melody G4 G4'],
      ['1 bar longer'],
    ])
  })
})

describe('a section that is another moved', () => {
  it('[FO9] says by how much; the letter is its own', () => {
    const a = '"C"C E G E|"F"F A c A|"G7"G F D B|"C"c4|'
    const b = '"F"F A c A|"Bb"_B d f d|"C7"c _B G e|"F"f4|'
    const form = findForm(read(`X:1\nT:t\nM:4/4\nL:1/4\nK:C\nP:A\n${a}\nP:A\n${a}\nP:B\n${b}\nP:A\n${a}]\n`))
    expect(form.pattern).toBe('AABA')
    expect(form.sections[2]?.sameAs).toBeUndefined()
    expect(form.sections[2]?.evidence[0]).toBe('bars 9–12: A1 a fourth higher')
  })
})

describe('the key, with its evidence', () => {
  it('[KY1] Ferry Bell is in G minor, B♭ major next (worked examples, section 1)', () => {
    const reading = readKey(read(FERRY_BELL))
    expect([reading.key, reading.runnerUp]).toEqual(['G minor', 'Bb major'])
    expect(reading.evidence).toEqual([
      'signature of 2 flats',
      'the melody ends on G4',
      'the last chord under the melody is Gm6',
      'begins on Gm6',
      '3 of 4 dominants resolve to it',
      'F# in the melody is its leading note',
    ])
  })
  it('[KY1] the other demo tunes are in the key they are written in, without their signature too', () => {
    for (const abc of [LANTERN_SLIP, SLACK_TIDE, LOW_WATER_LETTER, PAINTED_DORIES, FERRY_BELL]) {
      const tune = read(abc)
      expect(readKey(tune).key).toBe(tune.key.key)
      expect(readKey(tune, { bySignature: false }).key).toBe(tune.key.key)
      expect(readKey(tune).confidence).toBeGreaterThan(0.75)
    }
  })
  it('[KY1] a modal signature speaks for its own tonic', () => {
    const jig = 'EFG AFA|BAB dBA|EFG AFA|BAF E2B|EFG AFA|BAB def|edB AFA|BAF E3'
    expect(readKey(read(`X:1\nT:t\nM:6/8\nL:1/8\nK:Edor\n${jig}|]\n`)).key).toBe('E minor')
  })
  it('[KY1] a chart of chords alone has a key too', () => {
    expect(
      readKey(read('X:1\nT:t\nM:4/4\nL:1/4\nK:C\n"Cm7"z4|"F7"z4|"Bbmaj7"z4|"Bb6"z4|]\n'), { bySignature: false }).key,
    ).toBe('Bb major')
  })
})

describe('the hash', () => {
  it('[FO8] is of the music: not of title or source, but of every note, chord and section', () => {
    const tune = read(LANTERN_SLIP)
    expect(tuneHash(read(LANTERN_SLIP.replace('T:Lantern Slip', 'T:Other')))).toBe(tuneHash(tune))
    const changed = [
      LANTERN_SLIP.replace('"Eb7"_d3', '"Eb7"_d2 z'),
      LANTERN_SLIP.replace('"Eb7"', '"Eb9"'),
      LANTERN_SLIP.replace('K:F', 'K:Bb'),
      LANTERN_SLIP.replace('P:B', 'P:C'),
    ]
    expect(new Set([tune, ...changed.map(read)].map(tuneHash)).size).toBe(5)
  })
})
