/** A bar's melody as text that somebody edits: written and read back it is the same bar, whatever tune it stands in. */
import { describe, expect, it } from 'vitest'
import { melodyText, mendTune, readTune, type Tune } from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

const MADE = process.env['LONG'] === '1' ? 400 : 60

/** Bars that do not come back as they were. */
function changed(tune: Tune): string[] {
  return tune.bars.flatMap((bar, index) => {
    const text = melodyText(bar)
    const made = mendTune(tune, { kind: 'notes', bars: [index], text })
    if (!made.ok) return [`${tune.title}, bar ${index}: ${text}: ${made.issues[0]?.message}`]
    return JSON.stringify(inOrder(made.value)) === JSON.stringify(inOrder(tune))
      ? []
      : [`${tune.title}, bar ${index}: ${text}`]
  })
}
/** Melodies alone, fields in one order; notes that are finer than a notehead may come back in tied pieces. */
const inOrder = (tune: Tune) =>
  tune.bars.map(({ melody }) => {
    const joined: { from: number; to: number; name: string; lyric: string; grace: string; tied: boolean }[] = []
    for (const note of melody) {
      const last = joined.at(-1)
      const to = note.startTick + note.durationTicks
      const tied = note.tiedToNext === true
      if (last?.tied && last.to === note.startTick && last.name === note.name) Object.assign(last, { to, tied })
      else
        joined.push({
          from: note.startTick,
          to,
          name: note.name,
          lyric: note.lyric ?? '',
          grace: note.grace?.join(' ') ?? '',
          tied,
        })
    }
    return joined
  })

describe('[RD48] the notes of a bar, as text and back', () => {
  it('every bar of the traditional tunes', () => {
    const tunes = TRADITIONAL_TUNES.map(({ abc }) => readTune('abc', abc))
    expect(tunes.length).toBeGreaterThanOrEqual(60)
    expect(tunes.flatMap((read) => (read.ok ? changed(read.value) : ['unread']))).toEqual([])
  })
  it('tuplets, grace notes, ties, accidentals that hold and are taken back, words', () => {
    const read = readTune(
      'abc',
      'X:1\nM:4/4\nL:1/8\nK:Eb\n(3cde (3fga b2 z2 | (5:4:5cdefg {a}b2 ^c2- | c2 _c2 =c2 c2 | z3/2 c/ c>d (3e2f2g2 |]\nw: one two three\n',
    )
    if (!read.ok) throw new Error('unread')
    expect(read.value.bars.map((bar) => melodyText(bar))).toEqual([
      '(3c d e (3f g a b2 z2',
      '(5:4:5c d e f g {a}b2 ^c2-',
      '^c2 _c2 =c2 c2',
      'z3/2 c/2 c3/2 d/2 (3e2 f2 g2',
    ])
    expect(changed(read.value)).toEqual([])
  })
  it(`every bar of ${MADE} made tunes, in many keys and metres`, () => {
    expect(Array.from({ length: MADE }, (_, seed) => changed(madeTune(seed + 1))).flat()).toEqual([])
  })
})
