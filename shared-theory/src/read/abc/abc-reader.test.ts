import { FERRY_BELL } from '@chartloft/demo'
import { describe, expect, it } from 'vitest'
import type { Issue, Tune } from '../../contract/index.js'
import { readTune } from '../index.js'

const HEAD = 'X:1\nT:Test\nM:4/4\nL:1/4\nK:C\n'

/** Most snippets have no chords; that this is said ([RD16]) is tested by itself. */
function read(abc: string): { tune: Tune; issues: readonly Issue[] } {
  const result = readTune('abc', abc)
  if (!result.ok) throw new Error(result.issues.map((one) => one.message).join('\n'))
  return { tune: result.value, issues: (result.issues ?? []).filter((one) => one.code !== 'RD16') }
}
const played = (abc: string): string =>
  read(abc)
    .tune.bars.map((bar) => bar.melody.map((note) => note.name).join(' '))
    .join(' | ')
const codes = (abc: string): string[] => read(abc).issues.map((one) => one.code)

describe('head fields', () => {
  it('[RD20] title, composer, metre, tempo, key, rights', () => {
    const { tune } = read(
      '%%rights public-domain\nX:1\nT:First\nT:Second\nC:One\nC:Two\nM:6/8\nL:1/8\nQ:3/8=60\nK:D dor\nd3 e3|]\n',
    )
    expect(tune).toMatchObject({
      title: 'First',
      composer: 'One, Two',
      metre: { beats: 6, beatType: 8 },
      tempoBpm: 90,
      rights: 'public-domain',
      key: { key: 'D minor', mode: 'dorian', fifths: 0 },
    })
  })
  it('[RD20] K: modes, explicit accidentals and nothing at all', () => {
    const keyOf = (text: string) => read(`X:1\nT:t\nM:4/4\nL:1/4\nK:${text}\nc4|]\n`).tune.key
    expect(keyOf('G mix')).toEqual({ key: 'G major', mode: 'mixolydian', fifths: 0 })
    expect(keyOf('Ebm')).toEqual({ key: 'Eb minor', mode: 'minor', fifths: -6 })
    expect(keyOf('F# locrian')).toEqual({ key: 'F# minor', mode: 'locrian', fifths: 1 })
    expect(keyOf('')).toEqual({ key: 'C major', mode: 'major', fifths: 0 })
    expect(keyOf('Hp')).toEqual({ key: 'A major', mode: 'mixolydian', fifths: 2 })
    expect(keyOf('D exp _e ^f')).toMatchObject({ key: 'D major' })
  })
  it('[RD11] a key with eight sharps keeps its notes and says what is printed', () => {
    const { tune, issues } = read('X:1\nT:t\nM:4/4\nL:1/4\nK:G#\nf4|]\n')
    expect(tune.bars[0]?.melody[0]).toMatchObject({ name: 'F##5', midi: 79 })
    expect([tune.key.key, issues[0]?.code]).toEqual(['Ab major', 'RD11'])
  })
  it('[RD11] a tune in the minor under its relative major is said, and kept as written', () => {
    const { tune, issues } = read(FERRY_BELL.replace('K:Gm', 'K:Bb'))
    expect(tune.key.key).toBe('Bb major')
    expect(issues[0]?.message).toMatch(
      /^The file says Bb major, but the tune reads as G minor: the melody ends on G4, /,
    )
  })
  it('[RD20] tempo in the deprecated form counts unit notes', () => {
    expect(read('X:1\nT:t\nL:1/8\nQ:120\nM:4/4\nK:C\nc8|]\n').tune.tempoBpm).toBe(60)
    expect(read('X:1\nT:t\nL:1/8\nQ:"Slow" 1/4 1/8=40\nM:4/4\nK:C\nc8|]\n').tune.tempoBpm).toBe(60)
  })
})

describe('several tunes', () => {
  const two = 'X:3\nT:Three\nM:4/4\nL:1/4\nK:C\nc4|]\n\nX:8\nT:Eight\nM:4/4\nL:1/4\nK:G\ng4|]\n'
  it('[RD2] without a choice the first is read and said', () => {
    const { tune, issues } = read(two)
    expect([tune.title, issues[0]?.code]).toEqual(['Three', 'RD2'])
  })
  it('[RD2] by number, and a number that is not there', () => {
    const eight = readTune('abc', two, { tuneNumber: 8 })
    expect(eight.ok && eight.value.title).toBe('Eight')
    const none = readTune('abc', two, { tuneNumber: 5 })
    expect(none.ok ? '' : none.issues[0]?.message).toBe('Tune 5 is not in this file; it has 3, 8.')
  })
})

describe('notes', () => {
  it('[RD23] accidentals hold to the bar line in all octaves, or as the file asks', () => {
    expect(played(`${HEAD}^F f F, z | F4 |]`)).toBe('F#4 F#5 F#3 | F4')
    expect(played(`%%propagate-accidentals octave\n${HEAD}^F f F z | F4 |]`)).toBe('F#4 F5 F#4 | F4')
    expect(played(`%%propagate-accidentals not\n${HEAD}^F f F z | F4 |]`)).toBe('F#4 F5 F4 | F4')
  })
  it('[RD24] notes together give the top one, once said', () => {
    expect(played(`${HEAD}[CEG]2 [c2A2F2] | [D_B]4 |]`)).toBe('G4 C5 | Bb4')
    expect(codes(`${HEAD}[CEG]2 [cAF]2 | [DB]4 |]`)).toEqual(['RD9'])
  })
  it('[RD24] graces take no time and are kept; broken rhythm and tuplets fill their bars', () => {
    const { tune, issues } = read(`${HEAD}{ga}f2 c>d | (3efg (3:2:2c2d |]`)
    expect(issues).toEqual([])
    expect(tune.bars[0]?.melody.map((note) => note.durationTicks)).toEqual([10080, 7560, 2520])
    expect(tune.bars[0]?.melody[0]?.grace).toEqual(['G5', 'A5'])
    expect(tune.bars[1]?.melody.map((note) => [note.startTick, note.durationTicks])).toEqual([
      [0, 3360],
      [3360, 3360],
      [6720, 3360],
      [10080, 6720],
      [16800, 3360],
    ])
    expect(tune.bars[1]?.melody[0]?.tuplet).toEqual({ actual: 3, normal: 2 })
  })
  it('[RD7] a tie is kept where the same pitch follows, else named', () => {
    const { tune, issues } = read(`${HEAD}c4- | c2 d2- | e4 |]`)
    expect(tune.bars[0]?.melody[0]?.tiedToNext).toBe(true)
    expect(tune.bars[1]?.melody[1]?.tiedToNext).toBeUndefined()
    expect(issues).toMatchObject([
      { code: 'RD7', message: 'Bar 2 (line 6): the tie after D5 leads to no note of the same pitch and was left out.' },
    ])
  })
})

describe('chords', () => {
  it('[RD5] symbols are chords, annotations are not, nonsense is named with its place', () => {
    const { tune, issues } = read(`${HEAD}"Am7"c2 "^softly"d2 | "H13"e4 | "Dm7" "G7"f4 |]`)
    expect(
      tune.bars.map((bar) => bar.chords.map((one) => [one.startTick, one.durationTicks, one.chord.symbol])),
    ).toEqual([
      [[0, 20160, 'Am7']],
      [],
      [
        [0, 10080, 'Dm7'],
        [10080, 10080, 'G7'],
      ],
    ])
    expect(issues.map(({ code, path }) => [code, path])).toEqual([
      ['RD9', 'line/6/column/9'],
      ['RD5', 'line/6/column/23'],
    ])
    expect(issues[0]?.message).toContain("left out: 'softly' (line 6)")
    expect(issues[1]?.message).toContain("chord 'H13' could not be read")
  })
  it('[RD5] a bar of chords alone is silent; % plays the bar before again', () => {
    const { tune } = read(`${HEAD}"C" "G7" | "%"z4 | "%"z4 | "F"z4 |]`)
    expect(tune.bars.map((bar) => bar.chords.map((one) => one.chord.symbol))).toEqual([
      ['C', 'G7'],
      ['C', 'G7'],
      ['C', 'G7'],
      ['F'],
    ])
  })
  it('[RD5] an alternate chord in brackets gives way to the first', () => {
    const { tune, issues } = read(`${HEAD}"G(Em)"G4 |]`)
    expect([tune.bars[0]?.chords[0]?.chord.symbol, issues[0]?.code]).toEqual(['G', 'RD5'])
  })
})

describe('bars', () => {
  it('[RD6] pickup and closing bar', () => {
    const { tune, issues } = read(`${HEAD}G | c4 | d4 | e4 | c3 |]`)
    expect([tune.pickupTicks, tune.bars.map((bar) => bar.lengthTicks / 5040)]).toEqual([5040, [1, 4, 4, 4, 3]])
    expect(tune.sections[0]).toMatchObject({ startBar: 1, bars: 4 })
    expect(issues).toEqual([])
  })
  it('[RD6] bars are counted as musicians do: the pickup is none', () => {
    expect(read(`${HEAD}G | c4 | d3 | e4 | c4 |]`).issues[0]?.message).toMatch(/^Bar 2 \(line 6\): 3 beats/)
  })
  it('[RD6] at a repeat the closing bar and the pickup are one bar', () => {
    const { tune, issues } = read(`${HEAD}|: G | c4 | d4 | e4 | c3 :|\n|: e | g4 | f4 | e4 | c3 :|]`)
    expect(issues).toEqual([])
    expect(tune.bars.map((bar) => bar.lengthTicks / 5040)).toEqual([1, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 3])
    expect(tune.bars[4]?.melody.map((note) => note.name)).toEqual(['C5', 'G4'])
    expect(tune.bars[8]?.melody.map((note) => note.name)).toEqual(['C5', 'E5'])
  })
  it('[RD6] a bar too short is filled, one too long keeps all its notes; both are named', () => {
    const { tune, issues } = read(`${HEAD}c4 | c3 | c4 c/ | c4 |]`)
    expect(tune.bars.map((bar) => [bar.metre, bar.lengthTicks / 5040])).toEqual([
      [{ beats: 4, beatType: 4 }, 4],
      [{ beats: 4, beatType: 4 }, 4],
      [{ beats: 9, beatType: 8 }, 4.5],
      [{ beats: 4, beatType: 4 }, 4],
    ])
    expect(issues.map((one) => one.message)).toEqual([
      'Bar 2 (line 6): 3 beats in a bar of 4; the rest was filled with silence. Add the missing note or rest.',
      'Bar 3 (line 6): 4½ beats in a bar of 4; kept as a bar of 9/8. Shorten a note or put in the bar line.',
    ])
  })
  it('[RD6] forgotten bar lines are put in, notes over them tied', () => {
    const { tune, issues } = read(`${HEAD}c2 d3 e3 | "F"f4 |]`)
    expect(
      tune.bars.map((bar) =>
        bar.melody.map((note) => `${note.name}:${note.durationTicks / 5040}${note.tiedToNext ? '~' : ''}`).join(' '),
      ),
    ).toEqual(['C5:2 D5:2~', 'D5:1 E5:3', 'F5:4'])
    expect(issues[0]?.code).toBe('RD6')
  })
  it('[RD6] free metre: every bar is as long as what stands in it', () => {
    const { tune, issues } = read('X:1\nT:t\nM:none\nL:1/4\nK:C\nc3 | d5 | e/ f/ g/ |]')
    expect(tune.bars.map((bar) => bar.metre)).toEqual([
      { beats: 3, beatType: 4 },
      { beats: 5, beatType: 4 },
      { beats: 3, beatType: 8 },
    ])
    expect(issues.map(({ message }) => message)).toEqual([
      'The tune has no metre (M:), which is free time: every bar is read as long as what stands in it.',
    ])
  })
  it('[RD6] rests before the melody in a first full bar are a pickup where the form needs it', () => {
    const { tune } = read(`${HEAD}z3 G | "C"c4 | d4 | e4 | f4 |]`)
    expect([tune.pickupTicks, tune.bars[0]?.melody[0]?.startTick]).toEqual([5040, 0])
  })
})

describe('road map', () => {
  const bars = (body: string): string => played(`${HEAD}${body}`)
  it('[RD8] repeats, endings and written bars', () => {
    expect(bars('|: c4 | d4 |1 e4 :|2 f4 | g4 |]')).toBe('C5 | D5 | E5 | C5 | D5 | F5 | G5')
    expect(bars('|: c4 |1,3 d4 :|2 e4 :|4 f4 |]')).toBe('C5 | D5 | C5 | E5 | C5 | D5 | C5 | F5')
    expect(bars('|:: c4 ::| d4 |]')).toBe('C5 | C5 | C5 | D5')
    expect(read(`${HEAD}|: c4 :| d4 |]`).tune.bars.map((bar) => bar.writtenBar)).toEqual([0, 0, 1])
  })
  it('[RD8] D.C. al Fine, with the repeat not taken again', () => {
    expect(bars('|: c4 :| !fine! d4 | e4 !D.C.! |]')).toBe('C5 | C5 | D5 | E5 | C5 | D5')
  })
  it('[RD8] D.S. al Coda in signs and in words', () => {
    const want = 'C5 | D5 | E5 | F5 | D5 | E5 | G5'
    expect(bars('c4 | !segno! d4 | !dacoda! e4 | !D.S.! f4 | !coda! g4 |]')).toBe(want)
    expect(bars('c4 | !segno! d4 | "^To Coda" e4 | "^D.S. al Coda" f4 | "^Coda" g4 |]')).toBe(want)
    expect(bars('c4 | S d4 | O e4 | !D.S.! f4 | O g4 |]')).toBe(want)
  })
  it('[RD8] after a D.C. the last ending is played', () => {
    expect(bars('|: c4 |1 d4 :|2 e4 || f4 !D.C.! |]')).toBe('C5 | D5 | C5 | E5 | F5 | C5 | E5 | F5')
  })
  it('[RD8] D.S. without a segno is named', () => {
    expect(codes(`${HEAD}c4 | d4 !D.S.! |]`)).toEqual(['RD8'])
  })
  it('[RD8] the order of parts at the head is played out', () => {
    const parts = 'P:A\nc4 |\nP:B\nd4 |\nP:C\ne4 |]'
    const withOrder = (order: string): string => played(`X:1\nT:t\nP:${order}\nM:4/4\nL:1/4\nK:C\n${parts}`)
    expect(withOrder('AABA')).toBe('C5 | C5 | D5 | C5')
    expect(withOrder('A2(BC)2')).toBe('C5 | C5 | D5 | E5 | D5 | E5')
    expect(withOrder('ABC')).toBe('C5 | D5 | E5')
    const odd = read(`X:1\nT:t\nP:AXB\nM:4/4\nL:1/4\nK:C\n${parts}`)
    expect(odd.issues.map((one) => one.code)).toEqual(['RD8'])
    expect(odd.tune.bars).toHaveLength(3)
  })
})

describe('changes, words, voices', () => {
  it('[RD20] key, metre, length and part on lines and inline', () => {
    const { tune } = read(`${HEAD}c4 | [K:Eb] e4 |\nM:3/4\nL:1/8\ne6 | [M:2/4][L:1/4] B2 |]`)
    expect(tune.bars.map((bar) => [bar.metre.beats, bar.key.key, bar.melody[0]?.name])).toEqual([
      [4, 'C major', 'C5'],
      [4, 'Eb major', 'Eb5'],
      [3, 'Eb major', 'Eb5'],
      [2, 'Eb major', 'Bb4'],
    ])
  })
  it('[RD12] words lie under their notes; more of them than notes is said', () => {
    const { tune } = read(`${HEAD}c d e f | g4 |]\nw: low wa-ter * | past`)
    expect(tune.bars.map((bar) => bar.melody.map((note) => note.lyric))).toEqual([
      ['low', 'wa-', 'ter', undefined],
      ['past'],
    ])
    expect(codes(`${HEAD}c4 |]\nw: one two`)).toEqual(['RD12'])
  })
  it('[RD9] the first voice is read and the others are named', () => {
    const two = `X:1\nT:t\nM:4/4\nL:1/4\nV:T name="Top"\nV:B clef=bass\nK:C\n[V:T] c4 | d4 |]\n[V:B] C,4 | D,4 |]\n`
    expect(played(two)).toBe('C5 | D5')
    expect(read(two).issues).toMatchObject([
      { code: 'RD9', message: 'Line 9: voice B is not read; the melody is taken from voice T.' },
    ])
  })
  it('[RD20] octave and transposition of the staff give sounding pitch', () => {
    expect(played('X:1\nT:t\nM:4/4\nL:1/4\nK:C clef=treble-8\nc4|]')).toBe('C4')
    expect(played('X:1\nT:t\nM:4/4\nL:1/4\nK:C\nV:1 clef=treble-8 name="C+8"\nc4|[K:F]B4|]')).toBe('C4 | Bb3')
    expect(played('X:1\nT:t\nM:4/4\nL:1/4\nK:C octave=1\nc4|[K:C octave=0]c4|]')).toBe('C6 | C5')
    const horn = read('X:1\nT:t\nM:4/4\nL:1/4\nK:D transpose=-2\n"D7"d2 f2|]').tune
    expect([
      horn.key.key,
      horn.bars[0]?.melody.map((note) => note.name),
      horn.bars[0]?.chords[0]?.chord.symbol,
    ]).toEqual(['C major', ['C5', 'E5'], 'C7'])
  })
})

describe('what is not understood', () => {
  it('[RD4] a stray character is named by line and column', () => {
    const { issues } = read(`${HEAD}c2 ? d2 | e4 |]`)
    expect(issues).toMatchObject([{ code: 'RD4', path: 'line/6/column/4', severity: 'warning' }])
    expect(issues[0]?.message).toMatch(/^Line 6, column 4: '\?' is not understood/)
  })
  it('[RD3] page instructions, unknown fields and text after an empty line are named', () => {
    expect(codes(`%%pagewidth 10cm\nX:1\nT:t\nE:x\nM:4/4\nL:1/4\nK:C\nc4 |]\n\nd4 |]\n`)).toEqual(['RD3', 'RD3', 'RD3'])
  })
  it('[RD3] music before any K: is read in C and said', () => {
    const { tune, issues } = read('X:1\nT:t\nM:4/4\nL:1/4\nc4 | d4 |]\n')
    expect([tune.bars.length, issues[0]?.code]).toEqual([2, 'RD3'])
  })
  it('[RD1] no music at all is an error', () => {
    for (const abc of ['X:1\nT:t\nK:C\n', 'hello', 'X:1\n', 'X:1\nT:t\nK:C\nz4|z4|]\n']) {
      const result = readTune('abc', abc)
      expect(result.ok ? 'read' : result.issues[0]?.code).toBe('RD1')
    }
  })
})
