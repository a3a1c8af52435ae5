import { describe, expect, it } from 'vitest'
import type { ArrangedBar, Arrangement, Metre, PartNote, PartSpec } from '../../contract/index.js'
import { INSTRUMENTS, findInstrument } from '../../instruments/index.js'
import { barTicks, keySignature, midiOfName, must, noteOfFifths } from '../../units/index.js'
import {
  SEXTET,
  arrangementOf,
  lanternArrangement,
  lanternTune,
  withSextet,
} from '../../../../tests/fixtures/lantern-band.js'
import { codaForm, endingsForm, hardBars, soloForm, thirdEndingForm } from '../../../../tests/fixtures/varied-chart.js'
import { passesOf, rows, tuneOfRows } from '../../../../tests/fixtures/rows.js'
import { AccidentalKeeper } from './accidentals.js'
import { barGrid } from './bar-grid.js'
import { beamsOf } from './beams.js'
import { writeMusicXml } from './index.js'
import { layOutVoice } from './lay-out-voice.js'
import { escapeXml } from './xml.js'
import { writtenInterval, writtenKey } from './written-pitch.js'

const QUARTER = 5040

const barOf = (metre: Metre, groups: readonly number[], lengthTicks = barTicks(metre), barIndex = 1) => ({
  metre,
  groups,
  lengthTicks,
  barIndex,
})
const FOUR = barOf({ beats: 4, beatType: 4 }, [4])
const THREE = barOf({ beats: 3, beatType: 4 }, [3])
const SEVEN = barOf({ beats: 7, beatType: 4 }, [4, 3])
const SIX_EIGHT = barOf({ beats: 6, beatType: 8 }, [3, 3])

/** Notes as 'quarters' with gaps as negative numbers, laid out: 'half. quarter~ (eighth)'. */
function written(bar: typeof FOUR, ...quarters: readonly number[]): string {
  let at = 0
  const notes: PartNote[] = []
  for (const length of quarters) {
    const durationTicks = Math.round(Math.abs(length) * QUARTER)
    if (length > 0) notes.push({ startTick: at, durationTicks, midi: 60, name: 'C4', velocity: 80 })
    at += durationTicks
  }
  return layOutVoice(barGrid(bar), notes, { slashed: false, bar })
    .map(({ kind, value, tuplet, isLast }) => {
      const sign = `${value.type}${'.'.repeat(value.dots)}${tuplet ? `/${tuplet.actual}` : ''}`
      if (kind === 'bar-rest') return '(bar)'
      return kind === 'rest' ? `(${sign})` : `${sign}${isLast ? '' : '~'}`
    })
    .join(' ')
}

/** Number of beams per run: '4 3' is a beam over four notes, then one over three. */
function beamRuns(bar: typeof FOUR, ...quarters: readonly number[]): string {
  let at = 0
  const notes = quarters.flatMap((length): PartNote[] => {
    const durationTicks = Math.round(Math.abs(length) * QUARTER)
    const note = { startTick: at, durationTicks, midi: 60, name: 'C4', velocity: 80 }
    at += durationTicks
    return length > 0 ? [note] : []
  })
  const grid = barGrid(bar)
  const events = layOutVoice(grid, notes, { slashed: false, bar })
  const runs: number[] = []
  for (const [first] of beamsOf(grid, events)) {
    if (first === 'begin') runs.push(1)
    else if (first) runs[runs.length - 1] = (runs.at(-1) ?? 0) + 1
  }
  return runs.join(' ')
}

describe('[MX6] durations are written so that the metre can be seen', () => {
  const cases: readonly (readonly [name: string, bar: typeof FOUR, quarters: readonly number[], expected: string])[] = [
    ['a whole bar is one note', FOUR, [4], 'whole'],
    ['a long note from a group start is split as late as it can be', SEVEN, [4, 2.5, 0.5], 'whole half~ eighth eighth'],
    ['and one that leads to a group start as early', THREE, [0.5, 2.5], 'eighth eighth~ half'],
    ['a silent bar is one rest', FOUR, [], '(bar)'],
    ['7/4 shows 4+3', SEVEN, [7], 'whole~ half.'],
    ['a note over the group line is tied', SEVEN, [2.5, 2.5, 2], 'half~ eighth quarter.~ quarter half'],
    ['dotted half from beat one', FOUR, [3, 1], 'half. quarter'],
    ['dotted half from beat two', FOUR, [1, 3], 'quarter half.'],
    ['the middle of 4/4 shows under a dotted quarter on two', FOUR, [1, 1.5, 1.5], 'quarter quarter~ eighth quarter.'],
    ['short syncopations stay one note', FOUR, [0.5, 1, 0.5, 1, 1], 'eighth quarter eighth quarter quarter'],
    ['quarter half quarter', FOUR, [1, 2, 1], 'quarter half quarter'],
    ['an off-beat quarter over the middle is tied', FOUR, [1.5, 1, 1.5], 'quarter. eighth~ eighth quarter.'],
    ['two and a half beats', FOUR, [2.5, 1.5], 'half~ eighth quarter.'],
    ['rests: no dotted rest, no rest over the middle', FOUR, [1, -3], 'quarter (quarter) (half)'],
    ['rests in three', THREE, [1, -2], 'quarter (quarter) (quarter)'],
    ['6/8 by dotted quarters', SIX_EIGHT, [1.5, 1, 0.5], 'quarter. quarter eighth'],
    ['a note over the middle of 6/8 is tied', SIX_EIGHT, [1, 1, 1], 'quarter eighth~ eighth quarter'],
    ['triplet eighths', FOUR, [1 / 3, 1 / 3, 1 / 3, 3], 'eighth/3 eighth/3 eighth/3 half.'],
    ['a long and a short triplet note', FOUR, [2 / 3, 1 / 3, 3], 'quarter/3 eighth/3 half.'],
    ['quarter triplets over two beats', FOUR, [2 / 3, 2 / 3, 2 / 3, 2], 'quarter/3 quarter/3 quarter/3 half'],
    ['sixteenth triplets beside an eighth', FOUR, [1 / 6, 1 / 6, 1 / 6, 0.5, 3], '16th/3 16th/3 16th/3 eighth half.'],
    ['a quintuplet', FOUR, [0.2, 0.2, 0.2, 0.2, 0.2, 3], '16th/5 16th/5 16th/5 16th/5 16th/5 half.'],
  ]
  for (const [name, bar, quarters, expected] of cases) {
    it(name, () => expect(written(bar, ...quarters)).toBe(expected))
  }
  it('a pickup is the end of a full bar', () => {
    const pickup = barOf({ beats: 4, beatType: 4 }, [4], 2.5 * QUARTER, 0)
    expect(written(pickup, 2.5)).toBe('eighth~ half')
  })
  it('pieces of every voice add up to the bar, whatever the notes (grid of 1/12 and 1/16 quarters)', () => {
    for (const bar of [FOUR, THREE, SEVEN, SIX_EIGHT]) {
      for (let from = 0; from < bar.lengthTicks; from += 1260) {
        for (const length of [420, 840, 1260, 1680, 2520, 3360, 6300, 12600]) {
          const durationTicks = Math.min(length, bar.lengthTicks - from)
          const note = { startTick: from, durationTicks, midi: 60, name: 'C4', velocity: 80 }
          const events = layOutVoice(barGrid(bar), [note], { slashed: false, bar })
          expect(events.reduce((sum, event) => sum + event.durationTicks, 0)).toBe(bar.lengthTicks)
          expect(
            events.every(
              (event, index) =>
                event.startTick === (events[index - 1]?.startTick ?? 0) + (events[index - 1]?.durationTicks ?? 0),
            ),
          ).toBe(true)
        }
      }
    }
  })
})

describe('[MX7] beams follow the groups', () => {
  const eighths = (count: number): number[] => Array.from({ length: count }, () => 0.5)
  it('4/4 by half bars, broken at the beat where shorter notes come in', () => {
    expect(beamRuns(FOUR, ...eighths(8))).toBe('4 4')
    expect(beamRuns(FOUR, 0.25, 0.25, 0.5, 0.5, 0.5, 2)).toBe('3 2')
    expect(beamRuns(FOUR, 0.5, -0.5, 0.5, 0.5, 2)).toBe('2')
  })
  it('7/4 shows 4+3, 3/4 is one, 6/8 by threes', () => {
    expect(beamRuns(SEVEN, ...eighths(14))).toBe('4 4 6')
    expect(beamRuns(THREE, ...eighths(6))).toBe('6')
    expect(beamRuns(SIX_EIGHT, ...eighths(6))).toBe('3 3')
  })
})

describe('[MX8] accidentals', () => {
  const keeper = new AccidentalKeeper()
  const show = (step: number, alter: number, octave = 4, tied = false) => keeper.show({ step, alter, octave }, tied)
  it('once a bar and line, again in another octave, and a reminder in the bar after', () => {
    keeper.startBar(-1)
    expect(show(3, 1)).toEqual({ sign: 'sharp', isCourtesy: false })
    expect(show(3, 1)).toBeUndefined()
    expect(show(3, 1, 5)).toEqual({ sign: 'sharp', isCourtesy: false })
    expect(show(6, -1)).toBeUndefined()
    keeper.startBar(-1)
    expect(show(3, 0)).toEqual({ sign: 'natural', isCourtesy: true })
    expect(show(3, 0)).toBeUndefined()
    keeper.startBar(-1)
    expect(show(3, 0)).toBeUndefined()
  })
  it('a note tied in needs none', () => {
    keeper.startBar(0)
    expect(show(3, 1, 4, true)).toBeUndefined()
  })
})

describe('[MX9] transposition', () => {
  it('every instrument in every key: at most six accidentals, and un-transposed the sounding key again', () => {
    for (const instrument of INSTRUMENTS) {
      const interval = writtenInterval(instrument, 'written')
      for (let fifths = -6; fifths <= 6; fifths++) {
        const key = must(keySignature(noteOfFifths(fifths)), 'a key')
        const { fifths: shown, up } = writtenKey(key, interval)
        expect(Math.abs(shown)).toBeLessThanOrEqual(6)
        expect((((shown - fifths) * 7 - (up?.semitones ?? 0)) % 12) + 0).toBe(0)
      }
    }
  })
  it('worked examples: tenor reads G for F, alto D for F; in G♭ the trumpet reads A♭ and the alto E♭', () => {
    const fifthsFor = (id: string, fifths: number): number => {
      const instrument = must(findInstrument(id), id)
      return writtenKey(must(keySignature(noteOfFifths(fifths)), 'a key'), writtenInterval(instrument, 'written'))
        .fifths
    }
    expect(fifthsFor('tenor-sax', -1)).toBe(1)
    expect(fifthsFor('alto-sax', -1)).toBe(2)
    expect(fifthsFor('trumpet', -6)).toBe(-4)
    expect(fifthsFor('alto-sax', -6)).toBe(-3)
    expect(fifthsFor('trumpet', 6)).toBe(-4)
  })
  it('worked example 7: backgrounds behind a solo as written', () => {
    const lines: { readonly [id: string]: readonly [concert: string[], written: string[]] } = {
      trumpet: [
        ['A4', 'A4', 'G4'],
        ['B4', 'B4', 'A4'],
      ],
      alto: [
        ['F4', 'E4', 'D4'],
        ['D5', 'C#5', 'B4'],
      ],
      tenor: [
        ['D4', 'D4', 'C4'],
        ['E5', 'E5', 'D5'],
      ],
      trombone: [
        ['Bb3', 'Bb3', 'A3'],
        ['Bb3', 'Bb3', 'A3'],
      ],
      baritone: [
        ['G3', 'C3', 'F3'],
        ['E5', 'A4', 'D5'],
      ],
    }
    const lineup: readonly PartSpec[] = [
      ...SEXTET.slice(0, 3),
      { id: 'trombone', instrument: 'trombone', name: 'Trombone', role: 'horn' },
      { id: 'baritone', instrument: 'baritone-sax', name: 'Baritone sax', role: 'horn' },
    ]
    const bars = passesOf(lanternTune(), 'chorus-1')
      .slice(28, 31)
      .map((bar, place): ArrangedBar => ({
        ...bar,
        parts: Object.fromEntries(
          Object.entries(lines).map(([id, [concert]]) => {
            const name = must(concert[place], 'three bars')
            return [id, [{ startTick: 0, durationTicks: 4 * QUARTER, midi: midiOfName(name), name, velocity: 70 }]]
          }),
        ),
      }))
    for (const [id, [, expected]] of Object.entries(lines)) {
      const xml = writeMusicXml(arrangementOf(bars, lineup), { part: id })
      expect(pitchesIn(xml), id).toEqual(expected)
    }
  })
})

function pitchesIn(xml: string): readonly string[] {
  return [...xml.matchAll(/<step>(.)<\/step>\s*(?:<alter>(-?\d)<\/alter>\s*)?<octave>(\d)<\/octave>/g)].map(
    ([, step, alter, octave]) => `${step}${{ '1': '#', '-1': 'b' }[alter ?? ''] ?? ''}${octave}`,
  )
}

const measure = (xml: string, number: number): string =>
  must(xml.match(new RegExp(`<measure number="${number}"[\\s\\S]*?</measure>`))?.[0], `measure ${number}`)

describe('[MX10] marks and road signs', () => {
  const xml = writeMusicXml(codaForm(), { part: 'trumpet', folded: true })
  it('rehearsal letters run, each once, boxed, the form letter beside them', () => {
    const letters = [...xml.matchAll(/<rehearsal enclosure="square"[^>]*>(\w+)</g)].map((found) => found[1])
    expect(letters).toEqual(['A', 'B', 'C', 'D', 'E', 'F'])
    expect(measure(xml, 1)).toContain('>Opening<')
    expect(measure(xml, 5)).toContain('>A · Chorus 1<')
    expect(measure(xml, 21)).toContain('>B<')
    expect(measure(xml, 37)).toContain('>Coda · Ending<')
  })
  it('segno, to coda, D.S. and coda with their playback', () => {
    expect(measure(xml, 5)).toMatch(/<segno\/>[\s\S]*<sound segno="segno"\/>/)
    expect(measure(xml, 34)).toMatch(/>To Coda<[\s\S]*<sound tocoda="coda"\/>/)
    expect(measure(xml, 36)).toMatch(/>D\.S\. al Coda<[\s\S]*<sound dalsegno="segno"\/>/)
    expect(measure(xml, 37)).toMatch(/<coda\/>[\s\S]*<sound coda="coda"\/>/)
  })
  it('repeats say how often, and the chart says that the D.S. leaves them out', () => {
    const solos = writeMusicXml(soloForm(), { part: 'trumpet', folded: true })
    expect(solos).toMatch(/<repeat direction="forward"\/>/)
    expect(measure(solos, 68)).toMatch(
      />3×<[\s\S]*>D\.S\. al Coda \(no repeats\)<[\s\S]*<repeat direction="backward" times="3"\/>/,
    )
  })
  it('endings under numbered brackets, without a rehearsal mark of their own', () => {
    const chart = writeMusicXml(endingsForm(), { part: 'trumpet', folded: true })
    expect(measure(chart, 8)).toMatch(
      /<barline location="left">\s*<ending number="1" type="start">1\.<\/ending>[\s\S]*<ending number="1" type="stop"\/>\s*<repeat direction="backward" times="2"\/>/,
    )
    expect(measure(chart, 9)).toMatch(
      /<ending number="2" type="start">2\.<[\s\S]*<ending number="2" type="discontinue"\/>/,
    )
    expect(measure(chart, 9)).not.toContain('<rehearsal')
    expect(measure(chart, 10)).toContain('>B<')
  })
  it('choruses on cue are open, with endings for all but the last and for the last', () => {
    const chart = writeMusicXml(thirdEndingForm(), { part: 'trumpet', folded: true })
    expect(measure(chart, 31)).toContain('<ending number="1,2" type="start">1. 2.</ending>')
    expect(measure(chart, 32)).toMatch(/>Open, on cue<[\s\S]*times="3"/)
    expect(measure(chart, 33)).toContain('<ending number="3" type="start">3.</ending>')
  })
  it('double bars where sections end, the final bar at the end', () => {
    expect(measure(xml, 12)).toContain('<bar-style>light-light</bar-style>')
    expect(measure(xml, 11)).not.toContain('barline')
    expect(measure(xml, 40)).toContain('<bar-style>light-heavy</bar-style>')
  })
  it('tempo, feel by its name, ritardando, fermata, dynamics', () => {
    expect(measure(xml, 1)).toMatch(/>Medium swing<[\s\S]*<per-minute>138<[\s\S]*<sound tempo="138"\/>/)
    expect(measure(xml, 39)).toContain('>rit.<')
    expect(measure(xml, 40)).toMatch(/<p\/>[\s\S]*<fermata type="upright"\/>/)
  })
  it('freely: its pushing and holding back is heard, not printed, and the time after it has its number', () => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1')).map((bar, index) => ({
      ...bar,
      ...(index < 2 ? { feel: 'rubato', tempoBpm: 54, tempoEndBpm: 60 } : {}),
      ...(index === 2 ? { feel: 'rubato', tempoBpm: 138 } : {}),
      ...(index > 2 ? { tempoBpm: 138 } : {}),
    }))
    const text = writeMusicXml(arrangementOf(bars))
    expect(measure(text, 1)).toMatch(/>Freely<[\s\S]*<sound tempo="54"/)
    for (const number of [1, 2, 3]) expect(measure(text, number)).not.toMatch(/accel|rit\.|per-minute/)
    expect(measure(text, 4)).toContain('<per-minute>138<')
  })
  it('a pickup is bar 0 and not counted', () => {
    const [first, ...rest] = passesOf(lanternTune(), 'chorus-1') as [ArrangedBar, ...ArrangedBar[]]
    const pickup: ArrangedBar = {
      ...first,
      lengthTicks: QUARTER,
      chords: first.chords.map((placed) => ({ ...placed, durationTicks: QUARTER })),
      melody: [{ startTick: 0, durationTicks: QUARTER, midi: 67, name: 'G4' }],
    }
    const text = writeMusicXml(arrangementOf(withSextet([pickup, first, ...rest])))
    expect(text).toContain('<measure number="0" implicit="yes">')
    expect(measure(text, 1)).toContain('<rehearsal')
  })
})

describe('[MX11] what a part prints', () => {
  it('comping is one slash a beat, whatever is played; drums and bass alike', () => {
    for (const part of ['piano', 'bass', 'drums']) {
      const text = measure(writeMusicXml(lanternArrangement(), { part }), 3)
      expect(text.match(/<notehead>slash<\/notehead>/g), part).toHaveLength(4)
      expect(text.match(/<note /g), part).toHaveLength(4)
    }
    expect(writeMusicXml(lanternArrangement(), { part: 'piano' })).toMatch(/<slash type="start"/)
  })
  it('long rests are counted in a part, broken at sections and before road signs; not in the score', () => {
    const counts = (text: string) => [...text.matchAll(/<multiple-rest>(\d+)</g)].map((found) => Number(found[1]))
    expect(counts(writeMusicXml(codaForm(), { part: 'alto', folded: true }))).toEqual([4, 8, 8, 8, 5, 2])
    expect(counts(writeMusicXml(codaForm()))).toEqual([])
  })
  it('written piano chords on two staves, split at middle C; drum strokes in two voices with their sounds', () => {
    const piano = measure(writeMusicXml(hardBars(), { part: 'piano' }), 1)
    expect(piano).toMatch(/<staves>2<\/staves>/)
    expect(piano).toMatch(/<octave>3<\/octave>[\s\S]*<staff>2<\/staff>/)
    const score = writeMusicXml(hardBars(), { part: 'drums' })
    expect(score).toMatch(/<midi-unpitched>37<\/midi-unpitched>/)
    expect(measure(score, 1)).toMatch(/<unpitched>[\s\S]*<notehead>x<\/notehead>/)
    expect(measure(score, 1)).toMatch(/<voice>2<\/voice>/)
  })
  it('words, graces, cues, slurs and articulations', () => {
    const lead = measure(writeMusicXml(hardBars(), { part: 'trumpet' }), 1)
    expect(lead).toMatch(/<grace slash="yes"\/>/)
    expect(lead).toMatch(/<syllabic>begin<\/syllabic>\s*<text>Lan<\/text>/)
    const tenor = measure(writeMusicXml(hardBars(), { part: 'tenor' }), 1)
    expect(tenor).toMatch(/<cue\/>/)
    expect(tenor).toMatch(/<slur type="start"[\s\S]*<strong-accent\/>[\s\S]*<slur type="stop"/)
  })
  it('chord symbols: the top staff of a score, every part that plays on them, no drums', () => {
    const score = writeMusicXml(lanternArrangement())
    expect(score.match(/<harmony/g)).toHaveLength(33)
    const count = (part: string) => writeMusicXml(lanternArrangement(), { part }).match(/<harmony/g)?.length ?? 0
    expect(['trumpet', 'alto', 'piano', 'bass', 'drums'].map(count)).toEqual([33, 0, 33, 33, 0])
  })
})

describe('[MX12] text', () => {
  it('the same arrangement gives the same text', () => {
    expect(writeMusicXml(soloForm(), { folded: true })).toBe(writeMusicXml(soloForm(), { folded: true }))
  })
  it('markup in names is escaped, characters XML cannot carry are spaces', () => {
    expect(escapeXml('<a> & "b"\u0000\uD800')).toBe('&lt;a&gt; &amp; &quot;b&quot;  ')
    expect(writeMusicXml(hardBars())).toContain('Hard &amp; &quot;quoted&quot; &lt;bars&gt;')
  })
  it('for an engraver: no hidden degrees, N.C. in words, both chords of a polychord in one text', () => {
    const text = writeMusicXml(hardBars(), { engraving: true })
    expect(text).not.toContain('<degree')
    expect(text).toContain('<words>N.C.</words>')
    expect(text).toContain('text=" over C7"')
  })
  it('an arrangement without parts shows its melody on the lead', () => {
    const bars = rows('1|Fmaj7|A4:2 F4:1 G4:1', { len: 4, key: 'F major' })
    const arrangement: Arrangement = arrangementOf(bars)
    expect(pitchesIn(writeMusicXml(arrangement, { part: 'trumpet' }))).toEqual(['B4', 'G4', 'A4'])
  })
})

describe('[MX13] plain names for what a lift spells beyond reading', () => {
  const bars = withSextet(
    passesOf(
      tuneOfRows('1 | Cbmaj7 | Gb4:4\n2 | E7 | Ebb5:3 Ebb5:1\n3 | Gb7 | Fb4:4', { len: 4, key: 'Gb major' }),
      'chorus-1',
    ),
  )
  const rootsAndNotes = (part: string): string => {
    const text = writeMusicXml(arrangementOf(bars), { part })
    const found = text.matchAll(/<(?:root-)?step>(\w)<\/(?:root-)?step>\s*(?:<(?:root-)?alter>(-?\d)<)?/g)
    return [...found]
      .map(([, step, alter]) => `${step}${{ '-2': 'bb', '-1': 'b', '1': '#' }[alter ?? ''] ?? ''}`)
      .join(' ')
  }
  it('E𝄫 over E7 reads E over G♭7 for a trumpet; F♭ over G♭7 is the seventh it is', () => {
    expect(rootsAndNotes('trumpet')).toBe('Db Ab Gb E E Ab Gb')
  })
})
