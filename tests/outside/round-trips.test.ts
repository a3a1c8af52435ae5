/** Tunes written and read again in every format, and parts un-transposed: one in six of what the bench has whole. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { tuneOfAbc } from '../laws/harmonise-laws.js'
import { abcTripFaults, midiTripFaults, musicXmlTripFaults, tunesToTravel } from './judge-round-trips.js'
import {
  ALL_KEYS,
  PITCHED,
  liftedFaults,
  liftsOf,
  scalesFor,
  soundOf,
  transpositionFaults,
} from './judge-transposed.js'
import { writeMusicXml } from '@chartloft/shared-theory'

const LONG = process.env['LONG'] === '1'
const tunes = tunesToTravel().filter((_, index) => LONG || index % 6 === 0)

describe('round trips', () => {
  it('[MX20] through MusicXML nothing musical is lost', () => expect(tunes.flatMap(musicXmlTripFaults)).toEqual([]))
  it('[WA4] through ABC nothing musical is lost, and abcjs hears the same', () =>
    expect(tunes.flatMap(abcTripFaults)).toEqual([]))
  it('[MI4] through MIDI every note comes back within the grid', () =>
    expect(tunes.flatMap(midiTripFaults)).toEqual([]))
})

describe('[MX21] transposed parts', () => {
  it('every instrument in a third of the keys sounds as the concert part', () => {
    const keys = ALL_KEYS.filter((_, index) => LONG || index % 3 === 0)
    expect(PITCHED.flatMap((instrument) => keys.flatMap((key) => transpositionFaults(instrument, key)))).toEqual([])
  })
  it('a part a half step off would be found', () => {
    const trumpet = PITCHED.find(({ id }) => id === 'trumpet')!
    const arrangement = scalesFor(trumpet, ALL_KEYS[7]!)
    const xml = writeMusicXml(arrangement, { part: 'one' })
    const meant = arrangement.bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))
    expect(soundOf(xml).sounding).toEqual(meant)
    expect(soundOf(xml.replace('<chromatic>-2<', '<chromatic>-1<')).sounding).not.toEqual(meant)
  })
  it('after a lift every part has names players read', () => {
    const [tune] = DEMO_TUNES.slice(4, 5).map(({ abc }) => tuneOfAbc(abc))
    const lifts = liftsOf(tune!).filter((_, index) => LONG || index % 8 === 0)
    expect(lifts.length).toBeGreaterThan(2)
    expect(lifts.flatMap((lift) => liftedFaults(tune!, lift))).toEqual([])
  }, 600_000)
})
