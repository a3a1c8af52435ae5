/** ABC against abcjs, an independent reader: what we read and what we write sounds the same to both. Section numbers: the ABC music standard 2.1. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import fc from 'fast-check'
import { type Tune, readTune, writeAbc } from '@chartloft/shared-theory'
import { soundOfAbcjs, soundOfTune } from '../fixtures/abc-sound.js'
import { arrangementOfTune } from '../fixtures/plain-arrangement.js'

interface Snippet {
  readonly section: string
  readonly what: string
  readonly abc: string
}

const tune = (body: string, head = 'M:4/4\nL:1/8\nK:C'): string => `X:1\nT:Snippet\n${head}\n${body}\n`

const SNIPPETS: readonly Snippet[] = [
  { section: '4.1', what: 'octave marks up and down', abc: tune("C,, D, E F | g a' b'' C,4 x |") },
  {
    section: '4.2',
    what: 'accidentals last to the bar line',
    abc: tune('^F F _B B F B F B | F B ^^C __E F B C E | =F2 C2 E2 z2 |'),
  },
  {
    section: '3.1.14',
    what: 'an accidental cancels the key',
    abc: tune('F =F F2 c ^c c2 | F2 c2 F4 |', 'M:4/4\nL:1/8\nK:D'),
  },
  { section: '4.3', what: 'lengths', abc: tune('A4 A3 A | A/ A/ A// A// A// A// A3/2 A/ A4 | A8 |') },
  { section: '4.3', what: 'written fractions', abc: tune('A1/2 A1/2 A3/4 A1/4 A6/4 A/2 A2 z2 | A7/2 A/2 A4 |') },
  { section: '4.4', what: 'broken rhythm', abc: tune('A>B c<d e>>f g<<a | A2>B2 c2<d2 |') },
  { section: '4.4', what: 'broken rhythm with a rest', abc: tune('A>z z<d e2 f2 | A8 |') },
  { section: '4.5', what: 'rests, visible and not', abc: tune('z2 A2 x2 B2 | z4 c4 |') },
  { section: '4.5', what: 'bars of rest', abc: tune('A8 | Z2 | B8 |') },
  { section: '4.8', what: 'repeat', abc: tune('|: A2 B2 c2 d2 :| e8 |]') },
  { section: '4.8', what: 'repeat from the beginning', abc: tune('A2 B2 c2 d2 :| e8 |]') },
  { section: '4.8', what: 'two repeats in one sign', abc: tune('|: A2 B2 c2 d2 :: e2 f2 g2 a2 :|') },
  { section: '4.9', what: 'first and second ending', abc: tune('|: A2 B2 c4 |1 d8 :|2 e8 |]') },
  { section: '4.9', what: 'endings in brackets', abc: tune('|: A8 | B8 | [1 c8 :| [2 d8 || e8 |]') },
  { section: '4.11', what: 'tie in a bar and over a bar line', abc: tune('A2-A2 B4- | B2 c2- c4 |') },
  { section: '4.11', what: 'tie keeps an accidental over the bar line', abc: tune('A4 ^F4- | F4 G4 |') },
  { section: '4.11', what: 'slurs are no ties', abc: tune('(A2 A2) (B2 c2) | (d4 (e4)) |') },
  { section: '4.13', what: 'triplet', abc: tune('(3ABc d2 (3e2f2g2 | (3zBc d2 e4 |') },
  { section: '4.13', what: 'duplet in 6/8', abc: tune('(2AB c3 | d3 (2ef |', 'M:6/8\nL:1/8\nK:C') },
  { section: '4.13', what: 'quadruplet in 6/8', abc: tune('(4ABcd e3 | f3 g3 |', 'M:6/8\nL:1/8\nK:C') },
  { section: '4.13', what: 'general tuplet', abc: tune('(3:2:2A2B c2 d4 | (5:4:5ABcde f4 |') },
  {
    section: '4.14',
    what: 'decorations make no sound',
    abc: tune('!accent!A2 .B2 !tenuto!c2 !fermata!d2 | uA2 vB2 !>!c2 Hd2 |'),
  },
  { section: '4.18', what: 'chord symbols', abc: tune('"Am7"A2 B2 "D7b9"c4 | "Gmaj7"d8 |') },
  { section: '4.19', what: 'annotations', abc: tune('"^slowly"A2 "_mp"B2 "<("c2 ">)"d2 | "@1,2 free"e8 |') },
  { section: '3.1.6', what: 'common and cut time', abc: tune('A2 B2 c2 d2 | [M:C|] e4 f4 |', 'M:C\nL:1/8\nK:C') },
  { section: '3.1.6', what: 'metre change', abc: tune('A2 B2 c2 d2 | [M:3/4] e2 f2 g2 | a6 |') },
  { section: '3.1.7', what: 'note length from the metre', abc: tune('ABcd efga | a8 |', 'M:4/4\nK:C') },
  { section: '3.1.7', what: 'sixteenths in small metres', abc: tune('ABcd efga | a8 |', 'M:2/4\nK:C') },
  { section: '3.1.7', what: 'note length changes', abc: tune('A2 B2 c2 d2 | [L:1/4] e f g a |') },
  {
    section: '3.1.14',
    what: 'modes',
    abc: tune('A B c d e f g a | [K:Ddor] F4 B4 | [K:A mix] c4 g4 | [K:Ephr] f4 c4 | [K:Flyd] B4 e4 |'),
  },
  { section: '3.1.14', what: 'minor and flats', abc: tune('A B c d e f g a | [K:Cm] A4 e4 |', 'M:4/4\nL:1/8\nK:Bb') },
  {
    section: '3.1.14',
    what: 'accidentals of the key field',
    abc: tune('A B c d e f g a | f8 |', 'M:4/4\nL:1/8\nK:D Phr ^f'),
  },
  { section: '3.2', what: 'key on a line of its own', abc: tune('F2 B2 c4 |\nK:F\nF2 B2 c4 |') },
  { section: '2.2.6', what: 'continued line', abc: tune('A2 B2 \\\nc2 d2 | e8 |') },
  { section: '2.2.5', what: 'remarks', abc: tune('A2 B2 c2 d2 | % a remark with notes: ABC\ne8 |') },
  { section: '5.1', what: 'words under notes', abc: tune('A2 B2 c2 d2 | e8 |\nw: one two_ three- four') },
]

describe('[RD22] the reader and abcjs hear the same', () => {
  for (const { section, what, abc } of SNIPPETS)
    it(`${section} ${what}`, () => {
      const ours = readTune('abc', abc)
      if (!ours.ok) throw new Error(ours.issues[0]?.message)
      expect(soundOfTune(ours.value)).toEqual(soundOfAbcjs(abc))
    })
  for (const { title, abc } of DEMO_TUNES)
    it(title, () => {
      const ours = readTune('abc', abc)
      expect(ours.ok && soundOfTune(ours.value)).toEqual(soundOfAbcjs(abc))
    })
})

/** Printed content, bar by bar; a note tied inside its bar is one note. */
function printed(tune: Tune): unknown {
  return {
    key: tune.key,
    metre: tune.metre,
    pickupTicks: tune.pickupTicks,
    sections: tune.sections.map(({ id, startBar, bars }) => [id, startBar, bars]),
    sound: soundOfTune(tune),
    names: tune.bars.map((bar) => [...new Set(bar.melody.map((note) => note.name))]),
    bars: tune.bars.map((bar) => [bar.metre, bar.key, bar.lengthTicks]),
    chords: arrangementOfTune(tune).bars.map((bar) =>
      bar.chords.map((one) => [one.startTick, one.durationTicks, one.chord]),
    ),
  }
}

describe('[WA1] what we write as ABC', () => {
  for (const { title, abc } of DEMO_TUNES) {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    const text = writeAbc(arrangementOfTune(read.value))
    it(`${title} reads back to the same printed content`, () => {
      const again = readTune('abc', text)
      expect(again.ok ? (again.issues ?? []) : again.issues).toEqual([])
      expect(again.ok && printed(again.value)).toEqual(printed(read.value))
    })
    it(`${title} sounds the same to abcjs`, () => {
      expect(soundOfAbcjs(text)).toEqual(soundOfTune(read.value))
    })
  }

  it('[WA2] any melody of halves, triplets, ties, accidentals, key and metre changes comes back (fast-check prints its seed)', () => {
    const length = fc.constantFrom('', '2', '3/2', '/2', '3', '4', '7/2')
    const pitch = fc.constantFrom('C', 'D', '^F', '_B', 'c', '_e', '=f', 'g', "a'", 'B,', '__A', '^^c')
    const chord = fc.constantFrom('', '', '"Cmaj7"', '"F#m7b5"', '"Bb13"', '"Ebm6/Gb"')
    const atom = fc.tuple(chord, pitch, length).map((one) => one.join(''))
    const triplet = fc.tuple(pitch, pitch, pitch).map((one) => `(3${one.join('')}`)
    const bar = fc
      .array(fc.oneof({ weight: 5, arbitrary: atom }, { weight: 1, arbitrary: triplet }, fc.constant('z2')), {
        minLength: 1,
        maxLength: 6,
      })
      .map((atoms) => `${atoms.join(' ')} |`)
    const change = fc.constantFrom('', '', '[K:Db] ', '[K:Em] ', '[M:3/4] ', '[M:7/8] ')
    const body = fc.array(
      fc.tuple(change, bar).map((one) => one.join('')),
      { minLength: 2, maxLength: 8 },
    )
    fc.assert(
      fc.property(body, (bars) => {
        const read = readTune('abc', tune(`C8 | ${bars.join(' ')} C8 |]`, 'M:4/4\nL:1/8\nK:G'))
        if (!read.ok) return
        const again = readTune('abc', writeAbc(arrangementOfTune(read.value)))
        expect(again.ok && printed(again.value)).toEqual(printed(read.value))
      }),
      { numRuns: 300 },
    )
  })
})
