/** A short sample of the all-combinations arrangements, written and judged from outside; LONG=1 takes the rows that cover every pair of the first five options. */
import { describe, expect, it } from 'vitest'
import { chosen } from '../laws/combination-laws.js'
import { combinationSample } from './combination-sample.js'
import { DEMO_TUNES } from '@chartloft/demo'
import { compile, defaultPlan, LINEUPS, proposeOptions, readTune, writeMusicXml } from '@chartloft/shared-theory'
import { readWithVerovio } from './open-verovio.js'
import { type Write, filesOf, readBackFaults, verovioFaults } from './judge-written.js'
import { ABSENT_SCHEMAS, SCHEMA_NOTE, schemaFaults } from './open-schema.js'

const [ROWS, TUNES] = process.env['LONG'] === '1' ? [Infinity, 5] : [1, 2]

describe('[MX22] combinations, written', () => {
  it(`valid against the schema${SCHEMA_NOTE}, opened by Verovio without a warning and played as scheduled, read back to the same print`, async () => {
    const faults: string[] = []
    for (const { name, arrangement } of combinationSample(5, ROWS, TUNES)) {
      const found = [
        ...(ABSENT_SCHEMAS.length > 0 ? [] : await schemaFaults(filesOf(arrangement))),
        ...(await verovioFaults(arrangement)),
        ...readBackFaults(arrangement),
      ]
      faults.push(...found.slice(0, 3).map((fault) => `${name}: ${fault}`))
    }
    expect(faults).toEqual([])
  }, 36_000_000)
  it('a part that is silent all through a repeat is played as long as the others', async () => {
    const [demo] = DEMO_TUNES
    const read = readTune('abc', demo!.abc)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    const usual = defaultPlan(read.value)
    const option = (kind: 'groove' | 'opening', id: string) =>
      chosen(proposeOptions(read.value, kind, usual).find((one) => one.id === id)!)
    const lineup = LINEUPS['septet']!
    const { arrangement } = compile({
      ...usual,
      lineup,
      chosen: [option('groove', 'ballad-even'), option('opening', 'drums-alone-8')],
    })
    const part = lineup.find(({ id }) => id === 'alto-sax')!
    const xml = writeMusicXml(arrangement, { part: part.id, folded: true })
    // The opening is a repeat, and the alto waits through it.
    expect(xml).toMatch(/<repeat direction="backward" times="4"/)
    const quarters = arrangement.bars.reduce((sum, { lengthTicks }) => sum + lengthTicks, 0) / 5040
    expect((await readWithVerovio(xml)).quarters).toBe(quarters)
  })
  it('a wrong pitch, a wrong key, a lost fermata and a lost letter would be found', async () => {
    const [first] = combinationSample(5, 1, 1)
    const { arrangement } = first!
    const damaged =
      (from: RegExp, to: string): Write =>
      (given, options) =>
        writeMusicXml(given, options).replace(from, to)
    expect(readBackFaults(arrangement)).toEqual([])
    expect(readBackFaults(arrangement, damaged(/<octave>5</, '<octave>3<')).length).toBeGreaterThan(0)
    expect(readBackFaults(arrangement, damaged(/<fifths>-?\d</, '<fifths>5<')).length).toBeGreaterThan(0)
    const heard = await verovioFaults(arrangement, damaged(/<octave>5</, '<octave>3<'))
    expect(heard.join()).toMatch(/where the schedule has/)
    const marks = await verovioFaults(
      arrangement,
      damaged(/<fermata[^>]*>|<rehearsal[^>]*>B<\/rehearsal>/g, '<!-- -->'),
    )
    expect(marks.join()).toMatch(/fermata in 0 of 1/)
    expect(marks.join()).toMatch(/rehearsal letters for/)
  }, 600_000)
})
