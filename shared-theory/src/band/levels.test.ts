/** How loud and busy the band is, section by section. */
import { describe, expect, it, vi } from 'vitest'
import { groove, QUARTET, ROADMAP, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { passesOf } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { levelOfEnergy, levelsOf } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

describe('[BA2] energy', () => {
  it('five levels of equal width, read from the pass', () => {
    expect([0, 0.19, 0.2, 0.5, 0.79, 0.8, 1, 2, -1, Number.NaN].map(levelOfEnergy)).toEqual([
      1, 1, 2, 3, 4, 5, 5, 5, 1, 3,
    ])
  })

  it('without energies: first chorus 2 3 3 3, solo 3, last chorus 4 and from its last B 5', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1', 'solo-1', 'chorus-last')
    const levels = levelsOf(bars, ROADMAP)
    const starts = [0, 8, 16, 24, 32, 64, 72, 80, 88].map((index) => levels[index])
    expect(starts).toEqual([2, 3, 3, 3, 3, 4, 4, 5, 5])
  })

  it('an opening is at 2, of drums alone at 3', () => {
    const opened = (rule: string) =>
      levelsOf(
        passesOf(lanternSlip(), 'chorus-1').map((bar, index) =>
          index < 4 ? { ...bar, pass: 'opening', sectionId: 'opening', provenance: { ...bar.provenance, rule } } : bar,
        ),
        ROADMAP,
      )[0]
    expect(opened('OP3')).toBe(2)
    expect(opened('OP9')).toBe(3)
  })

  it('a level changes only at a section start and by two at most', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1', 'solo-1')
    const levels = levelsOf(bars, [
      { id: 'chorus-1', kind: 'chorus', sections: [], energy: 0 },
      { id: 'solo-1', kind: 'solo', sections: [], energy: 1 },
    ])
    expect(levels.slice(0, 32).every((level) => level === 1)).toBe(true)
    expect([32, 40, 48].map((index) => levels[index])).toEqual([3, 5, 5])
  })

  it('louder and busier with every level', () => {
    for (const id of ['swing-medium', 'bossa', 'backbeat', 'jazz-waltz', 'seven-4-even']) {
      const of = groove(id)
      const loudness = [0.1, 0.3, 0.5, 0.7, 0.9].map((energy) => {
        const drums = band(played(lanternSlip(), of), of, QUARTET, energy).flatMap((bar) => notesOf(bar, 'drums'))
        return drums.reduce((sum, { velocity }) => sum + velocity, 0)
      })
      for (const [index, sum] of loudness.entries())
        if (index > 0) expect(sum).toBeGreaterThan(loudness[index - 1] ?? 0)
    }
  })

  it('an ending is at 3, a button at 5', () => {
    const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) =>
      index < 31
        ? bar
        : { ...bar, pass: 'ending', sectionId: 'ending', provenance: { ...bar.provenance, rule: 'EN9' } },
    )
    expect(levelsOf(bars, ROADMAP).at(-1)).toBe(5)
    const held = bars.map((bar) => ({ ...bar, provenance: { ...bar.provenance, rule: 'EN10' } }))
    expect(levelsOf(held, ROADMAP).at(-1)).toBe(3)
  })

  it('a delayed tonic comes down: 2 and a level a bar softer, from 5 by way of 3', () => {
    const ending = (energy: number) => {
      const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) =>
        index < 28
          ? bar
          : {
              ...bar,
              pass: 'ending',
              sectionId: 'ending',
              provenance: { ...bar.provenance, ...(index < 30 ? { rule: 'EN3' } : {}) },
            },
      )
      return levelsOf(
        bars,
        ROADMAP.map((pass) => ({ ...pass, energy })),
      ).slice(27)
    }
    expect(ending(0.5)).toEqual([3, 2, 1, 1, 1])
    expect(ending(0.9)).toEqual([5, 3, 2, 1, 1])
  })
})
