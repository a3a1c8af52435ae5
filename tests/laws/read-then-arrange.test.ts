/** Whatever file the reader accepts, the rest of the program can work on: odd bars, pickups, modes, no chords, no melody. */
import { describe, expect, it } from 'vitest'
import { type DecisionKind, compile, defaultPlan, proposeOptions, readTune } from '@chartloft/shared-theory'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const head = (metre: string, unit: string, key: string): string => `X:1\nT:Odd\nM:${metre}\nL:${unit}\nK:${key}\n`

const FILES: { readonly [what: string]: string } = {
  'a jig in E dorian, repeats with endings, a pickup, no chords': `${head('6/8', '1/8', 'Edor')}B|:EFG AFA|BAB dBA|EFG AFA|BAF E2B|EFG AFA|BAB def|edB AFA|1BAF E2B:|2BAF E3|:e2e efg|fed dBA|e2e efg|fed e3|e2e efg|fed dBA|EFG AFA|BAF E3:|`,
  'bars too long and too short, a chord that is none': `${head('4/4', '1/4', 'F')}"F"A B c|"Gm"d2 c B A|"Foo"c4|"C7"z2 E E E E|\nc2 d2 e2|"F"f4|f4|`,
  'a bar of two in fours, tuplets, a bar of nine eighths': `${head('4/4', '1/8', 'C')}"C"c8|"F"f8|[M:2/4]"G"g4|[M:4/4]"C"c8|"Am"a8 a|"Dm"(3def (3fga g2 f2|"G7"g4 b4|"C"c8|]`,
  'chords alone': `${head('4/4', '1/4', 'Bb')}"Bb7"z4|"Eb7"z4|"Bb7"z4|"Bb7"z4|"Eb7"z4|"Eb7"z4|"Bb7"z4|"G7"z4|"Cm7"z4|"F7"z4|"Bb7"z2"G7"z2|"Cm7"z2"F7"z2|]`,
  'a waltz with a pickup and a short last bar': `${head('3/4', '1/4', 'G')}D|"G"G2 A|"C"c2 B|"D7"A2 F|"G"G2 D|"G"G2 A|"C"c2 e|"D7"d2 F|"G"G2|]`,
  'one bar': `${head('4/4', '1/4', 'C')}"C"c4|]`,
  'free metre': `${head('none', '1/4', 'Dm')}"Dm"d3|"Gm"g2 a b c'|"A7"a|"Dm"d2|]`,
  'a key in seven flats that moves to seven sharps': `${head('4/4', '1/4', 'Cb')}"Cbmaj7"e4|"Fb6"_a4|[K:C#]"C#6"e4|"G#7"d4|"C#6"c4|c4|c4|c4|]`,
}

describe('[RD29] every tune that was read can be arranged', () => {
  for (const [what, abc] of Object.entries(FILES))
    it(what, () => {
      const read = readTune('abc', abc)
      if (!read.ok) throw new Error(read.issues[0]?.message)
      const plan = defaultPlan(read.value)
      const { arrangement, issues } = compile(plan)
      expect(issues.filter((one) => one.severity === 'error')).toEqual([])
      expect(arrangement.bars.length).toBeGreaterThanOrEqual(read.value.bars.length)
      for (const kind of KINDS) {
        const options = proposeOptions(read.value, kind, plan)
        expect(`${kind}: ${options.length > 0 ? 'offered' : 'nothing'}`).toBe(`${kind}: offered`)
        // Every fourth, to keep the run short; all combinations for the demo tunes stand in combinations.test.ts.
        for (const option of options.filter((_, at) => at % 4 === 0)) {
          const tried = compile({ ...plan, chosen: [{ kind, option, ...(option.at ? { at: option.at } : {}) }] })
          expect([option.id, tried.issues.filter((one) => one.severity === 'error')]).toEqual([option.id, []])
        }
      }
    })
})
