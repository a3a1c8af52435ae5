import { describe, expect, it } from 'vitest'
import { type GuitarShape, GUITAR_STRINGS, LOW_INTERVAL_LIMITS, chord, guitarShapes, pitchClassesOf } from './index.js'

const diagram = ({ frets }: GuitarShape): string => frets.map((fret) => fret ?? 'x').join(' ')
const fingering = ({ fingers }: GuitarShape): string => fingers.map((finger) => finger ?? 'x').join(' ')
const SYMBOLS =
  'C Am G7 Dm7 Cmaj7 Bm7b5 E7b9 Am6 Csus C7sus G7#9 C6/9 C/E Dm7/G F#dim7 C13 Caug C5 Abmaj9 B7#11 Gm9 Db7 Ebm7b5 F#m7 Bb6 G13sus A7b13 Fm7 CmMaj7'.split(
    ' ',
  )

describe('guitar shapes', () => {
  // Source: common practice, shapes every guitarist has.
  it.each([
    ['C', 'x 3 2 0 1 0', 'x 3 2 0 1 0'],
    ['Dm7', 'x x 0 2 1 1', 'x x 0 3 1 2'],
    ['Dm7', 'x 5 x 5 6 5', 'x 1 x 1 2 1'],
    ['G7', '3 x 3 4 3 x', '1 x 1 2 1 x'],
    ['Cmaj7', 'x 3 5 4 5 x', 'x 1 3 2 4 x'],
    ['Bm7b5', 'x 2 3 2 3 x', 'x 1 3 2 4 x'],
    ['E7b9', 'x 7 6 7 6 x', 'x 3 1 4 2 x'],
    ['C13', '8 x 8 9 10 x', '1 x 2 3 4 x'],
  ])('[VO12] %s as %s, fingers %s', (symbol, frets, fingers) => {
    const shapes = guitarShapes(chord(symbol))
    const shape = shapes.find((each) => diagram(each) === frets)
    expect(shapes.map(diagram)).toContain(frets)
    expect(shape && fingering(shape)).toBe(fingers)
  })

  it('[VO12] a hand can hold each: four frets, four fingers, one place a finger, no string skipped but above the bass', () => {
    for (const symbol of SYMBOLS) {
      const shapes = guitarShapes(chord(symbol))
      expect(shapes.length, symbol).toBeGreaterThan(0)
      for (const shape of shapes) {
        const label = `${symbol}: ${diagram(shape)} (${fingering(shape)})`
        const held = shape.frets.filter((fret) => fret !== undefined && fret > 0) as number[]
        if (held.length > 0) expect(Math.max(...held) - Math.min(...held), label).toBeLessThan(4)
        const used = shape.fingers.flatMap((finger, string) =>
          finger ? [[finger, shape.frets[string] as number] as const] : [],
        )
        for (const [finger, fret] of used) {
          expect(finger, label).toBeLessThanOrEqual(4)
          const same = used.filter(([other]) => other === finger)
          if (same.length > 1) expect(shape.barre, label).toBeDefined()
          expect(
            same.every(([, each]) => each === fret),
            label,
          ).toBe(true)
          for (const [other, at] of used) if (other > finger) expect(at, label).toBeGreaterThanOrEqual(fret)
        }
        const sounding = [...shape.frets.keys()].filter((string) => shape.frets[string] !== undefined)
        const skips = sounding.slice(1).map((string, index) => string - (sounding[index] as number))
        expect(skips.slice(1).every((step) => step === 1) && (skips[0] ?? 1) <= 2, label).toBe(true)
        const { barre } = shape
        if (barre)
          for (let string = barre.fromString; string <= barre.toString; string++)
            expect(shape.frets[string] ?? barre.fret, label).toBeGreaterThanOrEqual(barre.fret)
      }
    }
  })

  it('[VO12] it sounds what it says: bass lowest, only chord tones, third and seventh there, low limits kept, no minor ninth', () => {
    for (const symbol of SYMBOLS) {
      const value = chord(symbol)
      const own = new Set(pitchClassesOf(value))
      const pcOfName = (name: string): number => pitchClassesOf(chord(`${name}(pedal)`))[0] as number
      for (const { midi, frets, notes } of guitarShapes(value)) {
        const label = `${symbol}: ${frets.map((fret) => fret ?? 'x').join(' ')}`
        const strings = frets.flatMap((fret, string) =>
          fret === undefined ? [] : [(GUITAR_STRINGS[string] as number) + fret],
        )
        expect(midi, label).toEqual(strings)
        expect(midi, label).toEqual(midi.toSorted((a, b) => a - b))
        expect((midi[0] as number) % 12, label).toBe(pcOfName(value.bass ?? value.root))
        for (const [index, note] of midi.entries()) {
          expect(own, label).toContain(note % 12)
          expect(pcOfName(notes[index] as string), label).toBe(note % 12)
          const next = midi[index + 1]
          if (next !== undefined) expect(note, label).toBeGreaterThanOrEqual(LOW_INTERVAL_LIMITS[next - note] ?? 0)
          for (const higher of midi.slice(index + 1)) {
            const apart = higher - note
            const isFlatNinthOfRoot = value.intervals.includes('9m') && note % 12 === pcOfName(value.root)
            if (apart > 12 && apart % 12 === 1) expect(isFlatNinthOfRoot, label).toBe(true)
          }
        }
        const sounding = new Set(midi.map((note) => note % 12))
        for (const [index, interval] of value.intervals.entries())
          if (/^(?:3[mM]|4P|2M|7[mMd])$/.test(interval))
            expect(sounding, `${label} ${interval}`).toContain(pcOfName(value.notes[index] as string))
      }
    }
  })

  it('[VO12] nearer shapes come first where the hand is, and N.C. has none', () => {
    expect(guitarShapes(chord('Dm7'), { near: 10 })[0]?.position).toBeGreaterThan(6)
    expect(guitarShapes(chord('C'), { voices: 6 }).every(({ midi }) => midi.length === 6)).toBe(true)
    expect(guitarShapes(chord('N.C.'))).toEqual([])
  })
})
