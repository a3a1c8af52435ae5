/** A dance's usual tempo stands in for one nobody wrote. */
import { describe, expect, it } from 'vitest'
import { compile, defaultPlan, proposeOptions } from '../../index.js'
import { readTune } from '../index.js'

const abc = (head: string, metre: string, bar = 'GAB cde') =>
  `X:1\nT:t\n${head}M:${metre}\nL:1/8\nK:G\n"G"${bar}|"D"${bar}|"G"${bar}|"D"${bar}|]\n`
const read = (text: string) => {
  const result = readTune('abc', text)
  if (!result.ok) throw new Error(result.issues[0]?.message)
  return result.value
}

describe('[RD30] R: names a dance', () => {
  // Moderate tempi for dancers, in quarters a minute; from memory.
  const cases: readonly (readonly [dance: string, metre: string, low: number, high: number])[] = [
    ['jig', '6/8', 165, 195],
    ['Double Jig', '6/8', 165, 195],
    ['slip jig', '9/8', 165, 195],
    ['reel', '4/4', 200, 230],
    ['Reel', 'C|', 200, 230],
    ['hornpipe', '4/4', 140, 180],
    ['waltz', '3/4', 110, 150],
    ['march', '4/4', 100, 120],
    ['march', '6/8', 150, 180],
    ['polka', '2/4', 115, 135],
  ]
  for (const [dance, metre, low, high] of cases)
    it(`${dance} in ${metre}`, () => {
      const { tempoBpm, source } = read(abc(`R:${dance}\n`, metre, 'z'))
      expect(tempoBpm).toBeGreaterThanOrEqual(low)
      expect(tempoBpm).toBeLessThanOrEqual(high)
      expect(source.issues.filter(({ code }) => code === 'RD30')).toMatchObject([
        { severity: 'note', path: 'line/3', message: expect.stringContaining('Write Q: for another.') as string },
      ])
    })

  it('a written tempo stands, and nothing is said', () => {
    const { tempoBpm, source } = read(abc('R:jig\nQ:3/8=100\n', '6/8'))
    expect(tempoBpm).toBe(150)
    expect(source.issues.map(({ code }) => code)).not.toContain('RD30')
  })
  it('slow airs, unknown kinds and a dance in a metre that is not its own bring no tempo', () => {
    for (const [dance, metre] of [
      ['slow air', '3/4'],
      ['slow reel', '4/4'],
      ['ballad', '6/8'],
      ['jig', '4/4'],
      ['waltz', '6/8'],
    ] as const)
      expect(read(abc(`R:${dance}\n`, metre, 'z')).tempoBpm, dance).toBeUndefined()
  })
})

const played = (text: string) => {
  const { arrangement } = compile(defaultPlan(read(text)))
  return { groove: arrangement.groove, beats: (arrangement.bars[0]?.tempoBpm ?? 0) / 1.5 }
}

describe('[GR7] a tune in threes without a tempo', () => {
  it('that runs in eighths is a jig: 110 to 130 dotted quarters a minute, and no ballad', () => {
    const { groove, beats } = played(abc('', '6/8'))
    expect(groove).toBe('plain-6-8')
    expect(beats).toBeGreaterThanOrEqual(110)
    expect(beats).toBeLessThanOrEqual(130)
  })
  it('that mixes quarters with eighths stays a ballad', () => {
    expect(played(abc('', '6/8', 'G2A B3'))).toEqual({ groove: 'ballad-6-8', beats: 50 })
  })
  it('the groove as written is the same dance, not the ballad', () => {
    const tune = read(abc('', '6/8'))
    const plan = defaultPlan(tune)
    const option = proposeOptions(tune, 'groove', plan).find(({ recipe }) => recipe === 'as-written')
    expect(option?.params).toMatchObject({ groove: 'plain-6-8', tempoBpm: 172 })
    const { arrangement, issues } = compile({ ...plan, chosen: option ? [{ kind: 'groove', option }] : [] })
    expect(arrangement.bars[0]?.tempoBpm).toBe(172)
    expect(issues).toEqual([])
  })
  it('a slip jig goes as fast as a jig; a song in 9/8 at a walking beat', () => {
    expect(played(abc('', '9/8', 'GAB cde dBG')).beats).toBeGreaterThanOrEqual(110)
    const song = played(abc('', '9/8', 'G2A B3 c3')).beats
    expect(song).toBeGreaterThanOrEqual(80)
    expect(song).toBeLessThanOrEqual(110)
  })
})
