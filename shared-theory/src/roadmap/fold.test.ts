import { describe, expect, it } from 'vitest'
import type { ArrangedBar, Arrangement, FoldedScore, PartNote } from '../contract/index.js'
import { chord } from '../chords/index.js'
import { keySignatureOf, must, seeded, stableJson } from '../units/index.js'
import { arrangementOf, lanternTune, withSextet } from '../../../tests/fixtures/lantern-band.js'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { fold, playingOrder, printedContent, unfold } from './index.js'

const vamp = (bars: number): ArrangedBar[] =>
  rows(Array.from({ length: bars }, (_, index) => `${index + 1}|${index % 2 ? 'Ebmaj7' : 'Fmaj7'}|-`).join('\n'), {
    len: 4,
    key: 'F major',
    pass: 'opening',
    sections: [['opening', bars]],
    tempoBpm: 138,
  })
const ending = (): ArrangedBar[] =>
  rows('1|Gbmaj7|F4:4~\n2|Gbmaj7|F4:4~\n3|F6|F4:4~\n4|F6|F4:4', {
    len: 4,
    key: 'F major',
    pass: 'ending',
    sections: [['ending', 4]],
    tempoBpm: 138,
  })
const inG = (bars: readonly ArrangedBar[]): ArrangedBar[] =>
  bars.map((bar) => ({
    ...bar,
    key: keySignatureOf('G major'),
    melody: bar.melody.map((note) => ({ ...note, midi: note.midi + 2 })),
  }))

/** Written bars with their marks, as worked example 9 tables them: '5 segno', '34 to coda'. */
const marksOf = ({ bars }: FoldedScore): readonly string[] =>
  bars.flatMap((bar, index) => [
    ...(bar.segno ? [`${index + 1} segno`] : []),
    ...(bar.toCoda ? [`${index + 1} to coda`] : []),
    ...(bar.jump ? [`${index + 1} ${bar.jump}`] : []),
    ...(bar.coda ? [`${index + 1} coda`] : []),
    ...(bar.repeatStart ? [`${index + 1} repeat`] : []),
    ...(bar.ending ? [`${index + 1} ending ${bar.ending.join()}`] : []),
    ...(bar.repeatEnd === undefined ? [] : [`${index + 1} ${bar.repeatEnd} times`]),
  ])

function workedExample(last: (bars: readonly ArrangedBar[]) => readonly ArrangedBar[] = (bars) => bars): Arrangement {
  const tune = lanternTune()
  const lastChorus = passesOf(tune, 'chorus-last').slice(0, 30)
  return arrangementOf(withSextet([...vamp(4), ...passesOf(tune, 'chorus-1'), ...last(lastChorus), ...ending()]))
}

describe('[RM1] the worked example with D.S. al Coda', () => {
  it('70 bars played are 40 written, A A written out', () => {
    const arrangement = workedExample()
    expect(arrangement.bars).toHaveLength(70)
    const folded = fold(arrangement)
    expect(folded.bars).toHaveLength(40)
    expect(marksOf(folded)).toEqual(['5 segno', '34 to coda', '36 D.S. al Coda', '37 coda'])
    const playings = folded.bars.map((bar) => bar.playings.length)
    expect(playings).toEqual([1, 1, 1, 1, ...Array.from({ length: 30 }, () => 2), 1, 1, 1, 1, 1, 1])
    const order = playingOrder(folded.bars).order.map((at) => at + 1)
    const run = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, index) => from + index)
    expect(order).toEqual([...run(1, 36), ...run(5, 34), ...run(37, 40)])
    expect(unfold(folded)).toEqual(arrangement)
  })

  it('lifted before its last B with a prepared bar 16: 55 written, 70 played, the tie led over the jump', () => {
    const arrangement = workedExample((bars) =>
      bars.map((bar, index) => {
        if (index < 15) return bar
        return index === 15
          ? { ...bar, chords: [{ startTick: 0, durationTicks: bar.lengthTicks, chord: chord('G7sus') }] }
          : must(inG([bar])[0], 'a bar')
      }),
    )
    const folded = fold(arrangement)
    expect(folded.bars).toHaveLength(55)
    expect(marksOf(folded)).toEqual(['5 segno', '19 to coda', '36 D.S. al Coda', '37 coda'])
    expect(folded.bars[18]?.bar.melody.at(-1)?.tiedToNext).toBe(true)
    expect(unfold(folded)).toEqual(arrangement)
  })

  it('lifted directly: To Coda a bar later, 54 written', () => {
    const arrangement = workedExample((bars) => [...bars.slice(0, 16), ...inG(bars.slice(16))])
    const folded = fold(arrangement)
    expect(folded.bars).toHaveLength(54)
    expect(marksOf(folded)).toEqual(['5 segno', '20 to coda', '36 D.S. al Coda', '37 coda'])
    expect(unfold(folded)).toEqual(arrangement)
  })
})

describe('[RM2] repeats', () => {
  const solo = (...passes: string[]): ArrangedBar[] =>
    passesOf(lanternTune(), ...passes).map((bar) => ({ ...bar, melody: [] }))

  it('solo choruses are written once, whatever the rhythm section plays in each', () => {
    const choruses = withSextet([...passesOf(lanternTune(), 'chorus-1'), ...solo('solo-1', 'solo-1#2', 'solo-1#3')])
    const varied = choruses.map((bar, index): ArrangedBar => ({
      ...bar,
      parts: {
        ...bar.parts,
        drums: (bar.parts['drums'] ?? []).map((note) => ({ ...note, velocity: 60 + (index % 40) })),
      },
    }))
    const arrangement = arrangementOf(varied)
    const folded = fold(arrangement)
    expect(folded.bars).toHaveLength(57)
    const head = ['1 repeat', '8 ending 1', '8 2 times', '9 ending 2']
    expect(marksOf(folded)).toEqual([...head, '26 repeat', '57 3 times'])
    expect(folded.bars[25]?.playings.map(({ barIndex }) => barIndex)).toEqual([32, 64, 96])
    expect(folded.bars[25]?.playings[1]?.differs).toMatchObject({ pass: 'solo-1#2' })
    expect(unfold(folded)).toEqual(arrangement)
  })

  it('a D.S. after repeated solos stands at the last solo bar, and no repeat lies where the jump plays again', () => {
    const arrangement = arrangementOf(
      withSextet([
        ...vamp(4),
        ...passesOf(lanternTune(), 'chorus-1'),
        ...solo('solo-1', 'solo-1#2'),
        ...passesOf(lanternTune(), 'chorus-last').slice(0, 30),
        ...ending(),
      ]),
    )
    const folded = fold(arrangement)
    expect(marksOf(folded)).toEqual(['5 segno', '34 to coda', '37 repeat', '68 D.S. al Coda', '68 2 times', '69 coda'])
    expect(folded.bars).toHaveLength(72)
    expect(unfold(folded)).toEqual(arrangement)
  })

  it('a long vamp is a repeat of its two bars, a short one is written out', () => {
    expect(marksOf(fold(arrangementOf(withSextet(vamp(8)))))).toEqual(['1 repeat', '2 4 times'])
    expect(marksOf(fold(arrangementOf(withSextet(vamp(4)))))).toEqual([])
  })
})

describe('[RM6] endings', () => {
  const bare = (bars: readonly ArrangedBar[]) => bars.map((bar) => ({ ...bar, melody: [] }))
  it('A A B A: the first two share all but their endings', () => {
    const folded = fold(arrangementOf(withSextet(passesOf(lanternTune(), 'chorus-1'))))
    expect(marksOf(folded)).toEqual(['1 repeat', '8 ending 1', '8 2 times', '9 ending 2'])
    expect(folded.bars).toHaveLength(25)
    expect(playingOrder(folded.bars).order.slice(6, 18)).toEqual([6, 7, 0, 1, 2, 3, 4, 5, 6, 8, 9, 10])
  })
  it('equal choruses of which the last closes otherwise: endings 1, 2 and 3', () => {
    const bars = bare(passesOf(lanternTune(), 'solo-1', 'solo-1#2', 'solo-1#3'))
    const closed = bars.map((bar, index) => (index > 93 ? { ...bar, mark: 'stop' } : bar))
    const arrangement = arrangementOf(withSextet(closed))
    const folded = fold(arrangement)
    expect(marksOf(folded)).toEqual([
      '1 repeat',
      '31 ending 1,2',
      '32 ending 1,2',
      '32 3 times',
      '33 ending 3',
      '34 ending 3',
    ])
    expect(unfold(folded)).toEqual(arrangement)
  })
  it('three equal choruses are one', () => {
    const arrangement = arrangementOf(withSextet(passesOf(lanternTune(), 'chorus-1', 'chorus-1#2', 'chorus-1#3')))
    expect(fold(arrangement).bars.length).toBeLessThan(0.7 * arrangement.bars.length)
    expect(marksOf(fold(arrangement))).toEqual(['1 repeat', '32 3 times'])
  })
  it('no repeat begins in one pass and ends inside another', () => {
    const folded = fold(
      arrangementOf(withSextet([...passesOf(lanternTune(), 'chorus-1'), ...inG(passesOf(lanternTune(), 'chorus-2'))])),
    )
    const starts = folded.bars.flatMap((bar, index) => (bar.repeatStart ? [index + 1] : []))
    expect(starts).toEqual([1, 26])
    expect(folded.bars).toHaveLength(50)
  })
  it('a form after a pickup repeats from its first full bar', () => {
    const bars = passesOf(lanternTune(), 'chorus-1')
    const pickup: ArrangedBar = { ...must(bars[31], 'bar 32'), sectionId: 'A1', lengthTicks: 5040, melody: [] }
    const arrangement = arrangementOf(withSextet([pickup, ...bars]))
    expect(marksOf(fold(arrangement))).toEqual(['2 repeat', '9 ending 1', '9 2 times', '10 ending 2'])
  })
})

describe('[RM7] ties are printed at both ends', () => {
  it('a bar that is tied into once and struck once is written twice', () => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1', 'chorus-1#2'))
    const hold = (bar: ArrangedBar): ArrangedBar => ({
      ...bar,
      parts: { ...bar.parts, alto: [{ startTick: 0, durationTicks: 20160, midi: 65, name: 'F4', velocity: 80 }] },
    })
    const tie = (bar: ArrangedBar): ArrangedBar => ({
      ...bar,
      parts: { ...bar.parts, alto: (hold(bar).parts['alto'] ?? []).map((note) => ({ ...note, tiedToNext: true })) },
    })
    const struck = arrangementOf(bars.map((bar, index) => (index % 32 === 0 ? hold(bar) : bar)))
    expect(fold(struck).bars).toHaveLength(32)
    const tied = arrangementOf(struck.bars.map((bar, index) => (index === 31 ? tie(bar) : bar)))
    const folded = fold(tied)
    expect(folded.bars.find(({ playings }) => playings.some(({ barIndex }) => barIndex === 32))?.playings).toHaveLength(
      1,
    )
    expect(unfold(folded)).toEqual(tied)
  })
})

describe('[RM3] bars fold only where every part prints the same', () => {
  const twice = (change: (bar: ArrangedBar) => ArrangedBar): FoldedScore => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1', 'chorus-2'))
    return fold(arrangementOf(bars.map((bar, index) => (index === 40 ? change(bar) : bar))))
  }
  const note: PartNote = { startTick: 0, durationTicks: 5040, midi: 57, name: 'A3', velocity: 80 }

  it('a written note in one part alone keeps the bar apart', () => {
    expect(twice((bar) => bar).bars).toHaveLength(32)
    const apart = twice((bar) => ({ ...bar, parts: { ...bar.parts, tenor: [note] } }))
    expect(apart.bars.length).toBeGreaterThan(32)
    const at = apart.bars.find(({ playings }) => playings.some(({ barIndex }) => barIndex === 40))
    expect(at?.playings).toHaveLength(1)
  })

  it('slashes, velocities, sections and provenance may differ; chords, dynamics, marks and tempo may not', () => {
    const [bar] = withSextet(passesOf(lanternTune(), 'chorus-1')) as [ArrangedBar]
    const same: readonly Partial<ArrangedBar>[] = [
      { pass: 'x' },
      { sectionId: 'B' },
      { provenance: { decision: 'groove', optionId: 'o', rule: 'GR1' } },
      { parts: { ...bar.parts, piano: [{ ...note, printed: 'slash' }] } },
    ]
    for (const change of same) expect(printedContent({ ...bar, ...change })).toBe(printedContent(bar))
    const other: readonly Partial<ArrangedBar>[] = [
      { chords: [] },
      { dynamic: 'f' },
      { mark: 'on cue' },
      { tempoBpm: 100 },
      { fermataTick: 0 },
      { melody: [] },
      { key: keySignatureOf('G major') },
      { parts: { ...bar.parts, piano: [] } },
    ]
    for (const change of other) expect(printedContent({ ...bar, ...change })).not.toBe(printedContent(bar))
    const ramp = { ...bar, tempoEndBpm: 100 }
    expect(printedContent({ ...ramp, tempoBpm: 120 })).toBe(printedContent(ramp))
  })
})

describe('[RM4] unfold(fold(x)) is x', () => {
  /** Bars from a small stock, in sections and passes of random length, so that every kind of repetition turns up. */
  function generated(seed: number): Arrangement {
    const random = seeded(seed)
    const stock = withSextet(passesOf(lanternTune(), 'chorus-1'))
    const sections = Array.from({ length: 1 + random(4) }, () => {
      const start = random(28)
      return stock.slice(start, start + 1 + random(8))
    })
    const bars: ArrangedBar[] = []
    const passes = 1 + random(6)
    for (let pass = 0; pass < passes; pass++) {
      for (let count = random(4); count >= 0; count--) {
        const place = random(sections.length)
        const isSolo = random(4) === 0
        for (const bar of sections[place] as ArrangedBar[]) {
          bars.push({
            ...bar,
            sectionId: `S${place}-${count}`,
            pass: `p${pass}`,
            ...(isSolo ? { melody: [] } : {}),
            ...(random(9) === 0 ? { dynamic: 'mf' as const } : {}),
            ...(random(30) === 0 ? { tempoEndBpm: 90, tempoBpm: 100 + random(20) } : {}),
            parts: {
              ...bar.parts,
              drums: (bar.parts['drums'] ?? []).map((hit) => ({ ...hit, velocity: 50 + random(40) })),
            },
          })
        }
      }
    }
    return arrangementOf(bars)
  }

  it('for 150 generated arrangements (seeds 1 to 150)', () => {
    let jumps = 0
    let repeats = 0
    for (let seed = 1; seed <= 150; seed++) {
      const arrangement = generated(seed)
      const folded = fold(arrangement)
      expect(stableJson(unfold(folded)), `seed ${seed}`).toBe(stableJson(arrangement))
      expect(folded.bars.filter(({ segno }) => segno).length, `seed ${seed}`).toBeLessThanOrEqual(1)
      expect(folded.bars.filter(({ coda }) => coda).length, `seed ${seed}`).toBeLessThanOrEqual(1)
      expect(folded.bars.length).toBeLessThanOrEqual(arrangement.bars.length)
      expect(playingOrder(folded.bars).broken).toEqual([])
      jumps += folded.bars.filter(({ jump }) => jump).length
      repeats += folded.bars.filter(({ repeatEnd }) => repeatEnd).length
    }
    expect(jumps).toBeGreaterThan(10)
    expect(repeats).toBeGreaterThan(10)
  }, 30_000)

  it('survives JSON and an empty arrangement', () => {
    const arrangement = workedExample()
    expect(unfold(JSON.parse(JSON.stringify(fold(arrangement))) as FoldedScore)).toEqual(arrangement)
    expect(unfold(fold(arrangementOf([])))).toEqual(arrangementOf([]))
  })
})

describe('[RM5] marks are played as players read them', () => {
  const marked = (...marks: readonly Partial<FoldedScore['bars'][number]>[]): readonly number[] => {
    const [bar] = withSextet(passesOf(lanternTune(), 'chorus-1')) as [ArrangedBar]
    const bars = marks.map((mark, barIndex) => ({
      bar,
      playings: Array.from({ length: 4 }, () => ({ barIndex })),
      ...mark,
    }))
    return playingOrder(bars).order
  }

  it('first and second endings', () => {
    const form = [{ repeatStart: true as const }, {}, { ending: [1], repeatEnd: 2 }, { ending: [2] }, {}]
    expect(marked(...form)).toEqual([0, 1, 2, 0, 1, 3, 4])
  })
  it('repeats are not taken again after a D.S., nor first endings', () => {
    const form = [
      {},
      { segno: true as const, repeatStart: true as const },
      { ending: [1], repeatEnd: 2 },
      { ending: [2], toCoda: true as const },
      { jump: 'D.S. al Coda' as const },
      { coda: true as const },
    ]
    expect(marked(...form)).toEqual([0, 1, 2, 1, 3, 4, 1, 3, 5])
  })
  it('D.C. goes to the start', () => {
    expect(marked({}, { toCoda: true }, { jump: 'D.C. al Coda' }, { coda: true })).toEqual([0, 1, 2, 0, 1, 3])
  })
  it('a To Coda without a coda is passed over and named', () => {
    const [bar] = withSextet(passesOf(lanternTune(), 'chorus-1')) as [ArrangedBar]
    const bars = [{ toCoda: true as const }, { jump: 'D.S. al Coda' as const }].map((mark, barIndex) => ({
      bar,
      playings: [{ barIndex }],
      ...mark,
    }))
    expect(playingOrder(bars)).toEqual({
      order: [0, 1],
      broken: [
        { bar: 0, missing: 'coda' },
        { bar: 1, missing: 'segno' },
      ],
    })
  })
})
