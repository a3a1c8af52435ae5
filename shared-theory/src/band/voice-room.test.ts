/** A singer's range, kept clear. */
import { describe, expect, it, vi } from 'vitest'
import { band, groove, notesOf, part, played } from '../../../tests/fixtures/played-band.js'
import { rows } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'

vi.setConfig({ testTimeout: 30_000 })

const RHYTHM = [
  part('piano', 'piano', 'chords'),
  part('bass', 'double-bass', 'bass'),
  part('drums', 'drum-kit', 'drums'),
]
const WITH_HORNS = [
  part('voice', 'voice-alto', 'voice'),
  part('tenor', 'tenor-sax', 'horn'),
  part('trombone', 'trombone', 'horn'),
  ...RHYTHM,
]
/** Lowest and highest MIDI of what is sung in the section a bar stands in. */
const sungAround = (bars: readonly ArrangedBar[], bar: ArrangedBar): readonly [number, number] => {
  const midi = bars
    .filter(({ sectionId, pass }) => sectionId === bar.sectionId && pass === bar.pass)
    .flatMap(({ melody }) => melody.map((note) => note.midi))
  return [Math.min(...midi), Math.max(...midi)]
}

describe('[BA15] under a singer', () => {
  it('chords and backgrounds stay three half steps out of everything sung in the section, in its rests too', () => {
    const inside: string[] = []
    let counted = 0
    for (const of of GROOVES) {
      if (of.metre === 'any') continue
      for (const energy of [0.3, 0.7, 0.9]) {
        const made = band(played(lanternSlip(), of, 'chorus-1'), of, WITH_HORNS, energy)
        for (const bar of made.slice(0, -1)) {
          if (bar.melody.length === 0) continue
          const [low, high] = sungAround(made, bar)
          for (const id of ['piano', 'tenor', 'trombone'])
            for (const { midi, name, startTick, tiedToNext } of notesOf(bar, id)) {
              // What is tied over comes from the section before.
              if (startTick === 0 && bar.barIndex > 0 && id === 'piano') continue
              if (tiedToNext) continue
              counted++
              if (midi > low - 3 && midi < high + 3) inside.push(`${of.id} ${energy} bar ${bar.barIndex} ${id} ${name}`)
            }
        }
      }
    }
    expect(counted).toBeGreaterThan(2000)
    expect(inside).toEqual([])
  })

  it('over a low voice the piano plays above it, over a high one below', () => {
    const text = '1 | Fmaj7 | F2:2 A2:2\n2 | Dm7 | C3:4\n3 | Gm7 | Bb2:4\n4 | C7 | G2:4\n5 | F6 | F2:4'
    const bass = [part('voice', 'voice-bass', 'lead'), ...RHYTHM]
    const low = band(rows(text, { len: 4, key: 'F major', feel: 'swing' }), groove('swing-medium'), bass, 0.5)
    for (const bar of low.slice(0, 4))
      for (const { midi } of notesOf(bar, 'piano')) expect(midi).toBeGreaterThanOrEqual(48 + 3)
    const alto = [part('voice', 'voice-alto', 'lead'), ...RHYTHM]
    const high = band(played(lanternSlip(), groove('bossa'), 'chorus-1'), groove('bossa'), alto, 0.5)
    const top = Math.max(...high.slice(0, 7).flatMap((bar) => notesOf(bar, 'piano').map(({ midi }) => midi)))
    expect(top).toBeLessThanOrEqual(sungAround(high, high[0] as ArrangedBar)[0] - 3)
  })

  it('backgrounds are a level softer than behind a horn', () => {
    const loud = (lead: string, instrument: string) =>
      band(
        played(lanternSlip(), groove('bossa'), 'chorus-1'),
        groove('bossa'),
        [part(lead, instrument, 'lead'), ...WITH_HORNS.slice(1)],
        0.7,
      )
        .slice(0, 3)
        .flatMap((bar) => notesOf(bar, 'trombone').map(({ velocity }) => velocity))[0] ?? 0
    expect(loud('trumpet', 'trumpet') - loud('voice', 'voice-alto')).toBe(7)
  })
})
