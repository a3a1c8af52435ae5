/** The W3C schema (musicxml.xsd 4.0 of the W3C Music Notation Community Group) as a judge of what we write; kept beside a checkout, not in it. */
import { existsSync, readFileSync } from 'node:fs'
import { validateXML } from 'xmllint-wasm'

const SCHEMAS = ['musicxml.xsd', 'xml.xsd', 'xlink.xsd']
const schemaUrl = (name: string): URL => new URL(`../../../shared/schemas/${name}`, import.meta.url)

/** Schema files that are not there; with any missing nothing can be judged, and tests say so. */
export const ABSENT_SCHEMAS: readonly string[] = SCHEMAS.filter((name) => !existsSync(schemaUrl(name)))
export const SCHEMA_NOTE =
  ABSENT_SCHEMAS.length > 0 ? ` (skipped because absent: ../shared/schemas/${ABSENT_SCHEMAS.join(', ')})` : ''

export const schemaText = (name: string): string => readFileSync(schemaUrl(name), 'utf8')

/** Faults by file name; one run of xmllint for all files, since reading the schema takes most of its time. */
export async function schemaFaults(files: { readonly [name: string]: string }): Promise<readonly string[]> {
  const [main, ...others] = SCHEMAS.map((fileName) => ({ fileName, contents: schemaText(fileName) }))
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
