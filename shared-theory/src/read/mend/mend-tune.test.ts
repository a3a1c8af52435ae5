import { describe, expect, it } from 'vitest'
import type { Tune } from '../../contract/index.js'
import { keySignatureOf } from '../../units/index.js'
import { mendTune, type TuneMend, readTune, twinBars, writeTuneFile } from '../index.js'

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
}
function put(tune: Tune, mend: TuneMend): Tune {
  const made = mendTune(tune, mend)
  if (!made.ok) throw new Error(made.issues[0]?.message)
  return made.value
}
function refused(tune: Tune, mend: TuneMend): string {
  const made = mendTune(tune, mend)
  return made.ok ? 'done' : (made.issues[0]?.message ?? '')
}
/** Every bar as it is written: notes with their quarters, ties and chords with their quarter. */
const bars = (tune: Tune): string[] =>
  tune.bars.map(
    ({ melody, chords }) =>
      melody
        .map(({ name, durationTicks, tiedToNext }) => `${name}/${durationTicks / 5040}${tiedToNext ? '~' : ''}`)
        .join(' ') +
      chords
        .map(({ startTick, chord, inferred }) => ` ${inferred ? '(' : ''}${chord.symbol}@${startTick / 5040}`)
        .join(''),
  )
const marks = (tune: Tune): string =>
  tune.sections.map(({ id, startBar, bars: count }) => `${id} ${startBar}+${count}`).join(', ')
/** What sounds, without bar lines: pitch and time from the first note on. */
function sounding(tune: Tune): string {
  let at = 0
  const heard: { midi: number; from: number; to: number; tied: boolean }[] = []
  for (const bar of tune.bars) {
    for (const note of bar.melody) {
      const from = at + note.startTick
      const last = heard.at(-1)
      if (last?.tied && last.midi === note.midi && last.to === from) last.to += note.durationTicks
      else heard.push({ midi: note.midi, from, to: from + note.durationTicks, tied: false })
      const now = heard.at(-1)
      if (now) now.tied = note.tiedToNext === true
    }
    at += bar.lengthTicks
  }
  const first = heard[0]?.from ?? 0
  return heard.map(({ midi, from, to }) => `${midi}:${from - first}-${to - first}`).join(' ')
}

const HEAD = 'X:1\nT:Slack Water\nM:4/4\nL:1/4\nK:F\n'
const PLAIN = tuneOf(`${HEAD}"F"F G A c|"Gm7"B2 "C7"G2|"F"A2 F2|"C7"G4|"F"F G A c|"Gm7"B2 "C7"G2|"F"A2 F2|"F"F4|]`)

describe('[RD40] title and tempo', () => {
  it('are set, and what is none is refused in words', () => {
    expect(put(PLAIN, { kind: 'title', title: '  Neap Tide ' }).title).toBe('Neap Tide')
    expect(refused(PLAIN, { kind: 'title', title: ' ' })).toBe('The tune needs a title.')
    expect(put(PLAIN, { kind: 'tempo', tempoBpm: 132 }).tempoBpm).toBe(132)
    expect(put(put(PLAIN, { kind: 'tempo', tempoBpm: 132 }), { kind: 'tempo' })).toEqual(PLAIN)
    expect(refused(PLAIN, { kind: 'tempo', tempoBpm: 9 })).toMatch(/between 20 and 400/)
    expect(refused(PLAIN, { kind: 'tempo', tempoBpm: Number.NaN })).toMatch(/between 20 and 400/)
  })
})

describe('[RD40] what was not sure', () => {
  it('is seen to one by one', () => {
    const bare = tuneOf(`${HEAD}"Zz"F3|G4|A4|F4|]`)
    const codes = bare.source.issues.map(({ code }) => code)
    expect(codes.length).toBeGreaterThan(1)
    const mended = put(bare, { kind: 'settle', issue: 0 })
    expect(mended.source.issues.map(({ code }) => code)).toEqual(codes.slice(1))
    expect(mended.bars).toEqual(bare.bars)
    expect(refused(bare, { kind: 'settle', issue: 99 })).toMatch(/seen to already/)
  })
})

describe('[RD41] another key', () => {
  it('changes signature and spelling, never what sounds', () => {
    // Eight bars of E♭ major written without a signature, as some programs export it.
    const bare = tuneOf('X:1\nT:t\nM:4/4\nL:1/4\nK:C\n"Cm7"_E F G _A|^D4|"Bb7"^A4|^F4|]')
    const mended = put(bare, { kind: 'key', tonic: 'Eb', mode: 'major' })
    expect(mended.key).toEqual(keySignatureOf('Eb major'))
    expect(mended.bars.every((bar) => bar.key.fifths === -3)).toBe(true)
    expect(mended.bars.map((bar) => bar.melody.map(({ name }) => name))).toEqual([
      ['Eb4', 'F4', 'G4', 'Ab4'],
      ['Eb4'],
      ['Bb4'],
      // No note of E♭: what was written stays.
      ['F#4'],
    ])
    expect(sounding(mended)).toBe(sounding(bare))
    expect(mended.bars.map((bar) => bar.chords.map(({ chord }) => chord.symbol))).toEqual(
      bare.bars.map((bar) => bar.chords.map(({ chord }) => chord.symbol)),
    )
  })
  it('stops where the tune itself changes key', () => {
    const two = tuneOf(`${HEAD}F4|G4|\nK:Bb\nB4|c4|]`)
    const mended = put(two, { kind: 'key', tonic: 'D', mode: 'dorian' })
    expect(mended.bars.map(({ key }) => `${key.key} ${key.mode} ${key.fifths}`)).toEqual([
      'D minor dorian 0',
      'D minor dorian 0',
      'Bb major major -2',
      'Bb major major -2',
    ])
  })
  it('proposes chords anew where all were proposed', () => {
    const bare = tuneOf('X:1\nT:t\nM:4/4\nL:1/4\nK:C\nA B c e|d2 B2|A4|E4|A B c e|d2 B2|A4|A4|]')
    const mended = put(bare, { kind: 'key', tonic: 'A', mode: 'minor' })
    expect(mended.bars.at(-1)?.chords.at(-1)).toMatchObject({ chord: { symbol: 'Am' }, inferred: true })
  })
  it('refuses a signature nobody has', () => {
    expect(refused(PLAIN, { kind: 'key', tonic: 'G#', mode: 'major' })).toMatch(/No key signature has G# major/)
    expect(refused(PLAIN, { kind: 'key', tonic: 'H', mode: 'major' })).toMatch(/No key signature/)
  })
})

describe('[RD42] other bar lines', () => {
  it('a pickup: the bar lines move, notes across them are tied, chords stay where they sound', () => {
    const mended = put(PLAIN, { kind: 'bar-lines', metre: { beats: 4, beatType: 4 }, pickupTicks: 5040 })
    expect(mended.pickupTicks).toBe(5040)
    expect(bars(mended).slice(0, 4)).toEqual([
      'F4/1 F@0',
      'G4/1 A4/1 C5/1 Bb4/1~ Gm7@3',
      'Bb4/1 G4/2 A4/1~ C7@1 F@3',
      'A4/1 F4/2 G4/1~ C7@3',
    ])
    // The closing bar completes the pickup.
    expect(mended.bars.at(-1)?.lengthTicks).toBe(3 * 5040)
    expect(sounding(mended)).toBe(sounding(PLAIN))
  })
  it('and back again gives the tune as it was', () => {
    const there = put(PLAIN, { kind: 'bar-lines', metre: { beats: 3, beatType: 4 }, pickupTicks: 2 * 5040 })
    const back = put(there, { kind: 'bar-lines', metre: { beats: 4, beatType: 4 }, pickupTicks: 0 })
    // An F said again only because a bar line stood there went on the way.
    expect(bars(back)).toEqual([...bars(PLAIN).slice(0, 7), 'F4/4'])
    expect(back.bars.every(({ lengthTicks }) => lengthTicks === 4 * 5040)).toBe(true)
  })
  it('silence before the first note makes way for the pickup', () => {
    const late = tuneOf(`${HEAD}z3 C|"F"F2 A2|"C7"G2 E2|"F"F4|]`)
    expect(late.pickupTicks).toBe(0)
    const mended = put(late, { kind: 'bar-lines', metre: { beats: 4, beatType: 4 }, pickupTicks: 5040 })
    expect(bars(mended)).toEqual(['C4/1', 'F4/2 A4/2 F@0', 'G4/2 E4/2 C7@0', 'F4/4 F@0'])
    expect(mended.bars.map(({ lengthTicks }) => lengthTicks / 5040)).toEqual([1, 4, 4, 4])
  })
  it('another metre takes sections and doubts along to the nearest bar', () => {
    const mended = put(tuneOf(`X:1\nT:t\nM:6/4\nL:1/4\nK:F\nP:A\nF G A c B A|G E C F3|\nP:B\nA B c d c B|A G F F3|]`), {
      kind: 'bar-lines',
      metre: { beats: 3, beatType: 4 },
      pickupTicks: 0,
    })
    expect(mended.bars).toHaveLength(8)
    expect(marks(mended)).toBe('A1 0+4, B1 4+4')
  })
  it('keeps triplets as they are', () => {
    const tune = tuneOf(`${HEAD}(3F/G/A/ c2 B|A4|]`)
    const mended = put(tune, { kind: 'bar-lines', metre: { beats: 2, beatType: 4 }, pickupTicks: 0 })
    expect(mended.bars[0]?.melody.slice(0, 3).map(({ tuplet }) => tuplet)).toEqual(
      Array.from({ length: 3 }, () => ({ actual: 3, normal: 2 })),
    )
    expect(sounding(mended)).toBe(sounding(tune))
  })
  it('refuses what is no metre or no pickup', () => {
    expect(refused(PLAIN, { kind: 'bar-lines', metre: { beats: 0, beatType: 4 }, pickupTicks: 0 })).toMatch(
      /1 to 64 beats/,
    )
    expect(refused(PLAIN, { kind: 'bar-lines', metre: { beats: 2, beatType: 4 }, pickupTicks: 10080 })).toMatch(
      /shorter than a bar/,
    )
  })
  it('never changes what sounds and always gives a whole tune, in any metre with any pickup', () => {
    const tunes = [
      PLAIN,
      tuneOf(`${HEAD}C|"F"F3/2G/A2|"Bb"B4-|B3 "C7"c|"F"A3|]`),
      tuneOf('X:1\nL:1/8\nM:6/8\nK:G\n"G"GAB d2e|"C"edc "D7"B2A|"G"G6|]'),
    ]
    for (const tune of tunes)
      for (const [beats, beatType] of [
        [2, 4],
        [3, 4],
        [4, 4],
        [5, 4],
        [6, 8],
        [7, 8],
        [12, 8],
      ] as const)
        for (let pickupTicks = 0; pickupTicks < (beats * 20160) / beatType; pickupTicks += 2520) {
          const mended = put(tune, { kind: 'bar-lines', metre: { beats, beatType }, pickupTicks })
          const read = readTune('tune', writeTuneFile(mended))
          expect(read.ok ? 'whole' : read.issues[0]?.message, `${beats}/${beatType} ${pickupTicks}`).toBe('whole')
          expect(sounding(mended)).toBe(sounding(tune))
        }
  })
})

describe('[RD43] section marks', () => {
  it('are added, renamed, moved and taken away; ids follow', () => {
    let tune = put(PLAIN, { kind: 'section', bar: 0, name: 'Verse' })
    tune = put(tune, { kind: 'section', bar: 4, name: 'b' })
    expect(marks(tune)).toBe('verse 0+4, B1 4+4')
    expect(tune.sections[0]?.role).toBe('verse')
    tune = put(tune, { kind: 'move-section', from: 4, to: 6 })
    expect(marks(tune)).toBe('verse 0+6, B1 6+2')
    tune = put(tune, { kind: 'section', bar: 6, name: 'Coda' })
    expect(tune.sections[1]).toMatchObject({ letter: 'Coda', role: 'coda' })
    expect(marks(put(tune, { kind: 'remove-section', bar: 0 }))).toBe('coda 0+8')
    expect(marks(put(tune, { kind: 'find-form' }))).toBe(
      marks(tuneOf(`${HEAD}"F"F G A c|"Gm7"B2 "C7"G2|"F"A2 F2|"C7"G4|"F"F G A c|"Gm7"B2 "C7"G2|"F"A2 F2|"F"F4|]`)),
    )
  })
  it('are what somebody calls them: running letters stay running', () => {
    let tune = put(PLAIN, { kind: 'section', bar: 0, name: 'A' })
    for (const [bar, name] of [
      [2, 'B'],
      [4, 'C'],
      [6, 'D'],
    ] as const)
      tune = put(tune, { kind: 'section', bar, name })
    expect(tune.sections.map(({ letter }) => letter).join('')).toBe('ABCD')
  })
  it('refuse what leaves no form', () => {
    const one = put(PLAIN, { kind: 'section', bar: 0, name: 'A' })
    const first = { ...one, sections: one.sections.slice(0, 1).map((section) => ({ ...section, bars: 8 })) }
    expect(refused(first, { kind: 'remove-section', bar: 0 })).toMatch(/one section at least/)
    expect(refused(PLAIN, { kind: 'section', bar: 99, name: 'A' })).toMatch(/full bar/)
    expect(refused(PLAIN, { kind: 'section', bar: 2, name: '  ' })).toMatch(/needs a name/)
    expect(refused(PLAIN, { kind: 'move-section', from: 0, to: 3 })).toMatch(/begins with the tune/)
    expect(refused(PLAIN, { kind: 'move-section', from: 3, to: 5 })).toMatch(/No section begins/)
  })
})

describe('[RD44] chords', () => {
  it('are written, replaced and taken away, and tile their bar', () => {
    let tune = put(PLAIN, { kind: 'chord', bars: [0], startTick: 10080, symbol: 'D-7' })
    expect(
      tune.bars[0]?.chords.map(({ startTick, durationTicks, chord }) => [startTick, durationTicks, chord.symbol]),
    ).toEqual([
      [0, 10080, 'F'],
      [10080, 10080, 'Dm7'],
    ])
    tune = put(tune, { kind: 'chord', bars: [0], startTick: 0, symbol: '' })
    expect(bars(tune)[0]).toMatch(/ Dm7@2$/)
  })
  it('name what cannot be read, and change nothing', () => {
    expect(refused(PLAIN, { kind: 'chord', bars: [0], startTick: 0, symbol: 'Xq' })).toMatch(/Xq/)
    expect(refused(PLAIN, { kind: 'chord', bars: [0], startTick: 0, symbol: '%' })).toMatch(/Leave the bar empty/)
    expect(refused(PLAIN, { kind: 'chord', bars: [0], startTick: 99999, symbol: 'C' })).toMatch(/no such place/)
  })
  it('proposed ones are confirmed bar by bar or all; then nobody is asked to check them', () => {
    const bare = tuneOf(`${HEAD}F G A c|B2 G2|A2 F2|F4|]`)
    expect(bare.source.issues.some(({ code }) => code === 'RD16')).toBe(true)
    const first = put(bare, { kind: 'confirm', bars: [0] })
    expect(first.bars.map(({ chords }) => chords.some(({ inferred }) => inferred))).toEqual([false, true, true, true])
    const all = put(first, { kind: 'confirm' })
    expect(all.bars.some(({ chords }) => chords.some(({ inferred }) => inferred))).toBe(false)
    expect(all.source.issues.some(({ code }) => code === 'RD16')).toBe(false)
    // What somebody writes is not proposed.
    expect(
      put(bare, { kind: 'chord', bars: [1], startTick: 0, symbol: 'Gm7' }).bars[1]?.chords[0]?.inferred,
    ).toBeUndefined()
  })
  it('the same bar played again is found by its music and place', () => {
    const twice = tuneOf(`${HEAD}P:A\n"F"F4|"C7"G4|\nP:B\n"Bb"B4|"F"A4|\nP:A\n"F"F4|"C7"G2E2|]`)
    expect(twinBars(twice, 0)).toEqual([4])
    expect(twinBars(twice, 1)).toEqual([])
    expect(twinBars(twice, 2)).toEqual([])
  })
})

describe('[RD48] the notes of a bar', () => {
  const tune = tuneOf(
    'X:1\nM:4/4\nL:1/4\nK:G\nP:A\n"G"G A B c|"D"d2 F2-|F4|G4|P:A\nG A B c|d4|d4|G4|]\nw: one two three four\n',
  )
  it('are written anew, in the key of the bar; chords stay, words stay under what begins where it did', () => {
    const made = put(tune, { kind: 'notes', bars: [0, 4], text: 'G F z2 (3BcB c2 |' })
    expect(bars(made).slice(0, 1)).toEqual([
      'G4/0.5 F#4/0.5 B4/0.3333333333333333 C5/0.3333333333333333 B4/0.3333333333333333 C5/1 G@0',
    ])
    expect(made.bars[4]?.melody.map(({ name }) => name)).toEqual(['G4', 'F#4', 'B4', 'C5', 'B4', 'C5'])
  })
  it('an empty bar is a silent one', () => {
    expect(put(tune, { kind: 'notes', bars: [3], text: '  ' }).bars[3]?.melody).toEqual([])
  })
  it('a tie into another note goes, one that still meets stays', () => {
    const met = put(tune, { kind: 'notes', bars: [1], text: 'd2 e2 F4-' })
    expect(met.bars[1]?.melody.at(-1)?.tiedToNext).toBe(true)
    expect(put(tune, { kind: 'notes', bars: [2], text: 'E8' }).bars[1]?.melody.at(-1)?.tiedToNext).toBeUndefined()
  })
  it.each([
    ['G2 A2 B2', 'These notes last 3 beats; the bar has 4. Write z where it is silent.'],
    ['G2 A2 B2 c4', 'These notes last 5 beats; the bar has 4. Make some shorter.'],
    ['G4 | A4', "Sign 4: '|' is a bar line; these are the notes of one bar."],
    ['"Em7"G8', `Sign 1: '"Em7"' is no note; chords are written in the fields of their beats.`],
    ['G4 H4', "Sign 4: 'H' is no note. Letters C to B and c to b are notes, z is a rest."],
    ['[GB]8', "Sign 1: '[GB]' is several notes at once; a melody has one."],
    [
      'G4 A4-',
      'The tie after A4 leads to no A4 at the beginning of the next bar; take the - out, or write that bar first.',
    ],
    ["c'''''''8", 'The note is beyond any instrument and was read as a rest; check its octave marks.'],
  ])('%s is refused', (text, why) => {
    expect(refused(tune, { kind: 'notes', bars: [0], text })).toBe(why)
  })
  it('a bar that is not there, or another length than the one meant, is refused', () => {
    expect(refused(tune, { kind: 'notes', bars: [99], text: 'G8' })).toBe('There is no such bar in the tune.')
    expect(refused(tune, { kind: 'notes', bars: [], text: 'G8' })).toBe('There is no such bar in the tune.')
  })
})
