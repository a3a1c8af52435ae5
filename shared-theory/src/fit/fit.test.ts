import { describe, expect, it } from 'vitest'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../tests/fixtures/worked-rows.js'
import { chord } from '../chords/index.js'
import type { ArrangedBar } from '../contract/index.js'
import { keySignatureOf, must, noteOfFifths, pitchClass } from '../units/index.js'
import { type Fit, fitOf, judgeMelody, nameForMelody, qualitiesFor } from './index.js'

/** Notes above C by semitones. */
const ABOVE_C = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const SIGNS = { ok: '.', soft: 's', hard: 'X' } satisfies Record<Fit, string>
const row = (symbol: string): string => ABOVE_C.map((note) => SIGNS[fitOf(chord(symbol), note)]).join('')

const oneBar = (text: string, len = 4): ArrangedBar => must(rows(`1 | ${text}`, { len, key: 'F major' })[0], 'a bar')
/** Findings as 'hard A4/Gbmaj7 minor third'. */
const judged = (text: string, len = 4): readonly string[] => {
  const bar = oneBar(text, len)
  return judgeMelody(bar).map(
    ({ fit, noteIndex, chordIndex, degree }) =>
      `${fit} ${bar.melody[noteIndex]?.name}/${bar.chords[chordIndex]?.chord.symbol} ${degree}`,
  )
}
const named = (symbol: string, ...notes: string[]): string => nameForMelody(chord(symbol), notes).symbol
const notes = (text: string) => oneBar(`F | ${text}`).melody

describe('the table', () => {
  // Worked examples, head: by quality, 1 ♭9 9 ♭3 3 11 ♯11 5 ♭13 13 ♭7 7.
  it('[FI1] every quality against the twelve notes', () => {
    expect(['Cmaj7', 'C6', 'C'].map(row)).toEqual(['.X.X.X..X.X.', '.X.X.X..X.X.', '.X.X.X..X.X.'])
    expect(['Cm7', 'Cm'].map(row)).toEqual(['.X..X.X.Xs.X', '.X..X.X.Xs.X'])
    expect(['Cm6', 'Cmmaj7'].map(row)).toEqual(['.X..X.X.X.X.', '.X..X.X.X.X.'])
    expect(['C7', 'C13', 'C7alt', 'C7b9'].map(row)).toEqual(Array.from({ length: 4 }, () => '.....s.....X'))
    expect(row('C7sus')).toBe('.s.XX.X.s..X')
    expect(row('Cm7b5')).toBe('.ss.X..X.X.X')
    expect(row('Cdim7')).toBe('.X..X..X..X.')
  })
  it('[FI1] its own notes and its bass always fit; N.C. accepts anything', () => {
    expect(fitOf(chord('Cmaj7#5'), 'G#')).toBe('ok')
    expect(fitOf(chord('C/Bb'), 'Bb')).toBe('ok')
    expect(fitOf(chord('C7sus4(b9)'), 'Db')).toBe('ok')
    expect(ABOVE_C.every((note) => fitOf(chord('N.C.'), note) === 'ok')).toBe(true)
    expect(fitOf(chord('C5'), 'E')).toBe('ok')
    expect(fitOf(chord('C5'), 'Ab')).toBe('hard')
  })
  it('[FI9] seven major-seventh chords under a held tonic', () => {
    const roots = ['F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B', 'C', 'Db', 'D', 'Eb', 'E']
    const carry = roots.filter((root) => fitOf(chord(`${root}maj7`), 'F') === 'ok')
    expect(carry).toEqual(['F', 'Gb', 'Ab', 'Bb', 'B', 'Db', 'Eb'])
  })
})

describe('melody over a bar', () => {
  it('[FI2] every note counts, against every chord it sounds over', () => {
    expect(judged('Gbmaj7 | A4:2 G4:1 E4:1')).toEqual([
      'hard A4/Gbmaj7 minor third',
      'hard G4/Gbmaj7 ♭9',
      'hard E4/Gbmaj7 ♭7',
    ])
    expect(judged('Fmaj7 Gb7 | F4:4')).toEqual(['hard F4/Gb7 major seventh'])
    expect(judged('Am7 D7 | C5:3 G4:1')).toEqual(['soft G4/D7 11'])
  })
  it('[FI2] a passing note is no finding', () => {
    expect(judged('Fmaj7 | A4:2 Bb4:.5 C5:1.5')).toEqual(['hard Bb4/Fmaj7 11'])
    expect(judged('Fmaj7 | A4:1.5 Bb4:.5 C5:2')).toEqual([])
    expect(judged('Fmaj7 | G4:1.5 Bb4:.5 C5:2')).toEqual(['hard Bb4/Fmaj7 11'])
    expect(judged('Fmaj7 | A4:1.5 Bb4:.5 F4:2')).toEqual(['hard Bb4/Fmaj7 11'])
    expect(judged('Fmaj7 | A4:1 Bb4:1 C5:2')).toEqual(['hard Bb4/Fmaj7 11'])
    expect(judged('Fmaj7 | A4:1.5 Bb4:.5 r:1 C5:1')).toEqual([])
    expect(judged('Fmaj7 | A4:1 Bb4:.5~ Bb4:.5 C5:2')).toEqual(['hard Bb4/Fmaj7 11', 'hard Bb4/Fmaj7 11'])
  })
  it('[FI2] notes outside the bar lead in and out', () => {
    const bar = oneBar('Fmaj7 | C5:3.5 Bb4:.5')
    expect(judgeMelody(bar)).toHaveLength(1)
    expect(judgeMelody(bar, { after: 69 })).toHaveLength(0)
    expect(judgeMelody(bar, { after: 65 })).toHaveLength(1)
  })
})

describe('names', () => {
  it('[FI3] a dominant owns its altered tensions', () => {
    expect(named('A7', 'F', 'G')).toBe('A7b13')
    expect(named('Gb7', 'A', 'G', 'E')).toBe('Gb7alt')
    expect(named('Eb7', 'A', 'G', 'E')).toBe('Eb7b9#11')
    expect(named('Db7', 'G', 'E')).toBe('Db7#9#11')
    expect(named('Db7', 'A', 'G', 'E')).toBe('Db7alt')
    expect(named('G7', 'F', 'D')).toBe('G7')
    expect(named('Ab7', 'F')).toBe('Ab7')
    expect(named('Bbmaj7', 'E')).toBe('Bbmaj7#11')
    expect(named('A7/E', 'F')).toBe('A7b13/E')
    expect(named('Gm7', 'Bb')).toBe('Gm7')
    expect(named('D7b9', 'Eb', 'C')).toBe('D7b9')
  })
})

describe('qualities on a root', () => {
  const key = keySignatureOf('F major')
  it('[FI4] only what no note forbids, cheapest first', () => {
    const over = qualitiesFor('Eb', notes('C5:3 G4:1'), { key, next: 'Ab' })
    expect(over[0]?.chord.symbol).toBe('Eb13')
    expect(over[0]?.why).toBe('C is 13, G is 3; the root falls a fifth to A♭, so a dominant')
    expect(over.map(({ cost }) => cost)).toEqual(over.map(({ cost }) => cost).toSorted((a, b) => a - b))
    for (const { chord: each } of over) expect(['C', 'G'].every((note) => fitOf(each, note) !== 'hard')).toBe(true)
  })
  it('[FI8] a held tonic takes the sixth', () => {
    expect(qualitiesFor('F', notes('F4:4'), { key })[0]?.chord.symbol).toBe('F6')
    expect(qualitiesFor('F', notes('A4:4'), { key })[0]?.chord.symbol).toBe('Fmaj7')
  })
  it('[FI4] some quality carries any single note on any root', () => {
    for (let root = -6; root <= 6; root++) {
      for (const name of ['F4', 'F#4', 'G4', 'Ab4', 'A4', 'Bb4', 'B4', 'C5', 'Db5', 'D5', 'Eb5', 'E5']) {
        const rootName = noteOfFifths(root)
        const found = qualitiesFor(rootName, notes(`${name}:4`), { key })
        expect(found.length, `${name} over ${rootName}`).toBeGreaterThan(0)
        expect(pitchClass(found[0]?.chord.root ?? '')).toBe(pitchClass(rootName))
      }
    }
  })
})

describe('findings the worked examples name', () => {
  const tune = passesOf(lanternSlip(), 'chorus-1')
  /** Findings of tune 1's bar under other chords: 'hard D5/Bbm7'. */
  const under = (row: string): readonly string[] => {
    const bar = must(rows(row, { len: 4, key: 'F major', melodyOf: tune })[0], 'a bar')
    return judgeMelody(bar).map(
      ({ fit, noteIndex, chordIndex }) =>
        `${fit} ${bar.melody[noteIndex]?.name}/${bar.chords[chordIndex]?.chord.symbol}`,
    )
  }
  it('[FI2] the tunes as written have none', () => {
    for (const make of [lanternSlip, ferryBell, slackTide]) {
      for (const bar of passesOf(make(), 'chorus-1')) expect(judgeMelody(bar), `bar ${bar.barIndex + 1}`).toEqual([])
    }
  })
  it('[FI1] refused in section 4', () => {
    expect(under('29 | Bbm7 | =')).toEqual(['hard D5/Bbm7'])
    expect(under('30 | Bbm7 | =')).toContain('hard A4/Bbm7')
    expect(under('26 | F#dim7 | =')).toEqual(['hard G4/F#dim7'])
    expect(under('25 | Fmaj7 C#dim7 | =')).toContain('hard F4/C#dim7')
    expect(under('27 | Gm7b5 | =')).toContain('hard D5/Gm7b5')
    expect(under('30 | Gbmaj7 | =')).toHaveLength(3)
    expect(under('30 | Dbmaj7 | =')).toEqual(['hard A4/Dbmaj7', 'hard E4/Dbmaj7'])
    expect(under('28 | D7 | =')).toEqual(['soft G4/D7'])
    expect(under('28 | D7sus | =')).toEqual([])
  })
  it('[FI1] refused and soft in section 5, over the first half of bar 16', () => {
    for (const symbol of ['Gb7sus', 'Gb7', 'Dbm7', 'Em7', 'D7sus', 'Am7']) {
      expect(under(`16 | ${symbol} | =`), symbol).toEqual([`hard F4/${chord(symbol).symbol}`])
    }
    for (const symbol of ['C7', 'A7sus', 'E7sus']) {
      expect(under(`16 | ${symbol} | =`), symbol).toEqual([`soft F4/${chord(symbol).symbol}`])
    }
  })
})
