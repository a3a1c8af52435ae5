/** The catalogue: sound as data, and the figures other people have published about these rhythms. */
import { describe, expect, it } from 'vitest'
import { barTicks, groupStarts } from '../../units/index.js'
import {
  DRUM_KEYS,
  GROOVES,
  type DrumPattern,
  type Groove,
  defaultGroove,
  findGroove,
  grooveOfBar,
  hasThreeSlots,
  plainGroove,
  playsIn,
  strokesOf,
} from '../index.js'

const BOOK = [
  'ballad-even',
  'ballad-swing',
  'swing-medium',
  'swing-fast',
  'shuffle',
  'bossa',
  'samba',
  'afro-12-8',
  'cha-cha',
  'jazz-waltz',
  'ballad-6-8',
  'five-4',
  'seven-4-even',
  'seven-4-fast',
  'backbeat',
  'backbeat-half',
  'street-beat',
  'rubato',
]
const groove = (id: string): Groove => {
  const found = findGroove(id)
  if (!found) throw new Error(`no groove '${id}'`)
  return found
}
const row = (id: string, pattern: DrumPattern, name: string): string =>
  (groove(id).drums[pattern] ?? []).find((each) => each.row === name)?.bars.join('') ?? ''
/** Struck positions of a row, all its bars counted on. */
const onsets = (text: string): number[] =>
  Array.from(text).flatMap((sign, at) => (sign === '.' || sign === '-' ? [] : [at]))
/** Distances from stroke to stroke, round the cycle. */
const necklace = (text: string): number[] =>
  onsets(text).map((at, index, all) => ((all[(index + 1) % all.length] ?? 0) - at + text.length) % text.length)
const rotations = (pattern: readonly number[]): string[] =>
  pattern.map((_, index) => [...pattern.slice(index), ...pattern.slice(0, index)].join())

describe('[GR1] every groove is sound as data', () => {
  it('the catalogue is the book', () => {
    expect(GROOVES.map(({ id }) => id)).toEqual(BOOK)
  })

  for (const each of GROOVES) {
    const metre = each.metre === 'any' ? { beats: 4, beatType: 4 as const } : each.metre
    const length = barTicks(metre)
    const drumPatterns = Object.entries(each.drums)

    it(`${each.id}: groups, tempo and rows agree with the metre and grid`, () => {
      if (each.groups !== 'tune') {
        expect(each.groups.reduce((sum, group) => sum + group, 0)).toBe(metre.beats)
        expect(groupStarts(metre, each.groups)[0]).toBe(0)
      }
      expect(length % each.grid).toBe(0)
      expect(each.tempo.low <= each.tempo.default && each.tempo.default <= each.tempo.high).toBe(true)
      if (each.beat) {
        expect(each.beat.low * 1.5).toBe(each.tempo.low)
        expect(each.beat.default * 1.5).toBe(each.tempo.default)
      }
      for (const name of ['main', 'var1', 'var2', 'fill', 'end']) expect(Object.keys(each.drums)).toContain(name)
    })

    it(`${each.id}: drum rows are known, as long as the grid, and hold nothing that was not struck`, () => {
      for (const [pattern, rows] of drumPatterns) {
        for (const { row: name, bars } of rows) {
          expect(Object.keys(DRUM_KEYS), `${pattern} ${name}`).toContain(name)
          expect([1, each.span]).toContain(bars.length)
          for (const bar of bars) {
            expect(bar, `${pattern} ${name}`).toMatch(/^[.oxX-]+$/)
            expect(bar).toHaveLength(each.grid)
            expect(bar, `${pattern} ${name}`).not.toMatch(/(^|\.)-/)
          }
        }
      }
      const light = each.drums.two ?? each.drums.main ?? []
      for (const name of each.level1) expect(light.map(({ row: known }) => known)).toContain(name)
    })

    it(`${each.id}: the riff is two bars, rows that come in by level are known and as long as the grid`, () => {
      expect(each.riff).toHaveLength(2)
      for (const bar of each.riff) {
        expect(bar).toMatch(/^[.xX-]+$/)
        expect(bar).toHaveLength(each.grid)
        expect(bar).not.toMatch(/(^|\.)-/)
      }
      for (const { levels, rows } of each.thickened ?? []) {
        expect(levels[0]).toBeLessThanOrEqual(levels[1])
        for (const { row: name, bars } of rows) {
          expect(Object.keys(DRUM_KEYS)).toContain(name)
          // A ballad's cymbal in double time halves the beat: sixteen steps of sixteenths.
          for (const bar of bars)
            expect([each.grid, ...(metre.beatType === 4 ? [metre.beats * 4] : [])], name).toContain(bar.length)
        }
      }
    })

    it(`${each.id}: bass tokens tile the bar`, () => {
      for (const [name, bars] of Object.entries(each.bass)) {
        for (const bar of bars) {
          let at = 0
          bar.forEach((token, index) => {
            expect(token.position, `${name} token ${index}`).toBe(at)
            at = token.position + token.length
          })
          const last = bar.at(-1)
          if (last?.degree.startsWith('n')) expect(at).toBeGreaterThanOrEqual(each.grid)
          else expect(at, name).toBe(each.grid)
        }
      }
    })

    it(`${each.id}: cells are two bars of legal signs; a hold follows a stroke, over the bar line too`, () => {
      for (const cell of each.comp) {
        expect(cell).toHaveLength(2)
        expect(cell.join('')).toHaveLength(each.grid * 2)
        expect(cell.join('')).toMatch(/^[.oxX>-]+$/)
        expect(`${cell[1]}${cell.join('')}`).not.toMatch(/\.-/)
      }
      for (const line of [each.leftHand, each.guitar]) {
        expect(line).toHaveLength(each.grid)
        expect(line).toMatch(/^[.oxXBC-]+$/)
      }
    })

    it(`${each.id}: no lone middle triplet stroke where the grid has three slots`, () => {
      if (!hasThreeSlots(each.grid, length)) return
      const texts = [
        ...drumPatterns.flatMap(([, rows]) => rows.flatMap(({ bars }) => bars)),
        ...each.comp.flat(),
        each.guitar,
      ]
      for (const text of texts)
        for (let at = 0; at < text.length; at += 3) expect(text.slice(at, at + 3), text).not.toMatch(/^[.-][oxX>][.-]$/)
    })
  }
})

describe('[GR2] grid steps and ticks', () => {
  it('a lone third slot is a written off-beat eighth, with the second slot a real triplet', () => {
    expect(strokesOf('x..X.xx..X.x', 20160).map(({ startTick }) => startTick)).toEqual([
      0, 5040, 7560, 10080, 15120, 17640,
    ])
    const triplet = strokesOf('.........oo-', 20160)
    expect(triplet.map(({ startTick, durationTicks }) => [startTick, durationTicks])).toEqual([
      [15120, 1680],
      [16800, 3360],
    ])
    expect(triplet.every(({ tuplet }) => tuplet?.actual === 3)).toBe(true)
    expect(strokesOf('x----x---', 15120).map(({ startTick }) => startTick)).toEqual([0, 7560])
    expect(strokesOf('x.x.xx.x.x.x', 30240).map(({ startTick }) => startTick / 2520)).toEqual([0, 2, 4, 5, 7, 9, 11])
  })
})

describe('[GR3] outside figures', () => {
  it('swing ride {0,3,5,6,9,11}, hat {3,9}; waltz ride {0,3,5,6}, hat {3}. Source: common practice', () => {
    expect(onsets(row('swing-medium', 'main', 'ride'))).toEqual([0, 3, 5, 6, 9, 11])
    expect(onsets(row('swing-medium', 'main', 'hatfoot'))).toEqual([3, 9])
    expect(onsets(row('jazz-waltz', 'main', 'ride'))).toEqual([0, 3, 5, 6])
    expect(onsets(row('jazz-waltz', 'main', 'hatfoot'))).toEqual([3])
    expect(onsets(row('five-4', 'main', 'ride'))).toEqual([0, 3, 5, 6, 9, 11, 12])
  })

  it('bossa stick {0,3,6,10,13} over two bars of eighths, kick {0,3,4,7}. Source: common practice', () => {
    expect(onsets(row('bossa', 'main', 'xstick'))).toEqual([0, 3, 6, 10, 13])
    expect(onsets(row('bossa', 'main', 'kick'))).toEqual([0, 3, 4, 7])
  })

  it('bossa necklace x..x..x..x..x...: gaps 3 3 4 3 3 (Toussaint 2005)', () => {
    expect(rotations([3, 3, 3, 3, 4])).toContain(necklace(row('bossa', 'main', 'xstick')).join())
  })

  it('samba necklace x..x.x.x..x.x.x., this rotation (Toussaint 2005)', () => {
    expect(row('samba', 'main', 'xstick')).toBe('x..x.x.x..x.x.x.')
    expect(rotations([3, 2, 2, 3, 2, 2, 2])).toContain(necklace(row('samba', 'main', 'xstick')).join())
    const kick = row('samba', 'main', 'kick')
    expect(Array.from(kick).flatMap((sign, at) => (sign === 'X' ? [at] : []))).toEqual([4, 12])
  })

  it('the seven-stroke 12/8 bell {0,2,4,5,7,9,11}: the white keys (Toussaint 2005)', () => {
    expect(onsets(row('afro-12-8', 'main', 'bell'))).toEqual([0, 2, 4, 5, 7, 9, 11])
    expect(necklace(row('afro-12-8', 'main', 'bell'))).toEqual([2, 2, 1, 2, 2, 2, 1])
  })

  it('clave 2-3 {2,4 | 0,3,6}; tresillo x..x..x. over the four of 7/4. Source: common practice', () => {
    expect(onsets(row('cha-cha', 'var1', 'clave'))).toEqual([2, 4, 8, 11, 14])
    expect(onsets(row('seven-4-even', 'main', 'kick'))).toEqual([0, 3, 6, 8, 11])
  })

  it('5/4 is 3+2, 7/4 is 4+3: a stroke of the bass on every group start. Source: common practice', () => {
    for (const [id, starts] of [
      ['five-4', [0, 9]],
      ['seven-4-even', [0, 8]],
      ['seven-4-fast', [0, 8]],
    ] as const) {
      const positions = groove(id)
        .bass.two?.[0]?.filter(({ degree }) => degree === '1')
        .map(({ position }) => position)
      expect(positions).toEqual([...starts])
    }
  })

  it('drum keys are those of the General MIDI 1 percussion map; brushes only in a brush kit', () => {
    const known = { kick: 36, xstick: 37, snare: 38, hat: 42, hatfoot: 44, hatopen: 46, crash: 49, ride: 51, bell: 53 }
    for (const [name, midi] of Object.entries(known)) expect(DRUM_KEYS[name]?.midi).toBe(midi)
    expect(DRUM_KEYS['shaker']?.midi).toBe(70)
    for (const [name, key] of Object.entries(DRUM_KEYS)) {
      expect(key.midi >= 35 && key.midi <= 81, name).toBe(true)
      expect(key.brush !== undefined, name).toBe(/^b(tap|slap|sweep)$/.test(name))
    }
  })
})

describe('[GR4] a groove for every bar', () => {
  it('the usual metres get their grooves, by tempo', () => {
    const id = (beats: number, beatType: 2 | 4 | 8, tempo?: number) => defaultGroove({ beats, beatType }, tempo).id
    expect(id(4, 4)).toBe('swing-medium')
    expect(id(4, 4, 66)).toBe('ballad-swing')
    expect(id(4, 4, 240)).toBe('swing-fast')
    expect(id(2, 2, 140)).toBe('swing-medium')
    expect(id(3, 4)).toBe('jazz-waltz')
    expect(id(7, 4)).toBe('seven-4-even')
    expect(id(7, 4, 212)).toBe('seven-4-fast')
  })

  it('any other metre gets a plain pattern that is sound as data and found by its id', () => {
    for (const [beats, beatType] of [
      [2, 4],
      [9, 8],
      [11, 8],
      [1, 4],
      [15, 16],
      [3, 2],
      [13, 4],
    ] as const) {
      const plain = defaultGroove({ beats, beatType })
      expect(findGroove(plain.id)?.id).toBe(plain.id)
      expect(playsIn(plain, { beats, beatType })).toBe(true)
      expect(barTicks({ beats, beatType }) % plain.grid).toBe(0)
      for (const rows of Object.values(plain.drums))
        for (const { bars } of rows) for (const bar of bars) expect(bar).toHaveLength(plain.grid)
      for (const bar of plain.bass.one ?? []) expect(bar.reduce((sum, { length }) => sum + length, 0)).toBe(plain.grid)
    }
    expect(findGroove('plain-0-4')).toBeUndefined()
    expect(findGroove('polka')).toBeUndefined()
  })

  it('a bar in another metre gets a relative of the same feel, rubato where it says so', () => {
    const bar = (feel: string, beats: number) => ({
      feel,
      metre: { beats, beatType: 4 as const },
      groups: [beats],
      tempoBpm: 140,
    })
    expect(grooveOfBar(groove('swing-medium'), bar('swing', 4)).id).toBe('swing-medium')
    expect(grooveOfBar(groove('swing-medium'), bar('swing', 3)).id).toBe('jazz-waltz')
    expect(grooveOfBar(groove('bossa'), bar('rubato', 4)).id).toBe('rubato')
    expect(grooveOfBar(groove('bossa'), bar('swing', 4)).feel).toBe('swing')
    expect(grooveOfBar(groove('seven-4-even'), bar('even', 4)).ratio).toBe(100)
    expect(grooveOfBar(groove('swing-medium'), bar('swing', 2)).ratio).toBe('table')
    expect(plainGroove({ beats: 2, beatType: 4 }, [2], true).grid).toBe(6)
  })
})
