/** Where programs and players would read a chart otherwise than it was meant: hands, pickups, endings, names made by a transposition. */
import { describe, expect, it } from 'vitest'
import type { ArrangedBar, Arrangement, PartNote, PartSpec } from '../../contract/index.js'
import { keySignatureOf, midiOfName } from '../../units/index.js'
import { chord } from '../../chords/index.js'
import { endingsForm } from '../../../../tests/fixtures/varied-chart.js'
import { writeMusicXml } from './index.js'

const QUARTER = 5040
const PIANO: PartSpec = { id: 'one', instrument: 'piano', name: 'Piano', role: 'lead' }
const TRUMPET: PartSpec = { id: 'one', instrument: 'trumpet', name: 'Trumpet', role: 'horn' }
const note = (name: string, start: number, length: number, voice?: number): PartNote => ({
  startTick: start * QUARTER,
  durationTicks: length * QUARTER,
  midi: midiOfName(name),
  name,
  velocity: 80,
  ...(voice ? { voice } : {}),
})
const bar = (barIndex: number, notes: readonly PartNote[], key = 'C major', quarters = 4): ArrangedBar => ({
  barIndex,
  sectionId: 'A1',
  pass: 'chorus-1',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  lengthTicks: quarters * QUARTER,
  key: keySignatureOf(key),
  tempoBpm: 120,
  feel: 'even',
  chords: [{ startTick: 0, durationTicks: quarters * QUARTER, chord: chord('C') }],
  melody: [],
  parts: { one: notes },
  provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
})
const written = (part: PartSpec, bars: readonly ArrangedBar[]): string =>
  writeMusicXml({ version: 1, title: 'T', lineup: [part], groove: 'as-written', bars } satisfies Arrangement, {
    part: 'one',
  })
/** 'C5 half s1' for every sounding note. */
const notesOf = (xml: string): readonly string[] =>
  [...xml.matchAll(/<note>([\s\S]*?)<\/note>/g)].flatMap(([, inner = '']) => {
    const [, step, alter, octave] = /<step>(.)<\/step>\s*(?:<alter>(-?\d)<\/alter>\s*)?<octave>(\d)</.exec(inner) ?? []
    const staff = /<staff>(\d)</.exec(inner)?.[1]
    return step ? [`${step}${alter ?? ''}${octave} ${/<type>(\w+)</.exec(inner)?.[1]}${staff ? ` s${staff}` : ''}`] : []
  })

describe('[MX11] two hands', () => {
  it('each on its staff with its own rhythm, however high the left or low the right', () => {
    const xml = written(PIANO, [
      bar(0, [note('E5', 0, 4), note('D4', 1, 1, 2), note('G2', 0, 1, 2), note('B3', 2, 2, 2)]),
    ])
    expect(notesOf(xml)).toEqual(['E5 whole s1', 'G2 quarter s2', 'D4 quarter s2', 'B3 half s2'])
  })
  it('a player who has one voice is parted at middle C', () => {
    expect(notesOf(written(PIANO, [bar(0, [note('E5', 0, 4), note('B3', 0, 4)])]))).toEqual([
      'E5 whole s1',
      'B3 whole s2',
    ])
  })
})

describe('[MX10] pickups and endings', () => {
  it('a silent pickup is a rest of its length, never a whole bar of rest', () => {
    const xml = written(TRUMPET, [bar(0, [], 'C major', 1), bar(1, [note('C5', 0, 4)])])
    const [pickup] = xml.split('</measure>')
    expect(pickup).toMatch(/<rest\/>\s*<duration>5040<\/duration>\s*<voice>1<\/voice>\s*<type>quarter</)
    expect(xml).not.toContain('measure="yes"')
  })
  it('no double bar before an ending, and the bar an ending stops in is never inside a counted rest', () => {
    const form = endingsForm()
    const silent = { ...form, lineup: [TRUMPET], bars: form.bars.map((one) => ({ ...one, parts: { one: [] } })) }
    const measures = writeMusicXml(silent, { part: 'one', folded: true }).split('<measure ').slice(1)
    const starts = measures.findIndex((one) => one.includes('type="start"'))
    expect(starts).toBeGreaterThan(0)
    expect(measures[starts - 1]).not.toContain('light-light')
    let covered = 0
    for (const one of measures) {
      const isInside = covered > 0
      covered = Math.max(covered - 1, Number(/<multiple-rest>(\d+)</.exec(one)?.[1] ?? 1) - 1)
      if (isInside) expect(one).not.toMatch(/<ending [^>]*type="(?:stop|discontinue)"/)
    }
  })
})

describe('[MX13] names made by a transposition', () => {
  it('what would become a double flat is printed plain', () => {
    // B major is written in D flat for a trumpet; C, C sharp and D there are E double flat, D sharp's twin and F flat.
    const xml = written(TRUMPET, [bar(0, [note('C5', 0, 1), note('D#5', 1, 1), note('B4', 2, 2)], 'B major')])
    expect(xml).toContain('<fifths>-5</fifths>')
    expect(notesOf(xml)).toEqual(['D5 quarter', 'F5 quarter', 'D-15 half'])
  })
  it('a chord root too: an alto reads A over B sharp, never G double sharp', () => {
    const alto: PartSpec = { id: 'one', instrument: 'alto-sax', name: 'Alto', role: 'lead' }
    const bars = [bar(0, [note('B4', 0, 4)], 'A major')].map((one) => ({
      ...one,
      chords: [{ startTick: 0, durationTicks: 4 * QUARTER, chord: chord('B#dim') }],
    }))
    const xml = written(alto, bars)
    expect(xml).toMatch(/<root-step>A<\/root-step>\s*<\/root>/)
  })
})
