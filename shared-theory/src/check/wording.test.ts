import { describe, expect, it } from 'vitest'
import type { ArrangedBar, Arrangement, FoldedScore, PartNote, Plan } from '../contract/index.js'
import { chord } from '../chords/index.js'
import { compile, defaultPlan } from '../compile/index.js'
import { LINEUPS } from '../instruments/index.js'
import { proposeOptions } from '../propose/index.js'
import { fold } from '../roadmap/index.js'
import { keySignatureOf, must } from '../units/index.js'
import { writeMusicXml } from '../write/index.js'
import { lanternArrangement, lanternTune } from '../../../tests/fixtures/lantern-band.js'
import { validate } from './index.js'

const QUARTER = 5040

const withBar = (music: Arrangement, number: number, change: (bar: ArrangedBar) => ArrangedBar): Arrangement => ({
  ...music,
  bars: music.bars.map((bar, index) => (index === number - 1 ? change(bar) : bar)),
})

const whole = (name: string, midi: number, startQuarter = 0, quarters = 4): PartNote => ({
  startTick: startQuarter * QUARTER,
  durationTicks: quarters * QUARTER,
  midi,
  name,
  velocity: 70,
})

const messages = (music: Arrangement, context: Parameters<typeof validate>[1] = {}): readonly string[] =>
  validate(music, context)
    .filter(({ severity }) => severity !== 'note')
    .map(({ message }) => message)

const withChord = (music: Arrangement, number: number, symbol: string): Arrangement =>
  withBar(music, number, (bar) => ({
    ...bar,
    chords: [{ startTick: 0, durationTicks: bar.lengthTicks, chord: chord(symbol) }],
  }))

describe('[VA3] chord symbols by their letters', () => {
  it('a root named against the key', () => {
    expect(messages(withChord(lanternArrangement(), 17, 'A#maj7'))).toEqual([
      'Bar 17: A♯∆ in the key of F is B♭∆; write it so.',
    ])
  })
  it("a slash bass named against the chord's own tone", () => {
    expect(messages(withChord(lanternArrangement(), 20, 'D7/Gb'))).toEqual([
      "Bar 20: the bass of D7/G♭ is the chord's F♯; write /F♯.",
    ])
  })
  it('a name with a reason is no fault: the half step above, a passing diminished chord, a plain letter', () => {
    expect(messages(withChord(lanternArrangement(), 30, 'Gb7alt'))).toEqual([])
    expect(messages(withChord(lanternArrangement(), 28, 'Abdim7'))).toEqual([])
  })
  it('nor is one that leads into another key by its letters: a fifth down, a half step off a sharp, its own root there', () => {
    const flats = lanternArrangement()
    const own = (music: Arrangement): readonly string[] =>
      validate(music)
        .filter(({ code, path }) => code === 'VA3' && path.includes('/chords/'))
        .map(({ message }) => message)
    const two = (first: string, second: string): Arrangement => withChord(withChord(flats, 29, first), 30, second)
    const ahead = (music: Arrangement, key: string): Arrangement =>
      withBar(music, 30, (bar) => ({ ...bar, key: keySignatureOf(key) }))
    const fault = 'Bar 29: A♯m7 in the key of F is B♭m7; write it so.'
    expect(own(two('A#m7', 'D#7'))).toEqual([fault])
    expect(own(two('A#m7', 'A7'))).toEqual([fault])
    expect(own(ahead(two('A#m7', 'G7'), 'G major'))).toEqual([fault])
    expect(own(ahead(two('A#m7', 'D#7'), 'E major'))).toEqual([])
    expect(own(ahead(two('A#m7', 'A7'), 'D major'))).toEqual([])
    expect(own(ahead(two('A#m7', 'G7'), 'B major'))).toEqual([])
    expect(own(ahead(two('A#m7', 'Eb7'), 'B major'))).toEqual([fault])
  })
  it('nor a slash bass that is a pedal under several chords', () => {
    const pedal = withChord(withChord(lanternArrangement(), 29, 'Db/Eb'), 30, 'Emaj7/Eb')
    expect(messages(pedal).filter((text) => text.includes('bass'))).toEqual([])
    const alone = withChord(lanternArrangement(), 30, 'Emaj7/Eb')
    expect(messages(alone).filter((text) => text.includes('bass'))).toEqual([
      "Bar 30: the bass of E∆/E♭ is the chord's D♯; write /D♯.",
    ])
  })
})

describe('[VA9] the alto part of bar 29', () => {
  const held = withBar(lanternArrangement(), 29, (bar) => ({
    ...bar,
    parts: { ...bar.parts, alto: [whole('F4', 65)] },
  }))
  const music = withBar(held, 30, (bar) => ({ ...bar, parts: { ...bar.parts, alto: [whole('E4', 64)] } }))
  const file = writeMusicXml(music, { part: 'alto' })
  it('is right as it is written', () => {
    expect(messages(music, { written: { alto: file } })).toEqual([])
  })
  it('written C5 where F4 must sound', () => {
    const wrong = file.replace(/<step>D<\/step>(\s*)<octave>5/, '<step>C</step>$1<octave>5')
    expect(messages(music, { written: { alto: wrong } })).toEqual([
      'Bar 29, alto sax: written C5 sounds E♭4, but F4 is meant; write D5.',
    ])
  })
  it('left out, and under another key signature', () => {
    const empty = file.replace(/<pitch>\s*<step>D<\/step>\s*<octave>5<\/octave>\s*<\/pitch>/, '<rest/>')
    expect(messages(music, { written: { alto: empty } })).toEqual([
      'Bar 29, alto sax: F4 is meant, but nothing is written there; write D5.',
    ])
    const key = file.replace(/<fifths>2</, '<fifths>-1<')
    expect(messages(music, { written: { alto: key } })).toEqual([
      'Bar 1, alto sax: the key signature is written for F, but D is meant; change it.',
    ])
  })
  it('a part that rests all through stands in its key too', () => {
    const rest = writeMusicXml(lanternArrangement(), { part: 'alto' })
    expect(messages(lanternArrangement(), { written: { alto: rest } })).toEqual([])
    const key = rest.replace(/<fifths>2</, '<fifths>-1<')
    expect(messages(lanternArrangement(), { written: { alto: key } })).toEqual([
      'Bar 1, alto sax: the key signature is written for F, but D is meant; change it.',
    ])
  })
})

describe('[VA10] voices', () => {
  it('two notes of one line begin together', () => {
    const double = withBar(lanternArrangement(), 9, (bar) => ({
      ...bar,
      parts: { ...bar.parts, alto: [whole('A4', 69), whole('C5', 72)] },
    }))
    expect(messages(double)).toEqual(['Bar 9, alto sax: A4 and C5 begin together in one line; keep one of them.'])
  })
  it('a key struck while it is held', () => {
    const again = withBar(lanternArrangement(), 9, (bar) => ({
      ...bar,
      parts: { ...bar.parts, piano: [whole('A3', 57), whole('E4', 64), whole('E4', 64, 2, 2)] },
    }))
    expect(messages(again)).toEqual(['Bar 9, piano: E4 is struck again while it still sounds; shorten it.'])
  })
})

describe('[VA11] what a written bar is kept for', () => {
  const music = lanternArrangement()
  const folded = fold(music)
  const withPlayings = (change: (playings: readonly { barIndex: number }[]) => readonly { barIndex: number }[]) => ({
    ...folded,
    bars: folded.bars.map((bar, index) => (index === 2 ? { ...bar, playings: change(bar.playings) } : bar)),
  })
  const wrong = (score: FoldedScore): readonly string[] => messages(music, { folded: score })
  it('a playing missing, a playing of another bar', () => {
    const count = folded.bars[2]?.playings.length === 1 ? 'once' : 'twice'
    expect(wrong(withPlayings(() => []))).toEqual([
      `Written bar 3 is played ${count}, but no playing is kept for it; fold the score again.`,
    ])
    expect(wrong(withPlayings((own) => own.map(({ barIndex }) => ({ barIndex: barIndex + 1 }))))).toEqual([
      'Written bar 3 is kept for other bars than it is played as; fold the score again.',
    ])
  })
})

describe('[VA4] [VA5] a lifted arrangement against its own plan', () => {
  const tune = lanternTune()
  const base: Plan = { ...defaultPlan(tune), lineup: must(LINEUPS['quintet'], 'the quintet') }
  const option = must(
    proposeOptions(tune, 'lift', base).find(
      ({ recipe, params }) => recipe === 'sus-dominant' && params['semitones'] === 2,
    ),
    'a lift of two',
  )
  const plan: Plan = { ...base, chosen: [{ kind: 'lift', option }] }
  const lifted = compile(plan).arrangement
  const flat = compile(base).arrangement
  const first = lifted.bars.findIndex((bar, index) => bar.key.key !== flat.bars[index]?.key.key)
  it('is clean', () => {
    expect(messages(lifted, { plan })).toEqual([])
  })
  it('names the bar before, prepared otherwise', () => {
    const found = messages(withChord(lifted, first, 'Db7'), { plan })
    expect(found).toContain(`Bar ${first} should lead to C∆ (key of G) with G7sus, but D♭7 is still there.`)
  })
  it('names one bar of one part left in the old key, though each note suits the new chord too', () => {
    const missed: number[] = []
    for (let index = first; index < lifted.bars.length; index += 2) {
      const old = flat.bars[index]?.parts['tenor-sax'] ?? []
      const now = lifted.bars[index]?.parts['tenor-sax'] ?? []
      if (old.length === 0 || JSON.stringify(old) === JSON.stringify(now)) continue
      const faulty = withBar(lifted, index + 1, (bar) => ({ ...bar, parts: { ...bar.parts, 'tenor-sax': old } }))
      const text = `From bar ${index + 1} the tenor sax still plays in F; the rest of the band is in G.`
      if (!messages(faulty, { plan }).includes(text)) missed.push(index + 1)
    }
    expect(missed).toEqual([])
  }, 30_000)
})
