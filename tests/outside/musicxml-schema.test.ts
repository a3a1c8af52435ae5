/** What we write as MusicXML against the W3C schema (musicxml.xsd 4.0 of the W3C Music Notation Community Group), kept beside a checkout. */
import { describe, expect, it } from 'vitest'
import { type Arrangement, writeMusicXml } from '@chartloft/shared-theory'
import { lanternArrangement } from '../fixtures/lantern-band.js'
import { codaForm, everyDecision, hardBars, liftedForm, soloForm } from '../fixtures/varied-chart.js'
import { ABSENT_SCHEMAS, SCHEMA_NOTE as note, schemaFaults as faultsOf } from './open-schema.js'

const whenPresent = it.skipIf(ABSENT_SCHEMAS.length > 0)

const CHARTS: { readonly [name: string]: () => Arrangement } = {
  'tune 1': lanternArrangement,
  'the coda form': codaForm,
  'the form with solos': soloForm,
  'bars of everything hard': hardBars,
  'every decision taken, in 7/4': everyDecision,
  'the coda form, lifted with a tie over the jump': liftedForm,
}

describe('[MX1] valid against the W3C XSD', () => {
  for (const [name, chart] of Object.entries(CHARTS)) {
    for (const folded of [false, true]) {
      whenPresent(`${name}, ${folded ? 'folded' : 'linear'}: score and every part${note}`, async () => {
        const arrangement = chart()
        const files: { [name: string]: string } = {
          engraving: writeMusicXml(arrangement, { folded, engraving: true }),
        }
        for (const pitch of ['written', 'concert'] as const) {
          files[`score-${pitch}`] = writeMusicXml(arrangement, { pitch, folded })
          for (const { id } of arrangement.lineup) {
            files[`${id}-${pitch}`] = writeMusicXml(arrangement, { part: id, pitch, folded })
          }
        }
        expect(await faultsOf(files)).toEqual([])
      })
    }
  }
  whenPresent(`one bar, and an arrangement without a line-up${note}`, async () => {
    const arrangement = lanternArrangement()
    const faults = await faultsOf({
      unmanned: writeMusicXml({ ...arrangement, lineup: [] }),
      short: writeMusicXml({ ...arrangement, bars: arrangement.bars.slice(0, 1) }),
    })
    expect(faults).toEqual([])
  })
  whenPresent(`a damaged file is found out${note}`, async () => {
    const damaged = writeMusicXml(lanternArrangement()).replace('<beats>4</beats>', '<beat>4</beat>')
    expect(await faultsOf({ damaged })).not.toEqual([])
  })
})
