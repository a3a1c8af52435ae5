import { describe, expect, it } from 'vitest'
import { passesOf } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { chord } from '../chords/index.js'
import { keySignatureOf, must, pitchClass, seeded, tonicOf } from '../units/index.js'
import { fitLine, lineNotes, type LineRequest, type LineSlot, notesBetween } from './index.js'
import { type Candidate, keyPitchClasses, melodyCost, moveCost, QUALITIES, worstFit } from './qualities.js'

const BAR = 20160
const lastA = passesOf(lanternSlip(), 'chorus-1').slice(24)
const key = keySignatureOf('F major')
const line = (...roots: string[]): LineRequest => ({
  key,
  notes: lineNotes(lastA),
  beatTicks: 5040,
  slots: roots.map((root, bar): LineSlot => ({ startTick: bar * BAR, endTick: (bar + 1) * BAR, roots: [{ root }] })),
})

describe('the free root line of the worked examples', () => {
  const fitted = fitLine(line('Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'Bb', 'F'))
  const slots = fitted.ok ? fitted.slots : []
  it('[FI6] chosen, runner-up and why, bar by bar', () => {
    expect(slots.map(({ chord: each }) => each.symbol)).toEqual(
      ['Bbmaj7', 'Eb13', 'Ab7b9#11', 'Db7#9#11', 'Gb7#11b13', 'Bm7b5', 'Bbm6', 'F6'].map((text) => chord(text).symbol),
    )
    expect(slots[0]?.why).toBe('A is 7, F is 5, G is 13; every note of it is in F major')
    expect(slots[1]?.why).toContain('the root falls a fifth to A♭, so a dominant')
    expect(slots[5]?.why).toContain('♯iv goes to iv by a half step')
    // Worked examples 4.10, column runner-up; bar 27's is one that the ♭9 refuses.
    const runners = slots.map(({ runnerUp }) => runnerUp?.chord.symbol)
    expect(runners[3]).toBe('C#m7b5')
    expect(runners[4]).toBe(chord('Gbmaj7#5').symbol)
    expect(runners[5]).toBe(chord('B7b13').symbol)
    expect(runners[7]).toBe(chord('Fmaj7').symbol)
    expect(slots[2]?.runnerUp?.refused).toBe(true)
    expect(slots.map(({ runnerUp }) => runnerUp?.lost)).toEqual([
      'D is in the key, D♭ is not',
      'the root falls a fifth to A♭, so a dominant',
      slots[2]?.runnerUp?.why,
      'the root falls a fifth to G♭, so a dominant',
      'the root falls a fifth to B, so a dominant',
      'E would be a soft 11 there',
      'the minor iv falls home: ♭6 goes to 5',
      'no seventh a half step under the held F',
    ])
    expect(slots[2]?.runnerUp?.why).toMatch(/^[A-G]♭? would be its /)
  })
  it('[FI7] the next root comes early where one quality cannot carry the bar', () => {
    const stuck = fitLine(line('Gb', 'Eb'))
    expect(stuck).toEqual({ ok: false, slotIndex: 0, why: 'no chord on G♭ carries A, F and G' })
    const early = fitLine({ ...line('Gb', 'Eb'), mayAnticipate: true })
    expect(early.ok && early.slots.map(({ startTick, isEarly }) => [startTick, isEarly === true])).toEqual([
      [0, false],
      [BAR - 5040, true],
    ])
  })
})

/** The least cost by trying every line: the independent answer. */
function exhaustive(request: LineRequest): number {
  const tonicPc = pitchClass(tonicOf(request.key.key))
  const keyPcs = keyPitchClasses(request.key)
  const options = request.slots.map(({ startTick, endTick, roots }) => {
    const notes = notesBetween(request.notes, startTick, endTick)
    return roots.flatMap(({ root, points = 0 }) =>
      QUALITIES.filter(({ id }) => id !== '')
        .map((quality): Candidate => ({
          root,
          rootPc: pitchClass(root),
          family: quality.family,
          tones: quality.tones,
          quality,
        }))
        .filter((candidate) => worstFit(candidate, notes).fit !== 'hard')
        .map((candidate) => ({
          candidate,
          own:
            melodyCost(candidate, notes, { key: request.key, keyPcs, tonicPc, beatTicks: request.beatTicks, keep: 0 }) -
            points,
        })),
    )
  })
  const search = (slot: number, previous: Candidate | undefined): number => {
    const here = options[slot]
    if (!here) return 0
    return Math.min(
      ...here.map(
        ({ candidate, own }) =>
          own + (previous ? moveCost(previous, candidate, tonicPc) : 0) + search(slot + 1, candidate),
      ),
    )
  }
  return search(0, undefined)
}

describe('exactness', () => {
  it('[FI5] equal to exhaustive search on short lines with several roots', () => {
    const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
    let compared = 0
    for (let seed = 1; seed <= 40; seed++) {
      const draw = seeded(seed)
      const start = draw(5)
      const slots = Array.from({ length: 3 }, (_, index): LineSlot => ({
        startTick: (start + index) * BAR,
        endTick: (start + index + 1) * BAR,
        roots: Array.from({ length: 2 }, () => ({ root: must(roots[draw(12)], 'a root'), points: draw(5) })),
      }))
      const request = { ...line(), slots }
      const fitted = fitLine(request)
      if (!fitted.ok) {
        expect(exhaustive(request), `seed ${seed}`).toBe(Infinity)
        continue
      }
      compared++
      expect(fitted.cost, `seed ${seed}`).toBe(exhaustive(request))
    }
    expect(compared).toBeGreaterThan(20)
  })
})
