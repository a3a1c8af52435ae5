/** MusicXML by feature, mutations, and files made to hurt. */
import { it } from 'vitest'
import { strToU8, zipSync } from 'fflate'
import { readTune } from '@chartloft/shared-theory'
import { MUSICXML_SUITE } from '../../fixtures/musicxml/suite.js'
import { faultsOfCase, fuzzSuite, lossesOfSuite } from '../../outside/judge-suite.js'
import { figure } from '../figure.js'

it('the suite', () => {
  const faults = MUSICXML_SUITE.flatMap((one) => faultsOfCase(one))
  const losses = lossesOfSuite()
  for (const [name, said] of losses) console.log(`${name}: ${said.join(' ')}`)
  if (faults.length > 0) console.log(faults.join('\n'))
  figure({
    id: 'RD31',
    what: 'MusicXML files of the suite that come to what stands beside them',
    value: MUSICXML_SUITE.length - faults.length,
    unit: '',
    target: { exactly: MUSICXML_SUITE.length },
    note: `${losses.size} of them lose something, each said in words`,
  })
})

it('mutations', () => {
  const { faults, read, slowestMs } = fuzzSuite(1000, 4711)
  if (faults.length > 0) console.log(faults.slice(0, 20).join('\n'))
  figure({
    id: 'RD32',
    what: 'mutations of valid files that throw, are refused without words or give an unsound tune',
    value: faults.length,
    unit: '',
    target: { exactly: 0 },
    note: `1,000 mutations, seed 4711; ${read} still read`,
  })
  figure({ id: 'RD32', what: 'slowest answer to a mutation', value: slowestMs, unit: 'ms', target: { atMost: 2000 } })
})

const MEGABYTE = 1024 * 1024
const HURTING: readonly (readonly [what: string, source: () => string | Uint8Array])[] = [
  [
    'an entity bomb',
    () =>
      `<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 20 }, (_, level) => `<!ENTITY a${level} "${`&a${level - 1};`.repeat(10)}">`).join('')}]><score-partwise>&a19;</score-partwise>`,
  ],
  [
    'a quadratic entity',
    () =>
      `<!DOCTYPE a [<!ENTITY a "${'x'.repeat(100_000)}">]><score-partwise>${'&a;'.repeat(100_000)}</score-partwise>`,
  ],
  [
    'an entity from a file',
    () => '<!DOCTYPE a [<!ENTITY a SYSTEM "file:///dev/zero">]><score-partwise>&a;</score-partwise>',
  ],
  ['a zip bomb', () => zipSync({ 'score.xml': new Uint8Array(60 * MEGABYTE) }, { level: 9 })],
  [
    'an archive of 20,000 files',
    () => zipSync(Object.fromEntries(Array.from({ length: 20_000 }, (_, index) => [`${index}.xml`, strToU8('<a/>')]))),
  ],
  ['100,000 levels', () => `<score-partwise>${'<a>'.repeat(100_000)}`],
  [
    '100,000 attributes',
    () => `<score-partwise ${Array.from({ length: 100_000 }, (_, index) => `a${index}="1"`).join(' ')}>`,
  ],
  ['cut off', () => (MUSICXML_SUITE[0]!.source as string).slice(0, 300)],
  ['UTF-16 said to be UTF-8', () => Buffer.from('<?xml version="1.0" encoding="UTF-8"?><a/>', 'utf16le')],
  ['bytes of no character set', () => Uint8Array.from({ length: 100_000 }, (_, index) => 128 + (index % 128))],
  ['50 MB of spaces', () => ' '.repeat(50 * MEGABYTE)],
  ['50 MB of notes', () => `<score-partwise>${'<note/>'.repeat((50 * MEGABYTE) / 7)}`],
  [
    '8 MB of notes',
    () => `<score-partwise><part id="P1"><measure>${'<note><rest/></note>'.repeat(400_000)}`.slice(0, 8 * MEGABYTE),
  ],
  ['8 MB of one comment', () => `<!--${'-'.repeat(8 * MEGABYTE - 10)}`],
]

it('hostile files', () => {
  let slowest = ['', 0] as readonly [string, number]
  let thrown = 0
  for (const [what, make] of HURTING) {
    const source = make()
    const before = process.cpuUsage()
    try {
      if (readTune('musicxml', source).ok) thrown++
    } catch (error) {
      console.log(`${what}: threw ${String(error)}`)
      thrown++
    }
    const { user, system } = process.cpuUsage(before)
    if ((user + system) / 1000 > slowest[1]) slowest = [what, (user + system) / 1000]
  }
  figure({
    id: 'RD10',
    what: 'hostile MusicXML files that throw or are read',
    value: thrown,
    unit: '',
    target: { exactly: 0 },
    note: `${HURTING.length} files`,
  })
  figure({
    id: 'RD10',
    what: 'slowest answer to a hostile file',
    value: slowest[1],
    unit: 'ms',
    target: { atMost: 2000 },
    note: `processor time: ${slowest[0]}`,
  })
})
