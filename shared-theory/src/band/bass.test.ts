/** The bass player: walking lines, rows, pedal, and the bass drum. */
import { describe, expect, it, vi } from 'vitest'
import { groove, part, QUARTET, TUNES, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { rows } from '../../../tests/fixtures/rows.js'
import { lanternSlip, slackTide } from '../../../tests/fixtures/worked-rows.js'
import { bassOf, chord, pitchClassesOf } from '../chords/index.js'
import type { ArrangedBar } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'
import { barTicks, mod, pitchClass } from '../units/index.js'

vi.setConfig({ testTimeout: 30_000 })

describe('[BA3] walking lines', () => {
  const lines = TUNES.filter(({ metre }) => metre.beats === 4).flatMap((tune) =>
    ['swing-medium', 'swing-fast'].flatMap((id) =>
      [1, 2, 3].map((seed) => band(played(tune, groove(id)), groove(id), QUARTET, 0.5, seed)),
    ),
  )
  // Dead notes have no pitch; of a pair on the last beat the second leads on.
  const walked = (bars: readonly ArrangedBar[]) =>
    bars.slice(0, -1).map((bar) =>
      notesOf(bar, 'bass').filter(({ velocity, durationTicks }, index, all) => {
        const isPairBegun = index === all.length - 2 && durationTicks === 2520 && all.at(-1)?.durationTicks === 2520
        return velocity > 40 && !isPairBegun
      }),
    )

  it('four quarters a bar, no pitch struck twice running, least of all over a bar line', () => {
    for (const bars of lines) {
      const all = walked(bars).flat()
      expect(walked(bars).every((bar) => bar.length === 4)).toBe(true)
      expect(all.filter(({ midi }, index) => midi === all[index - 1]?.midi)).toEqual([])
      const leaps = all.map(({ midi }, index) => Math.abs(midi - (all[index - 1]?.midi ?? midi)))
      expect(Math.max(...leaps)).toBeLessThanOrEqual(12)
      expect(leaps.filter((leap) => leap > 7).length / leaps.length).toBeLessThan(0.04)
    }
  })

  it('a chord that begins on the last beat has its root there, never the fifth of a pair first', () => {
    const text = Array.from({ length: 16 }, (_, index) => `${index + 1} | Am7b5 D7b9@2 | C5:2 F#4:1`).join('\n')
    for (const seed of [1, 2, 3, 4]) {
      const bars = band(rows(text, { len: 3, key: 'G minor', feel: 'swing' }), groove('jazz-waltz'), QUARTET, 0.7, seed)
      for (const bar of bars.slice(0, -1)) {
        const onThree = notesOf(bar, 'bass').find(({ startTick }) => startTick === 10080)
        expect(mod(onThree?.midi ?? 0, 12)).toBe(2)
      }
    }
  })

  it('no perfect fifth under a half-diminished chord, not even on the way to the next', () => {
    const text = Array.from({ length: 16 }, (_, index) => `${index + 1} | Am7b5 D7b9@2 | C5:2 F#4:2`).join('\n')
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const bars = band(
        rows(text, { len: 4, key: 'G minor', feel: 'swing' }),
        groove('swing-medium'),
        QUARTET,
        0.5,
        seed,
      )
      for (const bar of bars.slice(0, -1))
        for (const { midi, startTick } of notesOf(bar, 'bass')) if (startTick < 10080) expect(mod(midi, 12)).not.toBe(4)
    }
  })

  it('the root on beat one of every new chord; beat three is a chord tone', () => {
    let strong = 0
    let chordTones = 0
    for (const bars of lines) {
      walked(bars).forEach((notes, index) => {
        const bar = bars[index] as ArrangedBar
        const first = bar.chords[0]?.chord ?? chord('N.C.')
        const before = bars[index - 1]?.chords.at(-1)?.chord
        if (before?.symbol !== first.symbol)
          expect(mod(notes[0]?.midi ?? 0, 12)).toBe(pitchClass(bassOf(first) as string))
        if (bar.chords.length !== 1) return
        strong++
        if (pitchClassesOf(first).includes(mod(notes[2]?.midi ?? 0, 12))) chordTones++
      })
    }
    expect(chordTones / strong).toBeGreaterThanOrEqual(0.95)
  })

  it('before a change the line leads on: half or whole step or fifth; 40 to 60 % by half step, no kind three times running', () => {
    let changes = 0
    let halfSteps = 0
    for (const bars of lines) {
      const kinds: number[] = []
      const notes = walked(bars)
      notes.forEach((bar, index) => {
        const next = notes[index + 1]?.[0]
        const last = bar.at(-1)
        const isChange = bars[index]?.chords.at(-1)?.chord.symbol !== bars[index + 1]?.chords[0]?.chord.symbol
        if (!next || !last || !isChange) return
        changes++
        const step = last.midi - next.midi
        if (Math.abs(step) === 1) halfSteps++
        kinds.push(step)
        expect(Math.abs(step)).toBeLessThanOrEqual(12)
      })
      const running = kinds.filter((kind, at) => at > 2 && [1, 2, 3].every((back) => kinds[at - back] === kind))
      expect(running.length).toBeLessThanOrEqual(1)
    }
    expect(halfSteps / changes).toBeGreaterThan(0.4)
    expect(halfSteps / changes).toBeLessThanOrEqual(0.6)
  })

  it('decorations come once in two bars at most, from level 3: a dead note before beat three, or fifth and approach on beat four', () => {
    let dead = 0
    let pairs = 0
    for (const bars of lines) {
      const ways = bars
        .slice(0, -1)
        .map((bar) => notesOf(bar, 'bass').filter(({ startTick }) => startTick % 5040 !== 0))
      ways.forEach((extra, index) => {
        expect(extra.length).toBeLessThanOrEqual(1)
        if (extra.length > 0) expect((index % 8) % 2).toBe(1)
        for (const { startTick, velocity } of extra) {
          expect([7560, 17640]).toContain(startTick)
          if (startTick === 7560) expect(velocity).toBeLessThan(40)
          if (startTick === 7560) dead++
          else pairs++
        }
      })
    }
    expect(dead).toBeGreaterThan(0)
    expect(pairs).toBeGreaterThan(0)
    const calm = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.3)
    expect(calm.flatMap((bar) => notesOf(bar, 'bass')).every(({ startTick }) => startTick % 5040 === 0)).toBe(true)
  })

  it('an even seven is decorated too: not above level 2 only in swing', () => {
    const seven = groove('seven-4-fast')
    const extra = (energy: number) =>
      [1, 2, 3]
        .flatMap((seed) => band(played(lanternSlip(), seven), seven, QUARTET, energy, seed).slice(0, -1))
        .flatMap((bar) => notesOf(bar, 'bass').filter(({ startTick }) => startTick % 5040 !== 0))
    expect(extra(0.3)).toEqual([])
    expect(extra(0.5).filter(({ velocity }) => velocity < 40).length).toBeGreaterThan(0)
    expect(extra(0.5).filter(({ velocity }) => velocity >= 40).length).toBeGreaterThan(0)
  })

  it('two-feel at levels 1 and 2 where the groove has it', () => {
    const bars = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.3)
    expect(notesOf(bars[0], 'bass').map(({ startTick }) => startTick)).toEqual([0, 10080])
    expect(notesOf(bars[1], 'bass').map(({ startTick }) => startTick)).toEqual([0, 10080, 15120])
  })
})

describe('[BA4] bass and chords', () => {
  it('half-diminished takes the flat fifth; sus has no third; a slash chord its bass', () => {
    const text =
      '1 | Am7b5 | r:4\n2 | Am7b5 | r:4\n3 | G7sus | r:4\n4 | G7sus | r:4\n5 | Bb/D | r:4\n6 | Bb/D | r:4\n7 | F6 | r:4'
    for (const id of ['bossa', 'shuffle', 'ballad-even', 'backbeat', 'samba', 'swing-medium']) {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: groove(id).feel }), groove(id), QUARTET, 0.5)
      const bass = (index: number) => notesOf(bars[index], 'bass').map(({ midi }) => mod(midi, 12))
      expect([...bass(0).slice(0, -1), ...bass(1).slice(0, -1)], id).not.toContain(4)
      expect(mod(notesOf(bars[2], 'bass').find(({ startTick }) => startTick === 0)?.midi ?? -1, 12), id).toBe(7)
      for (const index of [2, 3]) {
        const piano = notesOf(bars[index], 'piano').map(({ midi }) => mod(midi, 12))
        expect(piano.length, id).toBeGreaterThan(0)
        expect(piano, id).not.toContain(11)
      }
      expect(bass(4)[0], id).toBe(2)
    }
  })

  it('a declared pedal: only the pedal note, no approach inside', () => {
    const text = '1 | Fmaj7/C | r:4\n2 | Gm7/C | r:4\n3 | Am7/C | r:4\n4 | C7sus | r:4\n5 | F6 | A4:4\n6 | F6 | A4:4'
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any' && barTicks(metre) === 20160)) {
      const bars = band(rows(text, { len: 4, key: 'F major', feel: of.feel }), of, QUARTET, 0.5)
      for (const bar of bars.slice(0, 4))
        for (const note of notesOf(bar, 'bass')) {
          const isLastBeat = bar.barIndex === 3 && note.startTick >= 12600
          if (!isLastBeat) expect(mod(note.midi, 12), `${of.id} bar ${bar.barIndex}`).toBe(0)
        }
    }
  })

  it('where kick and bass agree, every kick meets a bass note', () => {
    for (const id of ['backbeat', 'bossa', 'samba', 'cha-cha', 'seven-4-even']) {
      for (const energy of [0.5, 0.7, 0.9]) {
        const bars = band(played(lanternSlip(), groove(id), 'chorus-1'), groove(id), QUARTET, energy)
        for (const bar of bars.slice(1, -1)) {
          const onsets = new Set(notesOf(bar, 'bass').map(({ startTick }) => startTick))
          const kicks = notesOf(bar, 'drums').filter(
            ({ name, velocity }) => name === 'kick' && velocity > groove(id).dyn - 15,
          )
          for (const { startTick } of kicks)
            expect(onsets.has(startTick), `${id} bar ${bar.barIndex} @${startTick}`).toBe(true)
        }
      }
    }
  })

  it('the tumbao ties over the bar line and leaves beat one alone', () => {
    const bars = band(played(lanternSlip(), groove('cha-cha')), groove('cha-cha'), QUARTET, 0.3)
    const second = notesOf(bars[1], 'bass')
    expect(notesOf(bars[0], 'bass').at(-1)?.tiedToNext).toBe(true)
    expect(second[0]?.startTick).toBe(0)
    expect(second[0]?.midi).toBe(notesOf(bars[0], 'bass').at(-1)?.midi)
    expect(second.map(({ startTick }) => startTick)).toEqual([0, 7560, 15120])
  })

  it('no leap of more than an octave in any row', () => {
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any')) {
      const notes = band(played(slackTide(), of, 'chorus-1'), of, QUARTET, 0.5).flatMap((bar) => notesOf(bar, 'bass'))
      notes.forEach(({ midi }, index) => {
        const leap = Math.abs(midi - (notes[index - 1]?.midi ?? midi))
        expect(leap, `${of.id} note ${index}`).toBeLessThanOrEqual(12)
      })
    }
  })

  it('without drums the bass is a level plainer; without bass the left hand plays roots', () => {
    const duo = [part('sax', 'tenor-sax', 'lead'), part('bass', 'double-bass', 'bass')]
    const bars = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), duo, 0.5)
    expect(notesOf(bars[0], 'bass')).toHaveLength(2)
    const noBass = [part('sax', 'tenor-sax', 'lead'), part('piano', 'piano', 'chords')]
    const alone = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), noBass, 0.5)
    const low = notesOf(alone[0], 'piano').filter(({ voice }) => voice === 2)
    expect(low.some(({ midi, startTick }) => startTick === 0 && mod(midi, 12) === 5)).toBe(true)
  })

  it('the fifth lies where it leads on: below on the way from F to D, above from G to C', () => {
    const even = groove('ballad-even')
    const bars = band(played(lanternSlip(), even, 'chorus-1'), even, QUARTET, 0.5)
    expect(notesOf(bars[0], 'bass').map(({ name }) => name)).toEqual(['F2', 'C2', 'C#2'])
    expect(notesOf(bars[2], 'bass').map(({ name }) => name)).toEqual(['G2', 'D3', 'Db3'])
  })

  it('lines in rows stay at home: they neither sink nor climb away in a hundred bars', () => {
    const isRow = ({ bass }: (typeof GROOVES)[number]) => !bass.one?.flat().some(({ degree }) => degree === 'w')
    for (const of of GROOVES.filter((each) => each.metre !== 'any' && isRow(each))) {
      const bars = band(played(lanternSlip(), of), of, QUARTET, 0.5)
      const roots = bars.map((bar) => notesOf(bar, 'bass').find(({ startTick }) => startTick === 0)?.midi ?? 40)
      const mean = roots.reduce((sum, midi) => sum + midi, 0) / roots.length
      expect(Math.max(...roots), of.id).toBeLessThanOrEqual(50)
      expect(mean, of.id).toBeGreaterThan(36)
      expect(mean, of.id).toBeLessThan(46)
    }
  })

  it('a root heard early is struck again a little softer, not as a ghost', () => {
    const bossa = groove('bossa')
    const [first, second] = band(played(lanternSlip(), bossa, 'chorus-1'), bossa, QUARTET, 0.5)
    expect(notesOf(first, 'bass').at(-1)?.name).toBe('D2')
    expect(notesOf(second, 'bass')[0]?.name).toBe('D2')
    const step = (notesOf(first, 'bass').at(-1)?.velocity ?? 0) - (notesOf(second, 'bass')[0]?.velocity ?? 0)
    expect(step).toBe(12)
  })

  it('two chords in a bar of samba and cha-cha have their own row', () => {
    const text = '1 | Dm7 G7 | r:4\n2 | Cmaj7 A7 | r:4\n3 | Dm7 G7 | r:4\n4 | C6 | r:4'
    const line = (id: string) =>
      notesOf(band(rows(text, { len: 4, key: 'C major', feel: groove(id).feel }), groove(id), QUARTET, 0.5)[0], 'bass')
    expect(line('samba').map(({ startTick }) => startTick / 1260)).toEqual([0, 3, 4, 7, 8, 11, 12, 15])
    expect(line('cha-cha').map(({ startTick }) => startTick / 2520)).toEqual([0, 3, 6])
    expect(mod(line('cha-cha')[1]?.midi ?? 0, 12)).toBe(7)
  })

  it('a pedal of two bars is one: its opening has no other note', () => {
    const bars = rows('1 | Bb7/F |\n2 | F7sus |\n3 | Bb7 | F4:4', { len: 4, key: 'Bb major', feel: 'swing' }).map(
      (bar, index) => (index < 2 ? { ...bar, provenance: { ...bar.provenance, rule: 'OP3' } } : bar),
    )
    for (const of of ['shuffle', 'swing-medium', 'bossa', 'ballad-even'])
      for (const bar of band(bars, groove(of), QUARTET, 0.5).slice(0, 2))
        expect(new Set(notesOf(bar, 'bass').map(({ midi }) => mod(midi, 12))), `${of}`).toEqual(new Set([5]))
  })

  it('a pedal lies where its lower octave is there too', () => {
    const text = '1 | Fmaj7/C | r:4\n2 | Gm7/C | r:4\n3 | Am7/C | r:4\n4 | C7sus | r:4\n5 | F6 | A4:4\n6 | F6 | A4:4'
    const bars = band(rows(text, { len: 4, key: 'F major', feel: 'swing' }), groove('swing-medium'), QUARTET, 0.5)
    expect(notesOf(bars[0], 'bass').map(({ name }) => name)).toEqual(['C3', 'C3', 'C2'])
    expect(notesOf(bars[2], 'bass').map(({ name }) => name)).toEqual(['C3', 'C3', 'C2'])
  })

  it('with a guitar alone the bass keeps the time: no plainer than with drums', () => {
    const duo = [part('guitar', 'guitar', 'chords'), part('bass', 'double-bass', 'bass')]
    const swing = groove('swing-medium')
    expect(notesOf(band(played(lanternSlip(), swing), swing, duo, 0.5)[0], 'bass')).toHaveLength(4)
  })
})

describe('[BA20] figures', () => {
  const shuffle = groove('shuffle')
  const pitches = (bar: ArrangedBar | undefined) => notesOf(bar, 'bass').map(({ midi }) => midi)

  it('two bars on one dominant in a shuffle are 1 3 5 6 and back 8 6 5 3; a minor chord keeps the row', () => {
    const text = (symbol: string) =>
      Array.from({ length: 8 }, (_, index) => `${index + 1} | ${symbol} | A4:2 r:2`).join('\n')
    const blues = band(rows(text('F7'), { len: 4, key: 'F major', feel: 'shuffle' }), shuffle, QUARTET, 0.5)
    const [up, down] = [pitches(blues[0]), pitches(blues[1])]
    expect(up.map((midi) => midi - (up[0] ?? 0))).toEqual([0, 4, 7, 9])
    expect(down.map((midi) => midi - (down[0] ?? 0))).toEqual([0, -3, -5, -8])
    const minor = band(rows(text('Fm7'), { len: 4, key: 'F minor', feel: 'shuffle' }), shuffle, QUARTET, 0.5)
    expect(pitches(minor[0]).map((midi) => midi - (pitches(minor[0])[0] ?? 0))).not.toContain(9)
  })

  it('rows that climb to third and fifth begin low enough for them: no leap of more than a sixth inside the bar', () => {
    for (const id of ['shuffle', 'street-beat'])
      for (const tune of TUNES) {
        if (tune.metre.beats !== 4) continue
        for (const bar of band(played(tune, groove(id), 'chorus-1'), groove(id), QUARTET, 0.5).slice(0, -1)) {
          const line = pitches(bar)
          if (bar.chords.length !== 1) continue
          line
            .slice(1, 3)
            .forEach((midi, at) =>
              expect(
                Math.abs(midi - (line[at] ?? 0)),
                `${id} ${tune.title} ${bar.barIndex} ${bar.chords[0]?.chord.symbol} ${line.join()}`,
              ).toBeLessThanOrEqual(9),
            )
        }
      }
  })
})

describe('[BA17] without drums', () => {
  const TRIO = [
    part('trumpet', 'trumpet', 'lead'),
    part('piano', 'piano', 'chords'),
    part('bass', 'double-bass', 'bass'),
  ]

  it('where a fill would stand the bass leads in with two eighths, by half step at the end', () => {
    let pickups = 0
    for (const id of ['swing-medium', 'ballad-even', 'backbeat', 'jazz-waltz']) {
      const bars = band(played(lanternSlip(), groove(id), 'chorus-1', 'solo-1'), groove(id), TRIO, 0.7)
      bars.forEach((bar, index) => {
        const next = bars[index + 1]
        const [last, first] = [notesOf(bar, 'bass').at(-1), notesOf(next, 'bass')[0]]
        const isPair = last?.durationTicks === 2520 && notesOf(bar, 'bass').at(-2)?.durationTicks === 2520
        if (!isPair || next?.sectionId === bar.sectionId || !last || !first) return
        pickups++
        expect(Math.abs(last.midi - first.midi), `${id} ${index}`).toBe(1)
      })
      const drummed = band(
        played(lanternSlip(), groove(id), 'chorus-1'),
        groove(id),
        [...TRIO, part('drums', 'drum-kit', 'drums')],
        0.7,
      )
      if (id === 'ballad-even') expect(notesOf(drummed[7], 'bass').at(-2)?.durationTicks).not.toBe(2520)
    }
    expect(pickups).toBeGreaterThan(8)
  })

  it('the first cell keeps the time', () => {
    const bars = band(played(lanternSlip(), groove('bossa'), 'solo-1'), groove('bossa'), TRIO, 0.7)
    const strokes = bars
      .slice(0, 6)
      .map((bar) => [...new Set(notesOf(bar, 'piano').map(({ startTick }) => startTick / 2520))])
    strokes.forEach((own, index) => expect(own).toEqual(index % 2 === 0 ? [0, 3, 6] : [2, 5]))
  })
})
