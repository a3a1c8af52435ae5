import { describe, expect, it } from 'vitest'
import type { ArrangedBar, Arrangement, PartNote } from '../../contract/index.js'
import { must } from '../../units/index.js'
import { arrangementOf, lanternArrangement, lanternTune, withSextet } from '../../../../tests/fixtures/lantern-band.js'
import { codaForm, endingsForm, soloForm } from '../../../../tests/fixtures/varied-chart.js'
import { passesOf } from '../../../../tests/fixtures/rows.js'
import { writeChart, writeMusicXml } from './index.js'

const measure = (xml: string, number: number): string =>
  must(xml.match(new RegExp(`<measure number="${number}"[\\s\\S]*?</measure>`))?.[0], `measure ${number}`)
/** Bars of each line, by the breaks in the text. */
const lines = (xml: string): readonly number[] =>
  xml.split('new-system="yes"').map((line, index, all) => {
    const count = (line.match(/<measure /g) ?? []).length
    // A break stands inside the bar it begins.
    return index < all.length - 1 ? count - 1 + (index > 0 ? 1 : 0) : count + 1
  })
const solo = (soloists: readonly string[], from: number, to: number): Arrangement => {
  const bars = withSextet(passesOf(lanternTune(), 'chorus-1')).map((bar, index): ArrangedBar => {
    if (index < from || index >= to) return bar
    return { ...bar, melody: [], parts: { ...bar.parts, trumpet: [] }, soloists }
  })
  return arrangementOf(bars)
}

describe('[MX10] marks of a chart as a list', () => {
  it('letters, names, signs and jumps stand at the bars whose directions a file has, and not in the text', () => {
    const { musicXml, marks } = writeChart(codaForm(), { part: 'trumpet', folded: true })
    expect(musicXml).not.toMatch(/<rehearsal|<segno|<coda|<words|<metronome/)
    const told = marks.filter(({ letter, jump, toCoda }) => letter !== undefined || jump !== undefined || toCoda)
    expect(
      told.map(({ number, letter, form, segno, coda, toCoda, jump }) =>
        [number, letter, form, segno && 'segno', coda && 'coda', toCoda && 'to', jump].filter(Boolean).join(' '),
      ),
    ).toEqual([
      '1 A Opening',
      '5 B A · Chorus 1 segno',
      '13 C A',
      '21 D B',
      '29 E A',
      '34 to',
      '36 D.S. al Coda',
      '37 F Coda · Ending coda',
    ])
    expect(marks[0]?.time).toEqual({
      feel: 'Medium swing',
      beat: { unit: 'quarter', isDotted: false, perMinute: 138 },
    })
    expect(marks.find(({ number }) => number === 39)?.time).toEqual({ ramp: 'rit.' })
  })
  it('every bar says which bars of the arrangement it plays', () => {
    const arrangement = codaForm()
    const { marks } = writeChart(arrangement, { part: 'trumpet', folded: true })
    const played = marks.flatMap(({ playings }) => playings).sort((a, b) => a - b)
    expect(played).toEqual(arrangement.bars.map(({ barIndex }) => barIndex))
    expect(marks.find(({ number }) => number === 5)?.playings).toEqual([4, 36])
  })
  it('a later ending of a bar or two stays on the line of the one before', () => {
    const xml = writeMusicXml(endingsForm(), { part: 'trumpet', folded: true })
    expect(measure(xml, 8)).toContain('<ending number="1"')
    expect(measure(xml, 9)).toContain('<ending number="2"')
    for (const number of [8, 9]) expect(measure(xml, number)).not.toContain('new-system')
    expect(measure(xml, 10)).toContain('new-system')
  })
})

describe('[MX14] bars to a line', () => {
  it('four, sections at line starts; on a small page as many as are asked for', () => {
    expect(lines(writeMusicXml(codaForm(), { part: 'piano', folded: true }))).toEqual(
      Array.from({ length: 10 }, () => 4),
    )
    const two = lines(writeChart(codaForm(), { part: 'piano', folded: true, barsALine: 2 }).musicXml)
    expect(two).toEqual(Array.from({ length: 20 }, () => 2))
  })
  it('a section’s fifth bar stays with its four', () => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1').slice(0, 13))
    const five = bars.map((bar, index) => ({ ...bar, sectionId: index < 5 ? 'A1' : 'A2' }))
    expect(lines(writeMusicXml(arrangementOf(five), { part: 'piano' }))).toEqual([5, 4, 4])
  })
  it('six bars at the end of a section are three and three, wherever it is', () => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1').slice(0, 24))
    const named = (sizes: readonly number[]) => {
      const ids = sizes.flatMap((size, at) => Array.from({ length: size }, () => `A${at + 1}`))
      return lines(
        writeMusicXml(
          arrangementOf(bars.slice(0, ids.length).map((bar, at) => ({ ...bar, sectionId: ids[at] ?? '' }))),
          { part: 'piano' },
        ),
      )
    }
    expect(named([6])).toEqual([3, 3])
    expect(named([4, 6, 7])).toEqual([4, 3, 3, 4, 3])
    expect(named([10, 8])).toEqual([4, 3, 3, 4, 4])
  })
  it('a section of one bar has the next one beside it', () => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1').slice(0, 13))
    const one = bars.map((bar, index) => ({ ...bar, sectionId: index < 4 ? 'A1' : index === 4 ? 'coda' : 'B1' }))
    expect(lines(writeMusicXml(arrangementOf(one), { part: 'piano' }))).toEqual([4, 5, 4])
  })
})

describe('[MX15] solos', () => {
  const xml = writeMusicXml(solo(['trumpet'], 16, 24), { part: 'trumpet' })
  it('a soloist reads slashes under the changes, told where the solo begins and ends', () => {
    expect(measure(xml, 17).match(/<notehead>slash</g)).toHaveLength(4)
    expect(measure(xml, 17)).toContain('<harmony')
    expect(measure(xml, 17)).toContain('>your solo<')
    expect(measure(xml, 18)).not.toContain('solo<')
    expect(measure(xml, 25)).toContain('>end solo<')
    expect(measure(xml, 25)).not.toContain('slash</notehead>')
  })
  it('where several may, it says so; who may not keeps its rests', () => {
    const open = solo(['trumpet', 'alto'], 16, 24)
    expect(measure(writeMusicXml(open, { part: 'alto' }), 17)).toMatch(/>solos open<[\s\S]*<harmony/)
    expect(measure(writeMusicXml(open, { part: 'tenor' }), 17)).not.toMatch(/slash<\/notehead>|<harmony/)
  })
  it('bars fold only where the same people may improvise', () => {
    const alike = soloForm()
    const one = alike.bars.map((bar, index) => (index === 70 ? { ...bar, soloists: ['trumpet'] } : bar))
    const length = (arrangement: Arrangement) => writeChart(arrangement, { folded: true }).marks.length
    expect(length({ ...alike, bars: one })).toBeGreaterThan(length(alike))
  })
})

describe('[MX16] a drummer’s chart', () => {
  const stroke = (midi: number, startTick: number): PartNote => ({
    startTick,
    durationTicks: 2520,
    midi,
    name: 'ride',
    velocity: 70,
    printed: 'slash',
  })
  const time = [0, 5040, 10080, 15120].map((tick) => stroke(51, tick))
  const fill = [0, 1260, 2520, 3780, 10080].map((tick) => stroke(45, tick))
  const drummed = (notes: (index: number) => readonly PartNote[]): string => {
    const bars = withSextet(passesOf(lanternTune(), 'chorus-1')).map((bar, index) => ({
      ...bar,
      parts: { ...bar.parts, drums: notes(index) },
    }))
    return writeMusicXml(arrangementOf(bars), { part: 'drums' })
  }
  it('the pattern once, then slashes; a fill is said; another pattern is written out at its section', () => {
    const brushes = time.map((note) => ({ ...note, midi: 40 }))
    const xml = drummed((index) => (index % 8 === 7 ? fill : index < 16 ? time : brushes))
    const isWritten = (number: number) => !measure(xml, number).includes('slash</notehead>')
    expect([1, 2, 8, 9, 16, 17, 18, 25].filter(isWritten)).toEqual([1, 17])
    expect([8, 16].every((number) => measure(xml, number).includes('>fill<'))).toBe(true)
    expect([1, 2, 9, 17].some((number) => measure(xml, number).includes('>fill<'))).toBe(false)
  })
  it('a pattern of two bars is written out whole', () => {
    const xml = drummed((index) => (index % 2 === 0 ? time : time.slice(1)))
    const isWritten = (number: number) => !measure(xml, number).includes('slash</notehead>')
    expect([1, 2, 3, 4].filter(isWritten)).toEqual([1, 2])
  })
  it('one fermata a staff', () => {
    const xml = writeMusicXml(codaForm(), { part: 'drums' })
    expect((xml.match(/<fermata/g) ?? []).length).toBe(1)
  })
})

describe('[MX17] rests of a chart', () => {
  it('a leader with nothing to play counts bars of rest, whatever the changes; a file keeps the changes', () => {
    const arrangement = lanternArrangement()
    const bars = arrangement.bars.map((bar, index) =>
      index < 8 ? { ...bar, melody: [], parts: { ...bar.parts, trumpet: [] } } : bar,
    )
    const chart = writeChart({ ...arrangement, bars }, { part: 'trumpet' })
    expect(chart.marks[0]?.restBars).toBe(8)
    expect(measure(chart.musicXml, 1)).not.toContain('<harmony')
    expect(measure(writeMusicXml({ ...arrangement, bars }, { part: 'trumpet' }), 1)).toContain('<harmony')
  })
})

describe('[MX16] what the horns strike behind a solo', () => {
  const horn = (startTick: number, midi: number): PartNote => ({
    startTick,
    durationTicks: 2520,
    midi,
    name: midi === 65 ? 'F4' : 'A4',
    velocity: 80,
    articulation: 'accent',
  })
  const bars = withSextet(passesOf(lanternTune(), 'chorus-1')).map((bar, index) => ({
    ...bar,
    ...(index >= 8 && index < 16 ? { soloists: ['trumpet'] } : {}),
    parts: {
      ...bar.parts,
      alto: index === 4 || index === 9 ? [horn(2520, 65), horn(7560, 65)] : [],
      tenor: index === 4 || index === 9 ? [horn(2520, 69)] : [],
    },
  }))
  const xml = writeMusicXml(arrangementOf(bars), { part: 'drums' })
  it('stands small above the slashes where they strike together, its silences unseen', () => {
    const cued = measure(xml, 10)
    expect(cued.match(/<cue\/>\s*<unpitched/g)).toHaveLength(1)
    expect(cued.match(/slash<\/notehead>/g)).toHaveLength(4)
    expect(cued).toMatch(/<note print-object="no">\s*<cue\/>\s*<rest/)
    expect(cued).toContain('<accent/>')
  })
  it('not outside solos, nor in bars without hits', () => {
    for (const number of [5, 9, 11]) expect(measure(xml, number)).not.toContain('<cue/>')
  })
})

describe('[MX17] the last hit', () => {
  it('is a slash of its length on a comping pianist’s chart, the chord itself in a file', () => {
    const arrangement = lanternArrangement()
    const bars = arrangement.bars.map((bar, index) => {
      if (index < arrangement.bars.length - 1) return bar
      const chord = [48, 52, 55].map((midi, at): PartNote => ({
        startTick: 0,
        durationTicks: bar.lengthTicks,
        midi,
        name: ['C3', 'E3', 'G3'][at] as string,
        velocity: 80,
      }))
      return { ...bar, parts: { ...bar.parts, piano: chord } }
    })
    const last = bars.length
    const chart = measure(writeChart({ ...arrangement, bars }, { part: 'piano' }).musicXml, last)
    expect(chart.match(/<note[ >]/g)).toHaveLength(1)
    expect(chart).toMatch(/<type>whole<\/type>\s*<notehead>slash</)
    const file = measure(writeMusicXml({ ...arrangement, bars }, { part: 'piano' }), last)
    expect(file.match(/<note[ >]/g)).toHaveLength(3)
  })
})
