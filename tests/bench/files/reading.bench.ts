/** Files by feature in every format, what each loses, mutations, and files made to hurt. */
import { it } from 'vitest'
import { ABC_SUITE } from '../../fixtures/abc/suite.js'
import { MIDI_SUITE } from '../../fixtures/midi/suite.js'
import { MUSICXML_SUITE } from '../../fixtures/musicxml/suite.js'
import { HOSTILE_FILES, answerTo } from '../../outside/hostile-files.js'
import { faultsOfAbcCase, lossesOfAbcSuite } from '../../outside/judge-abc.js'
import { faultsOfMidiCase } from '../../outside/judge-midi.js'
import { fuzzSuite } from '../../outside/judge-mutations.js'
import { faultsOfCase, lossesOfSuite } from '../../outside/judge-suite.js'
import { ABSENT_SCHEMAS } from '../../outside/open-schema.js'
import { elementFates } from '../../outside/schema-elements.js'
import { figure } from '../figure.js'

const listed = (losses: ReadonlyMap<string, readonly string[]>): void => {
  for (const [name, said] of losses) console.log(`${name}: ${said.join(' ')}`)
}

it('the suite of MusicXML', () => {
  const faults = MUSICXML_SUITE.flatMap((one) => faultsOfCase(one))
  const losses = lossesOfSuite()
  listed(losses)
  if (faults.length > 0) console.log(faults.join('\n'))
  figure({
    id: 'RD31',
    what: 'MusicXML files of the suite that come to what stands beside them',
    value: MUSICXML_SUITE.length - faults.length,
    unit: '',
    target: { exactly: MUSICXML_SUITE.length },
    note: `${losses.size} of them lose something, each said in words with its bar`,
  })
})

it('every element', () => {
  if (ABSENT_SCHEMAS.length > 0) {
    console.log(`not measured because absent: ../shared/schemas/${ABSENT_SCHEMAS.join(', ')}`)
    return
  }
  const fates = elementFates()
  const count = (wanted: string): number => fates.filter(({ fate }) => fate === wanted).length
  figure({
    id: 'RD35',
    what: 'kinds of element inside a bar that are dropped in silence',
    value: count('silent'),
    unit: '',
    target: { exactly: 0 },
    note: `of ${fates.length} in musicxml.xsd: ${count('kept')} kept, ${count('named')} named, ${count('through')} told by what they hold, ${count('listed')} listed with a reason`,
  })
})

it('the suite of ABC', () => {
  const faults = ABC_SUITE.flatMap((one) => faultsOfAbcCase(one).slice(0, 1))
  const losses = lossesOfAbcSuite()
  listed(losses)
  if (faults.length > 0) console.log(faults.join('\n'))
  figure({
    id: 'RD33',
    what: 'ABC tunes by construct that come to what stands beside them, tell what they lose and nothing else',
    value: ABC_SUITE.length - faults.length,
    unit: '',
    target: { exactly: ABC_SUITE.length },
    note: `${losses.size} lose something; ${ABC_SUITE.filter(({ unlikeAbcjs, refusedBy }) => unlikeAbcjs === undefined && refusedBy === undefined).length} heard alike by abcjs, the others say why not`,
  })
})

it('the suite of MIDI', () => {
  const faults = MIDI_SUITE.flatMap((one) => faultsOfMidiCase(one).slice(0, 1))
  if (faults.length > 0) console.log(faults.join('\n'))
  figure({
    id: 'RD34',
    what: 'MIDI files by feature that come to what stands beside them, tell what they lose and nothing else',
    value: MIDI_SUITE.length - faults.length,
    unit: '',
    target: { exactly: MIDI_SUITE.length },
  })
})

for (const format of ['musicxml', 'abc', 'midi'] as const)
  it(`mutations of ${format}`, () => {
    const { faults, read, slowestMs } = fuzzSuite(format, 1000, 4711)
    if (faults.length > 0) console.log(faults.slice(0, 20).join('\n'))
    figure({
      id: 'RD32',
      what: `mutations of valid ${format} that throw, are refused without words or give an unsound tune`,
      value: faults.length,
      unit: '',
      target: { exactly: 0 },
      note: `1,000 mutations, seed 4711; ${read} still read`,
    })
    figure({
      id: 'RD32',
      what: `slowest answer to a mutation of ${format}`,
      value: slowestMs,
      unit: 'ms',
      target: { atMost: 2000 },
      note: 'processor time',
    })
  })

it('hostile files', () => {
  const answers = HOSTILE_FILES.map((file) => answerTo(file))
  const wrong = answers.filter(({ fault }) => fault !== undefined)
  for (const { what, fault } of wrong) console.log(`${what}: ${fault}`)
  const slowest = answers.reduce((worst, one) => (one.ms > worst.ms ? one : worst))
  figure({
    id: 'RD10',
    what: 'hostile files that throw, are refused without words, or are read where they should not be',
    value: wrong.length,
    unit: '',
    target: { exactly: 0 },
    note: `${HOSTILE_FILES.length} files: MusicXML plain and packed, ABC, MIDI, board files`,
  })
  figure({
    id: 'RD10',
    what: 'slowest answer to a hostile file',
    value: slowest.ms,
    unit: 'ms',
    target: { atMost: 2000 },
    note: `processor time: ${slowest.what}`,
  })
})
