/** What we write as MusicXML against the W3C schema (musicxml.xsd 4.0 of the W3C Music Notation Community Group), kept beside a checkout. */
import { existsSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { validateXML } from 'xmllint-wasm'
import { type Arrangement, writeMusicXml } from '@chartloft/shared-theory'
import { lanternArrangement } from '../fixtures/lantern-band.js'
import { codaForm, everyDecision, hardBars, liftedForm, soloForm } from '../fixtures/varied-chart.js'

const SCHEMAS = ['musicxml.xsd', 'xml.xsd', 'xlink.xsd']
const schemaUrl = (name: string): URL => new URL(`../../../shared/schemas/${name}`, import.meta.url)
const absent = SCHEMAS.filter((name) => !existsSync(schemaUrl(name)))
const whenPresent = it.skipIf(absent.length > 0)
const note = absent.length > 0 ? ` (skipped because absent: ../shared/schemas/${absent.join(', ')})` : ''

/** Faults by file name; one run of xmllint for all files, since reading the schema takes most of its time. */
async function faultsOf(files: { readonly [name: string]: string }): Promise<readonly string[]> {
  const [main, ...others] = SCHEMAS.map((fileName) => ({
    fileName,
    contents: readFileSync(schemaUrl(fileName), 'utf8'),
  }))
  const { errors } = await validateXML({
    // The document type names a DTD on the network; the schema says all.
    xml: Object.entries(files).map(([name, xml]) => ({
      fileName: `${name}.xml`,
      contents: xml.replace(/<!DOCTYPE[^>]*>/, ''),
    })),
    schema: [main!],
    preload: others,
  })
  return errors.map(({ rawMessage }) => rawMessage)
}

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
