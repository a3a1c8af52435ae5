import { describe, expect, it } from 'vitest'
import { readTune } from '../index.js'

const note = (step: string, duration: number, more = ''): string =>
  `<note><pitch><step>${step}</step><octave>5</octave></pitch><duration>${duration}</duration>${more}</note>`
const ATTRIBUTES =
  '<attributes><divisions>2</divisions><key><fifths>0</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>'
const bar = (number: number, inner: string): string => `<measure number="${number}">${inner}</measure>`
const score = (measures: string, head = ''): string =>
  `<score-partwise>${head}<part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${measures}</part></score-partwise>`
const chord = (root: string, more = ''): string =>
  `<harmony${more}><root><root-step>${root}</root-step></root><kind>major</kind></harmony>`

function read(xml: string) {
  const result = readTune('musicxml', xml)
  if (!result.ok) throw new Error(result.issues[0]?.message)
  return {
    tune: result.value,
    told: (result.issues ?? []).filter(({ code }) => code !== 'RD16').map(({ message }) => message),
  }
}
const told = (inner: string): readonly string[] => read(score(bar(1, ATTRIBUTES + inner))).told
const words = (text: string): string => `<direction><direction-type><words>${text}</words></direction-type></direction>`

describe('[RD9] what a score holds and a tune cannot', () => {
  it('marks for playing, by kind, with the bar and how often', () => {
    const staccato = '<notations><articulations><staccato/></articulations></notations>'
    const { told: messages } = read(
      score(
        bar(1, ATTRIBUTES + note('C', 4, '<notations><slur type="start"/></notations>') + note('D', 4, staccato)) +
          bar(
            2,
            note('C', 4, staccato) + note('E', 4, '<notations><ornaments><tremolo>3</tremolo></ornaments></notations>'),
          ),
      ),
    )
    expect(messages).toEqual([
      'Bar 1: marks for playing have no place in a tune; the arrangement brings its own. Left out: slurs (bar 1), staccato (bar 1, 2 places), tremolos (bar 2).',
    ])
  })
  it('words that name neither section, tempo nor way', () => {
    expect(told(words('Slow swing') + words('D.C. al Fine') + words('Verse 1') + note('C', 8))).toEqual([
      "Bar 1: words that name no chord, section, tempo or way through the piece are left out: 'Slow swing' (bar 1).",
    ])
  })
  it('figured bass, percussion clef, chord diagrams, swing, an element nobody knows', () => {
    const [message] = told(
      '<figured-bass><figure/></figured-bass><attributes><clef><sign>percussion</sign></clef></attributes><sound><swing/></sound><glow/>' +
        chord('C').replace('</harmony>', '<frame/></harmony>') +
        note('C', 8),
    )
    for (const what of ['figured bass', 'percussion clef', 'chord diagrams', 'swing', '<glow>'])
      expect(message).toContain(what)
  })
  it('grace notes with nothing after them, a note of no length, an alternate chord, a tempo that is only a ratio', () => {
    const grace = '<note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>'
    const all = told(
      '<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit></metronome></direction-type></direction>' +
        chord('F') +
        chord('G', ' type="alternate"') +
        note('C', 0) +
        note('C', 8) +
        grace,
    ).join(' ')
    expect(all).toContain('metronome marks without a number')
    expect(all).toContain('alternate chords')
    expect(all).toContain('grace notes after the last note')
    expect(all).toContain('a note of no length was left out')
  })
  it('names at the head', () => {
    const head =
      '<work><work-title>One</work-title></work><movement-title>Two</movement-title><identification><creator type="lyricist">Somebody</creator></identification>'
    expect(read(score(bar(1, ATTRIBUTES + note('C', 8)), head)).told).toEqual([
      "At the head, left out since a tune has no place for it: lyricist 'Somebody', the movement's title 'Two'.",
    ])
  })
})

describe('[RD5] chords that share a place', () => {
  it('the later is read and that is told; one behind the bar is left out', () => {
    expect(told(chord('C') + chord('F') + note('C', 8))).toEqual([
      'Bar 1 (line 1): of C and F in one place the later was read.',
    ])
    const { tune, told: messages } = read(
      score(bar(1, ATTRIBUTES + chord('C') + note('C', 8) + chord('G')) + bar(2, note('C', 8))),
    )
    expect(messages).toEqual(['Bar 1 (line 1): G stands behind the end of the bar and was left out.'])
    expect(tune.bars[0]?.chords.map((one) => one.chord.symbol)).toEqual(['C'])
  })
})

describe('[RD25] where signs stand', () => {
  it('a key behind the last note begins with the next bar; inside a bar it is taken for the whole, and told', () => {
    const key = '<attributes><key><fifths>2</fifths><mode>major</mode></key></attributes>'
    const behind = read(score(bar(1, ATTRIBUTES + note('C', 8) + key) + bar(2, note('D', 8))))
    expect([behind.tune.bars.map((one) => one.key.fifths), behind.told]).toEqual([[0, 2], []])
    const inside = read(score(bar(1, ATTRIBUTES + note('C', 4) + key + note('D', 4))))
    expect(inside.told).toEqual(['Bar 1 (line 1): the key changes inside the bar; it is taken for the whole bar.'])
  })
  it('syllables under one note are joined; a second verse and free time are told', () => {
    const verses =
      '<lyric number="1"><text>o</text><elision/><text>ver</text></lyric><lyric number="2"><text>x</text></lyric>'
    const { tune, told: messages } = read(score(bar(1, ATTRIBUTES + note('C', 8, verses))))
    expect([tune.bars[0]?.melody[0]?.lyric, messages]).toEqual([
      'o‿ver',
      ['Bar 1: only the first verse is kept under the notes.'],
    ])
    expect(told('<attributes><time><senza-misura/></time></attributes>' + note('C', 6))).toEqual([
      'Bar 1 (line 1): free time (senza misura) is read as bars as long as what stands in them.',
    ])
  })
  it("a metronome mark 'c. 96' is 96", () => {
    const circa =
      '<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>c. 96</per-minute></metronome></direction-type></direction>'
    expect(read(score(bar(1, ATTRIBUTES + circa + note('C', 8)))).tune.tempoBpm).toBe(96)
  })
})
