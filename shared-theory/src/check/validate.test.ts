import { describe, expect, it } from 'vitest'
import type { ArrangedBar, ArrangedNote, Arrangement, Chosen, Issue, PartNote, Plan } from '../contract/index.js'
import { chord } from '../chords/index.js'
import { liftRecipes } from '../decisions/index.js'
import { fold } from '../roadmap/index.js'
import { keySignatureOf, must, seeded } from '../units/index.js'
import {
  SEXTET,
  arrangementOf,
  lanternArrangement,
  lanternTune,
  withSextet,
} from '../../../tests/fixtures/lantern-band.js'
import { processorMs } from '../../../tests/bench/figure.js'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { validate } from './index.js'

const QUARTER = 5040

/** The arrangement with one bar (by printed number) changed. */
function withBar(arrangement: Arrangement, number: number, change: (bar: ArrangedBar) => ArrangedBar): Arrangement {
  return {
    ...arrangement,
    bars: arrangement.bars.map((bar, index) => (index === number - 1 ? change(bar) : bar)),
  }
}

const whole = (name: string, midi: number, quarters = 4, startQuarter = 0): PartNote => ({
  startTick: startQuarter * QUARTER,
  durationTicks: quarters * QUARTER,
  midi,
  name,
  velocity: 70,
})

const withPart =
  (id: string, notes: readonly PartNote[]) =>
  (bar: ArrangedBar): ArrangedBar => ({
    ...bar,
    parts: { ...bar.parts, [id]: notes },
  })

const withChords =
  (...symbols: readonly string[]) =>
  (bar: ArrangedBar): ArrangedBar => ({
    ...bar,
    chords: symbols.map((symbol, index) => ({
      startTick: (index * bar.lengthTicks) / symbols.length,
      durationTicks: bar.lengthTicks / symbols.length,
      chord: chord(symbol),
    })),
  })

const only = (code: string, issues: readonly Issue[]): Issue => {
  const own = issues.filter((issue) => issue.code === code)
  expect(own.map(({ message }) => message)).toHaveLength(1)
  return must(own[0], code)
}

const others = (code: string, issues: readonly Issue[]): readonly Issue[] =>
  issues.filter((issue) => issue.code !== code && issue.severity !== 'note')

function lifted(semitones: number): { arrangement: Arrangement; plan: Plan } {
  const tune = lanternTune()
  const option = {
    id: `lift-${semitones}`,
    kind: 'lift' as const,
    recipe: 'sus-dominant',
    title: 'lift',
    params: { semitones, preparation: 'sus-dominant', aim: 'arrival' },
    summary: '',
    reason: [{ rule: 'LI5', text: '' }],
    score: 1,
    at: { passId: 'chorus-1', sectionId: 'B' },
  }
  const chosen: Chosen = { kind: 'lift', option }
  const plan: Plan = {
    tune,
    roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: ['A1', 'A2', 'B', 'A3'] }],
    chosen: [chosen],
    lineup: SEXTET,
    edits: [],
  }
  const recipe = must(
    liftRecipes.find(({ id }) => id === 'sus-dominant'),
    'the lift has its recipe',
  )
  const { bars } = recipe.apply(passesOf(tune, 'chorus-1'), chosen, { tune, plan })
  return { arrangement: arrangementOf(withSextet(bars)), plan }
}

describe('[VA0] no false alarm', () => {
  it('tune 1 for sextet is clean', () => {
    expect(validate(lanternArrangement())).toEqual([])
  })
  it('tune 1 lifted by a whole step before its last B is clean, with its plan', () => {
    const { arrangement, plan } = lifted(2)
    expect(validate(arrangement, { plan, folded: fold(arrangement) })).toEqual([])
  })
})

describe('the twelve faults of the worked examples: own family, own bar, nothing else wrong', () => {
  it('[VA1] a note past the bar line', () => {
    const faulty = withBar(lanternArrangement(), 5, (bar) => ({
      ...bar,
      parts: {
        ...bar.parts,
        trumpet: (bar.parts['trumpet'] ?? []).map((note) =>
          note.name === 'Bb4' ? { ...note, durationTicks: 2.5 * QUARTER } : note,
        ),
      },
    }))
    const found = only('VA1', validate(faulty))
    expect(found.message).toBe('Bar 5, trumpet: four and a half beats in a bar of four; B♭4 is half a beat too long.')
    expect(found.path).toBe('bars/4/parts/trumpet/2')
    expect(found.severity).toBe('error')
    expect(others('VA1', validate(faulty))).toEqual([])
  })

  it('[VA1] chords that do not fill the bar, groups and length against the metre', () => {
    const gap = withBar(lanternArrangement(), 3, (bar) => ({
      ...bar,
      chords: bar.chords.map((placed) => ({ ...placed, durationTicks: 3 * QUARTER })),
    }))
    expect(only('VA1', validate(gap)).message).toBe('Bar 3: one beat at the end has no chord; let the last one run on.')
    const groups = withBar(lanternArrangement(), 3, (bar) => ({ ...bar, groups: [3, 2] }))
    expect(only('VA1', validate(groups)).path).toBe('bars/2/groups')
    const short = withBar(lanternArrangement(), 3, (bar) => ({
      ...bar,
      lengthTicks: 5 * QUARTER,
      chords: bar.chords.map((placed) => ({ ...placed, durationTicks: 5 * QUARTER })),
    }))
    expect(only('VA1', validate(short)).path).toBe('bars/2/lengthTicks')
  })

  it('[VA2] melody against chord', () => {
    const faulty = withBar(lanternArrangement(), 30, withChords('Gbmaj7'))
    const found = only('VA2', validate(faulty))
    expect(found.message).toBe("Bar 30: A, G and E don't fit G♭∆ (minor third, ♭9, ♭7). G♭7 altered or C13 would.")
    expect(found).toMatchObject({ path: 'bars/29/chords/0', severity: 'error' })
    expect(others('VA2', validate(faulty))).toEqual([])
  })

  it('[VA3] a dominant a half step above the chord of another key takes the next letter; a half-diminished one need not', () => {
    const before = (symbol: string): readonly Issue[] => {
      const bars = lanternArrangement().bars.map((bar, index) => {
        if (index === 7) return { ...withChords(symbol)(bar), key: keySignatureOf('G minor') }
        return index === 8 ? { ...withChords('Am6')(bar), key: keySignatureOf('A minor') } : bar
      })
      return validate({ ...lanternArrangement(), bars }).filter(
        ({ code, path }) => code === 'VA3' && path.startsWith('bars/7/chords'),
      )
    }
    expect(before('A#7')).toHaveLength(1)
    expect(before('Bb7')).toEqual([])
    expect(before('A#m7b5')).toEqual([])
  })

  it('[VA3] a third spelled as a fourth', () => {
    const respell = <N extends { name: string; midi: number }>(note: N): N =>
      note.name === 'F#4' ? { ...note, name: 'Gb4' } : note
    const faulty = withBar(lanternArrangement(), 20, (bar) => ({
      ...bar,
      melody: bar.melody.map(respell),
      parts: { ...bar.parts, trumpet: (bar.parts['trumpet'] ?? []).map(respell) },
    }))
    const found = only('VA3', validate(faulty))
    expect(found).toMatchObject({ message: 'Bar 20: G♭ over D7 is its third; write F♯.', severity: 'warning' })
    expect(others('VA3', validate(faulty))).toEqual([])
  })

  it('[VA4] the bar before a lift not prepared', () => {
    const { arrangement, plan } = lifted(2)
    const faulty = withBar(arrangement, 16, withChords('Cm7', 'F7'))
    const found = only('VA4', validate(faulty, { plan }))
    expect(found.message).toBe('Bar 16 should lead to C∆ (key of G) with G7sus, but Cm7 F7 is still there.')
    expect(found).toMatchObject({ path: 'bars/15/chords', severity: 'error' })
    expect(others('VA4', validate(faulty, { plan }))).toEqual([])
  })

  it('[VA5] a background left in the old key', () => {
    const { arrangement, plan } = lifted(2)
    const inG = { 25: ['B3', 59], 26: ['B3', 59], 27: ['C4', 60], 28: ['C4', 60] } as const
    const inF = { 25: ['A3', 57], 26: ['A3', 57], 27: ['Bb3', 58], 28: ['Bb3', 58] } as const
    const tenor = (notes: typeof inG | typeof inF): Arrangement =>
      ([25, 26, 27, 28] as const).reduce(
        (music, bar) => withBar(music, bar, withPart('tenor', [whole(...notes[bar])])),
        arrangement,
      )
    expect(validate(tenor(inG), { plan })).toEqual([])
    const found = only('VA5', validate(tenor(inF), { plan }))
    expect(found.message).toBe('From bar 25 the tenor sax still plays in F; the rest of the band is in G.')
    expect(found).toMatchObject({ path: 'bars/24/parts/tenor', severity: 'error' })
    // What is left in F also rubs against the lead: warnings, no other error.
    expect(others('VA5', validate(tenor(inF), { plan })).filter(({ severity }) => severity === 'error')).toEqual([])
  })

  it('[VA5] key signature, melody or chords left in the old key', () => {
    const { arrangement, plan } = lifted(2)
    const before = lanternArrangement()
    const from = (field: 'key' | 'melody' | 'chords') =>
      withBar(arrangement, 19, (bar) => ({ ...bar, [field]: must(before.bars[18], 'bar 19')[field] }))
    for (const field of ['key', 'melody', 'chords'] as const) {
      const found = validate(from(field), { plan }).filter(({ code }) => code === 'VA5')
      expect(found.map(({ path }) => path)).toContain(`bars/18/${field}`)
    }
  })

  it('[VA6] the lead above its range after a lift', () => {
    const { arrangement, plan } = lifted(4)
    const found = validate(arrangement, { plan }).filter(({ code }) => code === 'VA6')
    expect(found[0]).toMatchObject({
      path: expect.stringMatching(/^bars\/16\/parts\/trumpet/),
      message: "Bar 17: A5 is above the trumpet's comfortable top G5. An octave lower, or another key.",
      severity: 'warning',
    })
    expect(others('VA6', validate(arrangement, { plan }))).toEqual([])
    const third = validate(lifted(3).arrangement).filter(({ code }) => code === 'VA6')
    expect(third[0]?.message).toBe(
      "Bar 17: A♭5 is above the trumpet's comfortable top G5. An octave lower, or give the line to the alto sax.",
    )
  })

  it('[VA7] a minor third in the cellar', () => {
    const faulty = withBar(lanternArrangement(), 1, withPart('piano', [whole('A1', 33), whole('C2', 36)]))
    const found = only('VA7', validate(faulty))
    expect(found.message).toBe('Bar 1, piano: the minor third A1–C2 is muddy; below C3 use a fifth or spread it.')
    expect(others('VA7', validate(faulty))).toEqual([])
  })

  it('[VA8] a minor ninth between two horns', () => {
    const backed = withBar(lanternArrangement(), 29, (bar) => ({
      ...bar,
      parts: { ...bar.parts, tenor: [whole('A3', 57)], alto: [whole('Bb4', 70)] },
    }))
    const found = only('VA8', validate(backed))
    expect(found.message).toBe(
      "Bar 29: the alto sax's B♭4 is a minor ninth above the tenor sax's A3; swap them or drop the A.",
    )
    expect(others('VA8', validate(backed))).toEqual([])
  })

  it('[VA8] the ♭9 over a dominant root and a declared bass are no fault', () => {
    const over = (symbol: string, low: PartNote, high: PartNote): readonly Issue[] =>
      validate(
        withBar(lanternArrangement(), 8, (bar) => ({
          ...withChords(symbol)(bar),
          melody: [],
          parts: { ...bar.parts, trumpet: [], tenor: [low], alto: [high] },
        })),
      ).filter(({ code }) => code === 'VA8')
    expect(over('G7b9', whole('G3', 55), whole('Ab4', 68))).toEqual([])
    expect(over('Dbmaj7/C', whole('C4', 60), whole('Db5', 73))).toEqual([])
    expect(over('Gm7', whole('G3', 55), whole('Ab4', 68))).toHaveLength(1)
  })

  it('[VA8] a beat inside a chord, though the tune has the upper note too: a chord player does not move past it', () => {
    const beat = (midi: number, name: string): PartNote => whole(name, midi, 1)
    const struck = withBar(lanternArrangement(), 8, (bar) => ({
      ...withChords('Gm7')(bar),
      melody: [{ ...(bar.melody[0] as ArrangedNote), startTick: 0, durationTicks: QUARTER, midi: 68, name: 'Ab4' }],
      parts: { ...bar.parts, piano: [beat(55, 'G3'), beat(62, 'D4'), beat(68, 'Ab4')] },
    }))
    expect(validate(struck).filter(({ code }) => code === 'VA8')).toHaveLength(1)
  })

  it('[VA9] a name that sounds otherwise', () => {
    const faulty = withBar(lanternArrangement(), 29, withPart('alto', [{ ...whole('Eb4', 65), name: 'Eb4' }]))
    const found = only('VA9', validate(faulty))
    expect(found).toMatchObject({ path: 'bars/28/parts/alto/0', severity: 'error' })
    expect(found.message).toBe('Bar 29, alto sax: the name says E♭4, but F4 sounds; write F4.')
  })

  it('[VA10] a tie that leads to nothing', () => {
    const faulty = withBar(lanternArrangement(), 8, (bar) => ({
      ...bar,
      melody: [],
      parts: { ...bar.parts, trumpet: [] },
    }))
    const found = only('VA10', validate(faulty))
    expect(found).toMatchObject({
      message: 'Bar 7: the tie leads to nothing in bar 8.',
      path: 'bars/6/melody/0',
      severity: 'error',
    })
    expect(others('VA10', validate(faulty))).toEqual([])
  })

  it('[VA10] two notes of one line at once', () => {
    const faulty = withBar(lanternArrangement(), 9, withPart('alto', [whole('A4', 69, 3), whole('C5', 72, 2, 2)]))
    expect(only('VA10', validate(faulty)).message).toBe('Bar 9, alto sax: A4 still sounds when C5 begins; shorten it.')
  })

  it('[VA11] a To Coda without its coda', () => {
    const arrangement = withCodaForm()
    const folded = fold(arrangement)
    expect(validate(arrangement, { folded })).toEqual([])
    const { bars } = folded
    const noCoda = bars.map(({ coda: _coda, ...bar }) => bar)
    const found = only('VA11', validate(arrangement, { folded: { ...folded, bars: noCoda } }))
    expect(found.message).toBe("To Coda after bar 34, but no coda is marked: the form can't be played as planned.")
    expect(found.severity).toBe('error')
  })

  it('[VA11] who improvises is printed, and no reason to doubt the signs', () => {
    const plain = lanternArrangement()
    const arrangement = {
      ...plain,
      bars: plain.bars.map((bar, index) => (index >= 8 ? { ...bar, soloists: ['trumpet'] } : bar)),
    }
    expect(validate(arrangement, { folded: fold(arrangement) }).filter(({ code }) => code === 'VA11')).toEqual([])
  })

  it('[VA12] an opening that leads nowhere', () => {
    const opening = (last: string): Arrangement =>
      arrangementOf(
        withSextet([
          ...rows(`1|Fmaj7|-\n2|Ebmaj7|-\n3|Fmaj7|-\n4|${last}|-`, {
            len: 4,
            key: 'F major',
            pass: 'opening',
            sections: [['opening', 4]],
          }),
          ...passesOf(lanternTune(), 'chorus-1'),
        ]),
      )
    for (const last of ['Ebmaj7', 'C7sus', 'Gb7', 'C7', 'Gbmaj7']) expect(validate(opening(last))).toEqual([])
    const found = only('VA12', validate(opening('Bmaj7')))
    expect(found.message).toBe('Bar 4: The opening ends on B∆; nothing leads to F∆. C7sus or G♭7 would.')
    expect(found).toMatchObject({ path: 'bars/3/chords', severity: 'warning' })
    expect(others('VA12', validate(opening('Bmaj7')))).toEqual([])
  })
})

function withCodaForm(): Arrangement {
  const tune = lanternTune()
  const opening = rows('1|Fmaj7|-\n2|Ebmaj7|-\n3|Fmaj7|-\n4|Ebmaj7|-', {
    len: 4,
    key: 'F major',
    pass: 'opening',
    sections: [['opening', 4]],
    tempoBpm: 138,
  })
  const ending = rows('1|Gbmaj7|F4:4~\n2|Gbmaj7|F4:4~\n3|F6|F4:4~\n4|F6|F4:4', {
    len: 4,
    key: 'F major',
    pass: 'ending',
    sections: [['ending', 4]],
    tempoBpm: 138,
  })
  return arrangementOf(
    withSextet([...opening, ...passesOf(tune, 'chorus-1'), ...passesOf(tune, 'chorus-last').slice(0, 30), ...ending]),
  )
}

describe('[VA13] total on anything JSON-shaped', () => {
  const shapes: readonly unknown[] = [
    null,
    42,
    'bars',
    [],
    {},
    { bars: null },
    { bars: [null, 1, 'x', [], {}] },
    { bars: [{ metre: { beats: 0, beatType: 4 } }], lineup: 'x' },
    { bars: [{ metre: { beats: 4, beatType: 4 }, lengthTicks: -1 }], lineup: [null, {}] },
  ]
  it('answers with issues, never an exception', () => {
    for (const shape of shapes) {
      const found = validate(shape as Arrangement, {
        plan: shape as Plan,
        folded: shape as never,
        written: shape as never,
      })
      expect(found.length).toBeGreaterThan(0)
      expect(found.every(({ code, message }) => code !== '' && message !== '')).toBe(true)
    }
  })

  it('a clean arrangement with one value replaced by rubbish is answered (seed 20)', () => {
    const random = seeded(20)
    const rubbish: readonly unknown[] = [null, -1, 1.5, 1e21, '', 'H9', {}, [], true, { a: 1 }, [null], '__proto__']
    const clean = JSON.stringify({ ...lanternArrangement(), bars: lanternArrangement().bars.slice(0, 4) })
    for (let round = 0; round < 500; round++) {
      const broken = JSON.parse(clean) as object
      let at: Record<string, unknown> = broken as Record<string, unknown>
      for (let depth = random(9) + 1; depth > 0; depth--) {
        const keys = Object.keys(at)
        const key = keys[random(keys.length)]
        if (key === undefined) break
        const next = at[key]
        if (depth === 1 || typeof next !== 'object' || next === null) {
          at[key] = rubbish[random(rubbish.length)]
          break
        }
        at = next as Record<string, unknown>
      }
      expect(() => validate(broken as Arrangement, { folded: { bars: [] } as never })).not.toThrow()
    }
  }, 30_000)

  it('names the place of an unreadable bar and still checks the others', () => {
    const faulty = withBar(lanternArrangement(), 30, withChords('Gbmaj7'))
    const broken = { ...faulty, bars: faulty.bars.map((bar, index) => (index === 3 ? { ...bar, metre: null } : bar)) }
    const found = validate(broken as unknown as Arrangement)
    expect(found[0]).toMatchObject({ code: 'VA1', path: 'bars/3/metre' })
    expect(found[0]?.message).toContain('Bar 4')
    expect(found.map(({ code }) => code)).toContain('VA2')
  })
})

describe('[VA14] fast enough for every edit', () => {
  it('200 bars with the sextet in under 30 ms', () => {
    const tune = lanternTune()
    const passes = Array.from({ length: 6 }, (_, index) => `chorus-${index + 1}`)
    const arrangement = arrangementOf(withSextet(passesOf(tune, ...passes)).slice(0, 200))
    for (let warm = 0; warm < 5; warm++) validate(arrangement)
    // The quickest run, in processor time: the machine is shared.
    const times = Array.from({ length: 9 }, () => processorMs(() => validate(arrangement), 1))
    expect(Math.min(...times)).toBeLessThan(30)
  })
})
