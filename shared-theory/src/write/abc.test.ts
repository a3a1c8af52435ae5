import { LANTERN_SLIP } from '@chartloft/demo'
import { describe, expect, it } from 'vitest'
import { arrangementOfTune } from '../../../tests/fixtures/plain-arrangement.js'
import type { ArrangedBar, Arrangement } from '../contract/index.js'
import { readTune } from '../read/index.js'
import { writeAbc } from './abc.js'

function arrangementOf(abc: string): Arrangement {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return arrangementOfTune(read.value)
}
const music = (abc: string): string[] =>
  writeAbc(arrangementOf(`X:1\nT:t\nM:4/4\nL:1/4\nK:F\n${abc}\n`))
    .split('\n')
    .filter((line) => /[|]/.test(line))
const withBar = (arrangement: Arrangement, change: Partial<ArrangedBar>): Arrangement => ({
  ...arrangement,
  bars: arrangement.bars.map((bar, at) => (at === 0 ? { ...bar, ...change } : bar)),
})

describe('the text a musician reads', () => {
  it('[WA1] head, sections, four bars a line', () => {
    expect(writeAbc(arrangementOf(LANTERN_SLIP)).split('\n').slice(0, 14)).toEqual([
      '%abc-2.1',
      'X:1',
      'T:Lantern Slip',
      'R:as-written',
      'M:4/4',
      'L:1/8',
      'Q:1/4=138',
      'K:F',
      'P:A',
      '"Fmaj7"A4 F2 G2 | "Dm7"c6 G2 | "Gm7"d4 c2 A2 | "C7"G6 E2 |',
      '"Gm7"d3 c B4 | "C7"A4 G2 E2 | "F6"F8- | "F6"F8 ||',
      'P:A',
      '"Fmaj7"A4 F2 G2 | "Dm7"c6 G2 | "Gm7"d4 c2 A2 | "C7"G6 E2 |',
      '"Gm7"d3 c B4 | "C7"A4 G2 E2 | "F6"F8- | "Cm7"F4 "F7"z4 ||',
    ])
  })
  it('[WA2] tuplets, ties at chord changes, lengths no notehead has, accidentals once a bar', () => {
    expect(music('"F"(3cde "C"f2|"F"A2 "Dm"^f2|[M:5/4]"G"=B =B b _b B|]')).toEqual([
      '"F"(3:2:3c2 d2 e2 "C"f4 | "F"A4 "Dm"^f4 | [M:5/4] "G"=B2 B2 =b2 _b2 _B2 |]',
    ])
    expect(music('"F"c5/2 d3/2|"F"c2- "C7"c2|]')).toEqual(['"F"c4- c d3 | "F"c4- "C7"c4 |]'])
  })
  it('[WA2] words, graces, key changes', () => {
    const lines = writeAbc(
      arrangementOf('X:1\nT:t\nM:4/4\nL:1/4\nK:F\n"N.C."{g}f2 e2|[K:Eb]e4|]\nw:wa-ter low\n'),
    ).split('\n')
    expect(lines.slice(-3, -1)).toEqual(['"N.C."{g}f4 e4 | [K:Eb] "N.C."e8 |]', 'w: wa- ter low'])
  })
  it('[WA1] dynamics, fermatas and remarks; a road-map word is not written into a line that is played through', () => {
    const plain = arrangementOf('X:1\nT:t\nM:4/4\nL:1/4\nK:F\n"F"f2 e2|]\n')
    expect(writeAbc(withBar(plain, { dynamic: 'mf', mark: 'on cue', fermataTick: 10080 }))).toContain(
      '"^on cue"!mf!"F"f4 !fermata!e4 |]',
    )
    expect(writeAbc(withBar(plain, { mark: 'To Coda' }))).not.toContain('Coda')
  })
  it('[WA1] quotes and line ends in a title do no harm', () => {
    const titled = { ...arrangementOf(LANTERN_SLIP), title: 'A "B"\nK:C 100%' }
    const again = readTune('abc', writeAbc(titled))
    expect(again.ok && [again.value.title, again.value.key.key]).toEqual(["A 'B' K:C 100%", 'F major'])
  })
})
