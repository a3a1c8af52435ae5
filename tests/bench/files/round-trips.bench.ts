/** Tunes written to every format and read again, and parts un-transposed. */
import { expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { tuneOfAbc } from '../../laws/harmonise-laws.js'
import { abcTripFaults, midiTripFaults, musicXmlTripFaults, tunesToTravel } from '../../outside/judge-round-trips.js'
import { ALL_KEYS, PITCHED, liftedFaults, liftsOf, transpositionFaults } from '../../outside/judge-transposed.js'
import { figure } from '../figure.js'

const TRIPS = [
  ['MX20', 'through MusicXML, linear and folded, lose nothing musical', musicXmlTripFaults],
  ['WA4', 'through ABC lose nothing musical and sound the same to abcjs', abcTripFaults],
  [
    'MI4',
    'through MIDI, as notated and played unevenly, keep every note within the grid; midi-file hears the same events',
    midiTripFaults,
  ],
] as const

for (const [id, what, faultsOf] of TRIPS)
  it(
    what,
    () => {
      const tunes = tunesToTravel()
      const faults = tunes.flatMap((tune) => faultsOf(tune).slice(0, 1))
      figure({
        id,
        what: `tunes that ${what}`,
        value: tunes.length - faults.length,
        unit: '',
        target: { atLeast: Math.max(100, tunes.length) },
        note: 'demo and invented tunes, traditional ones encoded by us, generated ones',
      })
      expect(faults.slice(0, 20)).toEqual([])
    },
    1_800_000,
  )

it('every instrument in every key', () => {
  const faults = PITCHED.flatMap((instrument) =>
    ALL_KEYS.flatMap((key) => transpositionFaults(instrument, key).slice(0, 1)),
  )
  const tried = PITCHED.length * ALL_KEYS.length
  figure({
    id: 'MX21',
    what: 'parts of every instrument in every key that un-transpose to the concert part and show at most seven accidentals',
    value: tried - faults.length,
    unit: '',
    target: { exactly: tried },
    note: `${PITCHED.length} instruments, 15 signatures in major and minor; by arithmetic and by our reader`,
  })
  expect(faults.slice(0, 20)).toEqual([])
}, 1_800_000)

it('every lift', () => {
  const found = DEMO_TUNES.flatMap(({ abc }) => {
    const tune = tuneOfAbc(abc)
    return liftsOf(tune).map((lift) => liftedFaults(tune, lift).slice(0, 1))
  })
  const faults = found.flat()
  figure({
    id: 'MX21',
    what: 'lifts after which every part keeps to seven accidentals, names players read, and the concert sound',
    value: found.length - faults.length,
    unit: '',
    target: { exactly: found.length },
    note: 'every lift proposed for the demo tunes, six parts: B flat, E flat, octaves, none',
  })
  expect(faults.slice(0, 20)).toEqual([])
}, 1_800_000)
