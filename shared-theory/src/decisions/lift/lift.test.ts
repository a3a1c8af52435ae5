import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { passesOf, rowDifferences } from '../../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../../tests/fixtures/worked-rows.js'
import { liftRecipes } from './index.js'

const tune = lanternSlip()
const bars = passesOf(tune, 'chorus-1', 'chorus-last')
const lastB = new Trial(liftRecipes, tune, bars, { passId: 'chorus-last', sectionId: 'B1' })
const lastA = new Trial(liftRecipes, tune, bars, { passId: 'chorus-last', sectionId: 'A3' })

/** What goes wrong with one preparing bar: its row, and that nothing before it has changed. */
function preparing(trial: Trial, id: string, semitones: number, row: string, aim = 'arrival'): readonly string[] {
  const { bars: made, issues } = trial.apply(id, { semitones, preparation: id, aim })
  const number = Number(row.split('|')[0])
  const index = 32 + number - 1
  const differences = rowDifferences(made.slice(32), row, { len: 4 })
  const untouched = JSON.stringify(made.slice(0, index)) === JSON.stringify(bars.slice(0, index))
  const melody = JSON.stringify(made[index]?.melody) === JSON.stringify(bars[index]?.melody)
  return [
    ...issues.map(({ message }) => message),
    ...differences,
    ...(untouched ? [] : ['an earlier bar changed']),
    ...(melody ? [] : ['the melody of the preparing bar changed']),
  ]
}

// Worked examples, section 5: columns V7sus, V7, ii–V, tritone, pivot, V7sus of the key.
const CELLS: readonly (readonly [semitones: number, cells: readonly (string | undefined)[]])[] = [
  [1, ['F6 Gb7sus@2', 'F6 Gb7@2', 'F6 Dbm7@2 Gb7@3', 'F6 C7@2', undefined, 'F6 Db7sus@2']],
  [2, ['G7sus', 'G7', 'Dm7 G7', 'Db7', 'F6 Am7@2 G7@3', 'F6 D7sus@2']],
  [3, ['Ab7sus', 'Ab7', 'Ebm7 Ab7', 'D7#9', undefined, 'Eb7sus']],
  [4, ['F6 A7sus@2', 'A7b13', 'F6 Em7@2 A7@3', 'Eb7', undefined, 'F6 E7sus@2']],
  [-2, ['Eb7sus', 'Eb7', 'Bbm7 Eb7', 'A7b13', 'Bb6 Eb7', 'Bb7sus']],
]
const COLUMNS = ['sus-dominant', 'dominant', 'two-five', 'tritone', 'pivot', 'sus-dominant'] as const

describe('the preparing bar', () => {
  for (const [semitones, cells] of CELLS) {
    for (const [column, cell] of cells.entries()) {
      const id = COLUMNS[column] as string
      const aim = column === 5 ? 'key' : 'arrival'
      if (cell === undefined) {
        it(`[LI7] ${semitones}: no pivot between keys without a common triad`, () => {
          expect(lastB.offers('pivot').some(({ params }) => params['semitones'] === semitones)).toBe(false)
        })
        continue
      }
      it(`[LI3] ${semitones}, ${id} of the ${aim}: ${cell}`, () => {
        expect(preparing(lastB, id, semitones, `16 | ${cell} | =`, aim)).toEqual([])
      })
    }
  }
  it('[LI6] before the last A', () => {
    expect(preparing(lastA, 'dominant', 2, '24 | D7b13 | =')).toEqual([])
    expect(preparing(lastA, 'dominant', 1, '24 | C7 Db7 | =')).toEqual([])
    expect(preparing(lastA, 'sus-dominant', 2, '24 | D7sus | =')).toEqual([])
  })
})

const UP_TWO = `
17 | Cmaj7 | E5:3 G5:1
18 | F7 | Eb5:3 D5:1
19 | Bm7 | D5:2 E5:1 F#5:1
20 | E7 | B4:3 G#4:1
21 | A7 | A4:2 C#5:1 E5:1
22 | A7 | F#5:3 E5:1
23 | Am7 | G5:2 E5:1 C5:1
24 | D7 | D5:2 C5:2
25 | Gmaj7 | B4:2 G4:1 A4:1
26 | Em7 | D5:3 A4:1
27 | Am7 | E5:2 D5:1 B4:1
28 | D7 | A4:3 F#4:1
29 | Am7 | E5:1.5 D5:.5 C5:2
30 | D7 | B4:2 A4:1 F#4:1
31 | G6 | G4:4~
32 | G6 | G4:4
`

describe('after the lift', () => {
  it('[LI5] everything moves: melody, chords and signature', () => {
    const { bars: made } = lastB.apply('sus-dominant', { semitones: 2, preparation: 'sus-dominant', aim: 'arrival' })
    expect(rowDifferences(made.slice(32), UP_TWO, { len: 4 })).toEqual([])
    expect(made.slice(48).map(({ key }) => key.key)).toEqual(Array.from({ length: 16 }, () => 'G major'))
    expect(made[47]?.key.key).toBe('F major')
  })
})
