/** The drummer: patterns by level, fills, the last hit. */
import { describe, expect, it, vi } from 'vitest'
import { groove, QUARTET, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, PassPlan } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'
import { realiseBand } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

describe('[BA6] drums', () => {
  const strokes = (bar: ArrangedBar | undefined, name: string) =>
    notesOf(bar, 'drums').flatMap((note) => (note.name === name ? [note.startTick] : []))

  it('level 1 keeps only its rows, level 2 is main or two, 3 and more vary in pairs', () => {
    const quiet = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.1)
    expect([...new Set(notesOf(quiet[1], 'drums').map(({ name }) => name))].sort()).toEqual(['hat', 'hatfoot'])
    const medium = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.5)
    expect(strokes(medium[0], 'snare')).toEqual([])
    expect(strokes(medium[2], 'snare')).toEqual([7560])
    expect(strokes(medium[0], 'ride')).toEqual([0, 5040, 7560, 10080, 15120, 17640])
  })

  it('a fill ends a section where the melody leaves room, and the downbeat after it is marked', () => {
    const bars = band(played(lanternSlip(), groove('backbeat')), groove('backbeat'), QUARTET, 0.7)
    expect(strokes(bars[15], 'tomfloor')).toEqual([17640])
    expect(strokes(bars[16], 'crash')).toEqual([0])
    expect(strokes(bars[7], 'tomfloor').length).toBe(1)
    const busy = rows([1, 2, 3, 4, 5, 6, 7, 8].map((bar) => `${bar} | F6 | A4:1 G4:1 F4:1 G4:1`).join('\n'), {
      len: 4,
      key: 'F major',
      feel: 'even',
      sections: [
        ['A1', 4],
        ['B1', 4],
      ],
    })
    expect(strokes(band(busy, groove('backbeat'), QUARTET, 0.7)[3], 'tomfloor')).toEqual([])
  })

  it('the last bar is one hit together', () => {
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any')) {
      const last = band(played(lanternSlip(), of, 'chorus-1'), of).at(-1)
      for (const id of ['piano', 'bass', 'drums'])
        expect(notesOf(last, id).filter(({ startTick }) => startTick === 0).length, `${of.id} ${id}`).toBeGreaterThan(0)
      expect(notesOf(last, 'drums').every(({ startTick }) => startTick === 0)).toBe(true)
    }
  })

  it('bossa keeps one direction for the whole tune', () => {
    const bars = band(played(lanternSlip(), groove('bossa')), groove('bossa'), QUARTET, 0.7)
    bars.slice(0, 24).forEach((bar, index) => {
      if (index % 8 === 7) return
      expect(strokes(bar, 'xstick')[0], `bar ${index}`).toBe(index % 2 === 0 ? 0 : 5040)
    })
  })

  it('trading: the drums alone every other four', () => {
    const roadmap: readonly PassPlan[] = [{ id: 'solo-1', kind: 'solo', sections: [], soloist: 'piano', trading: 4 }]
    const bars = passesOf(lanternSlip(), 'solo-1').map((bar) => ({ ...bar, melody: [] }))
    const made = realiseBand(bars, { lineup: QUARTET, roadmap, groove: groove('swing-medium'), seed: 1 })
    expect(notesOf(made[4], 'bass')).toEqual([])
    expect(notesOf(made[4], 'piano')).toEqual([])
    expect(notesOf(made[4], 'drums').length).toBeGreaterThan(4)
    expect(notesOf(made[8], 'bass').length).toBeGreaterThan(0)
  })

  it('before the tune a drummer alone varies the time in pairs and says where four bars end', () => {
    const swing = groove('swing-medium')
    const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) =>
      index < 8
        ? { ...bar, pass: 'opening', sectionId: 'opening', melody: [], provenance: { ...bar.provenance, rule: 'OP9' } }
        : bar,
    )
    const made = band(bars, swing, QUARTET, 0.5)
    expect(notesOf(made[0], 'bass')).toEqual([])
    expect(strokes(made[0], 'ride').length).toBe(6)
    expect(strokes(made[0], 'snare')).toEqual([])
    expect(strokes(made[2], 'snare')).toEqual([7560])
    for (const at of [3, 7]) expect(strokes(made[at], 'snare').length, `bar ${at}`).toBeGreaterThan(2)
  })

  it('nobody takes up brushes in an ending that fades away', () => {
    const waltz = groove('jazz-waltz')
    const bars = played(ferryBell(), waltz, 'chorus-1').map((bar, index, all) =>
      index >= all.length - 4
        ? { ...bar, pass: 'ending', sectionId: 'ending', provenance: { ...bar.provenance, rule: 'EN3' } }
        : bar,
    )
    const made = band(bars, waltz, QUARTET, 0.5).slice(-3)
    expect(made.flatMap((bar) => strokes(bar, 'bsweep'))).toEqual([])
    expect(strokes(made[1], 'ride').length).toBeGreaterThan(0)
  })

  it('in a backbeat the bass drum goes with chords that come early, and the bass with it', () => {
    for (const id of ['backbeat', 'backbeat-half']) {
      const bars = [0.5, 0.7].flatMap((energy) =>
        band(
          played(lanternSlip(), groove(id)).map((bar) => ({ ...bar, melody: [] })),
          groove(id),
          QUARTET,
          energy,
        ),
      )
      const at = id === 'backbeat' ? 17640 : 15120
      const early = bars.filter((bar) =>
        notesOf(bar, 'piano').some(({ tiedToNext, startTick }) => tiedToNext && startTick === at),
      )
      expect(early.length, id).toBeGreaterThan(2)
      const isFilled = (bar: ArrangedBar) => strokes(bar, 'tomfloor').length > 0
      for (const bar of early.filter((bar) => !isFilled(bar))) {
        expect(strokes(bar, 'kick'), `${id} bar ${bar.barIndex}`).toContain(at)
        if (id === 'backbeat') expect(notesOf(bar, 'bass').some(({ startTick }) => startTick === at)).toBe(true)
      }
    }
  })

  it('at level 5 the fill takes the whole bar, feet going on; where the melody moves it keeps to the half', () => {
    const swing = groove('swing-medium')
    const open = band(played(lanternSlip(), swing, 'chorus-1'), swing, QUARTET, 0.9)
    expect(strokes(open[7], 'snare')[0]).toBe(0)
    expect(strokes(open[7], 'ride')).toEqual([])
    expect(strokes(open[7], 'hatfoot')).toEqual([5040, 15120])
    const less = band(played(lanternSlip(), swing, 'chorus-1'), swing, QUARTET, 0.7)
    expect(strokes(less[7], 'ride')).toEqual([0, 5040])
  })

  it('before the solos there is a fill at level 1 too, in its second half, the bass drum feathered', () => {
    const swing = groove('swing-medium')
    const bars = played(lanternSlip(), swing)
    const made = band(bars, swing, QUARTET, 0.1)
    expect(strokes(made[7], 'snare')).toEqual([])
    expect(bars[31]?.melody.filter(({ startTick }) => startTick >= 10080).length).toBeLessThanOrEqual(1)
    expect(Math.min(...strokes(made[31], 'snare'))).toBeGreaterThanOrEqual(7560)
    for (const { name, velocity } of notesOf(made[31], 'drums')) if (name === 'kick') expect(velocity).toBeLessThan(30)
  })

  it('rows come in by level: clave in the cha-cha, agogô and tambourine in the samba, hand clap on the street', () => {
    const has = (id: string, name: string) =>
      [0.1, 0.3, 0.5, 0.7, 0.9].map((energy) =>
        band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), QUARTET, energy)
          .slice(0, 6)
          .every((bar) => strokes(bar, name).length > 0),
      )
    expect(has('cha-cha', 'clave')).toEqual([false, false, false, true, true])
    expect(has('samba', 'agogohigh')).toEqual([false, false, false, false, true])
    expect(has('samba', 'tambourine')).toEqual([false, false, false, false, true])
    expect(has('street-beat', 'handclap')).toEqual([false, false, false, false, true])
    expect(has('jazz-waltz', 'bsweep')).toEqual([true, false, false, false, false])
  })

  it('time stops at beat three before a free section, with a swell, and before a much quieter one', () => {
    const swing = groove('swing-medium')
    const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) => ({
      ...bar,
      feel: index >= 16 ? 'rubato' : 'swing',
    }))
    const toFree = band(bars, swing, QUARTET, 0.5)[15]
    expect(notesOf(toFree, 'drums').every(({ startTick }) => startTick <= 10080)).toBe(true)
    expect(strokes(toFree, 'crash')).toEqual([10080])
    const roadmap: readonly PassPlan[] = [
      { id: 'chorus-1', kind: 'chorus', sections: [], energy: 0.9 },
      { id: 'chorus-last', kind: 'chorus', sections: [], energy: 0.3 },
    ]
    const made = realiseBand(played(lanternSlip(), swing, 'chorus-1', 'chorus-last'), {
      lineup: QUARTET,
      roadmap,
      groove: swing,
      seed: 1,
    })
    expect(notesOf(made[31], 'drums').every(({ startTick }) => startTick < 10080)).toBe(true)
  })

  it('under a held note the ballad only sweeps, and the bossa keeps its bass drum to two beats', () => {
    const text = '1 | F6 | A4:4\n2 | F6 | A4:1 G4:1 A4:1 G4:1\n3 | F6 | A4:4\n4 | F6 | A4:4\n5 | F6 | A4:4'
    const taps = (id: string, name: string) =>
      band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), QUARTET, 0.5)
        .slice(0, 2)
        .map((bar) => strokes(bar, name))
    expect(taps('ballad-swing', 'btap')[0]).toEqual([0])
    expect(taps('ballad-swing', 'btap')[1]?.length).toBeGreaterThan(4)
    expect(taps('bossa', 'kick')).toEqual([
      [0, 10080],
      [0, 7560, 10080, 17640],
    ])
  })

  it('in the bar before the last of a ritardando the cymbal has the beats alone', () => {
    const swing = groove('swing-medium')
    const bars = played(lanternSlip(), swing, 'chorus-1').map((bar, index) =>
      index >= 28 ? { ...bar, tempoBpm: 120 - index, tempoEndBpm: 119 - index } : bar,
    )
    const made = band(bars, swing, QUARTET, 0.5)
    expect(strokes(made[30], 'ride').every((tick) => tick % 5040 === 0)).toBe(true)
    expect(strokes(made[29], 'ride').some((tick) => tick % 5040 !== 0)).toBe(true)
  })

  it('a shuffle blues of twelve bars has a fill in every fourth', () => {
    const text = Array.from({ length: 12 }, (_, index) => `${index + 1} | F7 | A4:2 r:2`).join('\n')
    const both = `${text}\n${text}`
    const bars = rows(both, {
      len: 4,
      key: 'F major',
      feel: 'shuffle',
      sections: [
        ['A1', 12],
        ['A2', 12],
      ],
    })
    const made = band(bars, groove('shuffle'), QUARTET, 0.5)
    const fills = made.flatMap((bar, index) => (strokes(bar, 'snare').some((tick) => tick % 2520 !== 0) ? [index] : []))
    expect(fills).toEqual([3, 7, 11, 15, 19])
  })

  it('in a swing ballad sticks stay in the hand from level 4, fills and last hit too; brushes below', () => {
    const ballad = groove('ballad-swing')
    const names = (energy: number) =>
      new Set(
        band(played(lanternSlip(), ballad, 'chorus-1'), ballad, QUARTET, energy)
          .flatMap((bar) => notesOf(bar, 'drums'))
          .map(({ name }) => name),
      )
    expect(names(0.5)).toContain('btap')
    expect(names(0.5)).not.toContain('snare')
    for (const energy of [0.7, 0.9]) {
      for (const brush of ['btap', 'bsweep']) expect(names(energy)).not.toContain(brush)
      for (const stick of ['ride', 'snare', 'xstick']) expect(names(energy)).toContain(stick)
    }
  })

  it('from level 4 the snare takes over the even ballad, and the bossa has its shaker instead of hat and ride', () => {
    const kinds = (id: string, energy: number, at: number) =>
      new Set(
        notesOf(band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), QUARTET, energy)[at], 'drums').map(
          ({ name }) => name,
        ),
      )
    for (const energy of [0.7, 0.9])
      for (const at of [0, 2]) {
        expect(kinds('ballad-even', energy, at)).toContain('snare')
        expect(kinds('ballad-even', energy, at)).not.toContain('xstick')
      }
    expect(kinds('ballad-even', 0.5, 0)).toContain('xstick')
    for (const at of [0, 2]) {
      expect(kinds('bossa', 0.7, at)).toContain('shaker')
      expect(kinds('bossa', 0.7, at)).not.toContain('ride')
    }
    expect(kinds('bossa', 0.9, 0)).toContain('ride')
  })

  it('under a held note the hat opens: in swing on three until the foot closes it, splashed by the foot under a ride, in a backbeat on the last eighth', () => {
    const text = '1 | F6 | A4:4\n2 | F6 | A4:1 G4:1 A4:1 G4:1\n3 | F6 | A4:4\n4 | F6 | A4:4\n5 | F6 | A4:4'
    const open = (id: string, energy: number) =>
      band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), QUARTET, energy)
        .slice(0, 2)
        .map((bar) => strokes(bar, 'hatopen'))
    expect(open('swing-medium', 0.3)).toEqual([[10080], []])
    expect(open('swing-medium', 0.5)).toEqual([[10080], []])
    expect(open('swing-medium', 0.1)).toEqual([[], []])
    expect(open('backbeat', 0.5)).toEqual([[17640], []])
    expect(open('bossa', 0.5)).toEqual([[], []])
  })

  it('a cha-cha that ends on a button is closed by four, its off-beat, and home, together', () => {
    const chaCha = groove('cha-cha')
    const close = (stop: 'button' | 'held') =>
      realiseBand(played(lanternSlip(), chaCha, 'chorus-1'), {
        lineup: QUARTET,
        roadmap: [],
        groove: chaCha,
        seed: 1,
        stop,
      })[30]
    for (const name of ['timbalehigh', 'kick']) expect(strokes(close('button'), name).slice(-2)).toEqual([15120, 17640])
    for (const id of ['piano', 'bass'])
      expect([...new Set(notesOf(close('button'), id).map(({ startTick }) => startTick))].slice(-2), id).toEqual([
        15120, 17640,
      ])
    expect(strokes(close('held'), 'timbalehigh')).toEqual([])
  })

  it('up to level 2 a fill has no accents and stands no higher than the time; the street beat is brushed softly at level 1', () => {
    const swing = groove('swing-medium')
    const bars = band(played(lanternSlip(), swing, 'chorus-1'), swing, QUARTET, 0.3)
    const loud = (index: number, name: string) =>
      Math.max(...notesOf(bars[index], 'drums').flatMap((note) => (note.name === name ? [note.velocity] : [])))
    expect(loud(7, 'snare')).toBeLessThanOrEqual(loud(0, 'hat'))
    const street = groove('street-beat')
    const soft = band(played(lanternSlip(), street, 'chorus-1'), street, QUARTET, 0.1)[0]
    const taps = notesOf(soft, 'drums').filter(({ name }) => name === 'btap')
    expect(taps.filter(({ velocity }) => velocity < street.dyn - 18).length * 2).toBeGreaterThan(taps.length)
  })
})

describe('[BA19] double time', () => {
  it('at level 5 a swing ballad rides every beat as two, over a walking bass; the hat stays on two and four', () => {
    const ballad = groove('ballad-swing')
    const at = (energy: number) => band(played(lanternSlip(), ballad, 'chorus-1'), ballad, QUARTET, energy)[0]
    const ticks = (bar: ArrangedBar | undefined, name: string) =>
      notesOf(bar, 'drums').flatMap((note) => (note.name === name ? [note.startTick] : []))
    // The swing ride in half the time: quarter, skip, quarter, skip, each half as long.
    const half = [0, 2520, 3780, 5040, 7560, 8820]
    expect(ticks(at(0.9), 'ride')).toEqual([...half, ...half.map((tick) => tick + 10080)])
    expect(ticks(at(0.9), 'hatfoot')).toEqual([5040, 15120])
    expect(notesOf(at(0.9), 'bass').length).toBeGreaterThanOrEqual(4)
    expect(ticks(at(0.7), 'ride').some((tick) => tick % 2520 !== 0)).toBe(false)
    expect(notesOf(at(0.7), 'bass').length).toBeLessThanOrEqual(3)
  })
})
