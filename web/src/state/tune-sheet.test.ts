import { mendTune, readTune, scheduleEvents, type Tune, writeMusicXml } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { heardTune, sheetOf } from './tune-sheet.js'

function tuneOf(body: string): Tune {
  const read = readTune('abc', `X:1\nT:t\nM:4/4\nL:1/4\nQ:1/4=60\nK:F\n${body}`)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
}

describe('[UI61] a tune as a sheet', () => {
  it('is one staff with every bar, note, chord symbol and tie of the tune', () => {
    const xml = writeMusicXml(sheetOf(tuneOf('C|"F"F2 A2-|"Gm7"A4|"N.C."z4|"F"F3|]')), { engraving: true })
    expect(xml.match(/<measure /g)).toHaveLength(5)
    expect(xml.match(/<harmony /g)).toHaveLength(3)
    expect(xml.match(/<pitch>/g)).toHaveLength(5)
    expect(xml).toContain('<tied type="start"/>')
    expect(xml.match(/<score-part /g)).toHaveLength(1)
  })
  it('has a bass clef where most of it lies low', () => {
    const clefOf = (body: string) => /<sign>(\w)<\/sign>/.exec(writeMusicXml(sheetOf(tuneOf(body)), {}))?.[1]
    expect(clefOf('"F"F4|c4|]')).toBe('G')
    expect(clefOf('"F"F,,4|C,4|F,,4|]')).toBe('F')
  })
})

describe('[UI64] a tune as it is heard while it is brought', () => {
  it('is its melody with the chords held under it, each as long as it stands', () => {
    const events = scheduleEvents(heardTune(tuneOf('"F"F2 "C7"G2|"N.C."A4|]'), { isMelodyOnly: false }))
    const melody = events.filter(({ partId }) => partId === 'lead')
    expect(melody.map(({ midi, startTick }) => [midi, startTick / 5040])).toEqual([
      [65, 0],
      [67, 2],
      [69, 4],
    ])
    const chords = events.filter(({ partId }) => partId === 'piano')
    expect([...new Set(chords.map(({ startTick }) => startTick / 5040))]).toEqual([0, 2])
    expect(chords.every(({ durationTicks }) => durationTicks === 2 * 5040)).toBe(true)
    const classes = (from: number) => [
      ...new Set(chords.filter(({ startTick }) => startTick === from).map(({ midi }) => midi % 12)),
    ]
    expect(classes(0).sort((a, b) => a - b)).toEqual([0, 5, 9])
    expect(classes(2 * 5040)).toEqual(expect.arrayContaining([4, 10]))
  })
  it('a line somebody listens for is heard alone, at the tempo of the file', () => {
    const events = scheduleEvents(heardTune(tuneOf('"F"F2 "C7"G2|]'), { isMelodyOnly: true }))
    expect(events.map(({ partId, midi, startMs }) => [partId, midi, Math.round(startMs / 100)])).toEqual([
      ['lead', 65, 0],
      ['lead', 67, 20],
    ])
  })
  it('in any metre it was put into', () => {
    const mended = mendTune(tuneOf('"F"F2 G2|"C7"A4|]'), {
      kind: 'bar-lines',
      metre: { beats: 3, beatType: 4 },
      pickupTicks: 0,
    })
    const events = mended.ok ? scheduleEvents(heardTune(mended.value, { isMelodyOnly: true })) : []
    expect(events.map(({ midi, durationTicks }) => [midi, durationTicks / 5040])).toEqual([
      [65, 2],
      [67, 2],
      [69, 4],
    ])
  })
})
