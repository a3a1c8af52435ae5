/** What our own reader makes of what our writer wrote: the same metre, keys, chords, notes and ties, linear and folded, concert and transposed. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  type MelodyNote,
  type Tune,
  chord,
  compile,
  defaultPlan,
  readTune,
  sameChord,
  validate,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { lanternArrangement } from '../fixtures/lantern-band.js'
import { codaForm, everyDecision, hardBars, liftedForm, soloForm } from '../fixtures/varied-chart.js'

function compiled(index: number): Arrangement {
  const read = readTune('abc', DEMO_TUNES[index]!.abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return compile(defaultPlan(read.value)).arrangement
}

const CHARTS: { readonly [name: string]: () => Arrangement } = {
  'tune 1': lanternArrangement,
  'the coda form': codaForm,
  'the form with solos': soloForm,
  'bars of everything hard': hardBars,
  'every decision taken, in 7/4': everyDecision,
  'the coda form, lifted with a tie over the jump': liftedForm,
  ...Object.fromEntries(DEMO_TUNES.map(({ title }, index) => [`compiled: ${title}`, () => compiled(index)])),
}

interface Printed {
  readonly metres: readonly string[]
  readonly keys: readonly number[]
  readonly notes: readonly string[]
}

/** Tied notes joined, since where a long note is split is the engraver's affair. */
function printed(
  bars: readonly (Pick<ArrangedBar, 'metre' | 'key' | 'lengthTicks'> & { readonly melody: readonly MelodyNote[] })[],
): Printed {
  const notes: { start: number; end: number; name: string; tied: boolean }[] = []
  let barStart = 0
  for (const bar of bars) {
    for (const note of bar.melody) {
      const start = barStart + note.startTick
      const end = start + note.durationTicks
      const open = notes.findLast((other) => other.tied && other.end === start && other.name === note.name)
      const tied = note.tiedToNext === true
      if (open) Object.assign(open, { end, tied })
      else notes.push({ start, end, name: note.name, tied })
    }
    barStart += bar.lengthTicks
  }
  return {
    metres: bars.map(({ metre }) => `${metre.beats}/${metre.beatType}`),
    keys: bars.map(({ key }) => key.fifths),
    notes: notes.map(({ start, end, name, tied }) => `${start}–${end} ${name}${tied ? '~' : ''}`),
  }
}

const asLine = (arrangement: Arrangement, partId: string) =>
  arrangement.bars.map((bar) => ({
    ...bar,
    melody: (bar.parts[partId] ?? []).filter((note) => note.printed === undefined),
  }))

/** Chord by chord; a chord written again at a bar line that only goes on is no difference. */
function chordDifferences(arrangement: Arrangement, tune: Tune): readonly string[] {
  return arrangement.bars.flatMap((bar, index) => {
    const read = tune.bars[index]?.chords ?? []
    return bar.chords.flatMap((placed) => {
      const own = read.find(({ startTick }) => startTick === placed.startTick)
      const isSame =
        own && (sameChord(own.chord, placed.chord) || (own.chord.kind === 'none' && placed.chord.kind === 'none'))
      return isSame
        ? []
        : [`bar ${index + 1}: ${placed.chord.symbol} at ${placed.startTick} read as ${own?.chord.symbol ?? 'nothing'}`]
    })
  })
}

describe('[MX4] read back to identical printed content', () => {
  for (const [name, chart] of Object.entries(CHARTS)) {
    for (const folded of [false, true]) {
      for (const pitch of ['written', 'concert'] as const) {
        it(`${name}, ${folded ? 'folded' : 'linear'}, ${pitch}`, () => {
          const arrangement = chart()
          const lead = arrangement.lineup[0]!.id
          const read = readTune('musicxml', writeMusicXml(arrangement, { part: lead, folded, pitch }))
          if (!read.ok) throw new Error(read.issues.map(({ message }) => message).join('\n'))
          expect(printed(read.value.bars)).toEqual(printed(asLine(arrangement, lead)))
          expect(chordDifferences(arrangement, read.value)).toEqual([])
          expect(read.value.title).toBe(arrangement.title)
        })
      }
    }
  }
})

describe('[VA9] a written part against the arrangement', () => {
  const withAlto = (): Arrangement => {
    const arrangement = lanternArrangement()
    const note = { startTick: 0, durationTicks: 20160, midi: 65, name: 'F4', velocity: 70 }
    return {
      ...arrangement,
      bars: arrangement.bars.map((bar, index) =>
        index === 28 ? { ...bar, parts: { ...bar.parts, alto: [note] } } : bar,
      ),
    }
  }
  it('the part as written is clean', () => {
    const arrangement = withAlto()
    const written = Object.fromEntries(
      arrangement.lineup.map(({ id }) => [id, writeMusicXml(arrangement, { part: id })]),
    )
    expect(validate(arrangement, { written })).toEqual([])
  })
  it('worked example VA9: written C5 where F4 must sound', () => {
    const arrangement = withAlto()
    const alto = writeMusicXml(arrangement, { part: 'alto' }).replace(
      /<step>D<\/step>\s*<octave>5<\/octave>/,
      '<step>C</step><octave>5</octave>',
    )
    const found = validate(arrangement, { written: { alto } })
    expect(found.map(({ message }) => message)).toEqual([
      'Bar 29, alto sax: written C5 sounds E♭4, but F4 is meant; write D5.',
    ])
    expect(found[0]).toMatchObject({ code: 'VA9', severity: 'error', path: 'bars/28/parts/alto' })
  })
})

describe('[MX5] the harmony element', () => {
  it('C7sus is a suspended fourth with an added seventh; N.C. and polychords come back', () => {
    const arrangement = lanternArrangement()
    const symbols = ['C7sus', 'N.C.', 'D over C7', 'Gb7alt', 'Cm7b5', 'C6/9', 'F/A', 'C13#11']
    const bars = arrangement.bars.slice(0, symbols.length).map((bar, index) => ({
      ...bar,
      chords: [{ startTick: 0, durationTicks: bar.lengthTicks, chord: chord(symbols[index]!) }],
    }))
    const xml = writeMusicXml({ ...arrangement, bars }, { part: 'trumpet', pitch: 'concert' })
    expect(xml).toMatch(/<kind text="7sus">suspended-fourth<\/kind>\s*<degree print-object="no">\s*<degree-value>7</)
    const read = readTune('musicxml', xml)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    expect(read.value.bars.map(({ chords }) => chords[0]?.chord.symbol)).toEqual(
      bars.map(({ chords }) => chords[0]!.chord.symbol),
    )
  })
})
