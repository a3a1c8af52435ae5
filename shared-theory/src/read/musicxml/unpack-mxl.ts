/** The score inside a compressed MusicXML file (.mxl), never more of it than a tune file may hold. Source: MusicXML 4.0, compressed files. */
import { unzipSync } from 'fflate'
import { LIMITS } from '../../units/index.js'
import { decodeText } from '../decode-text.js'
import { Unreadable } from '../issue-list.js'
import { childOf, childrenOf, parseXml } from './xml.js'
import { said } from '../said.js'

const CONTAINER = 'META-INF/container.xml'

/** True for the first bytes of a ZIP file. */
export function isPacked(source: string | Uint8Array): boolean {
  const bytes = typeof source === 'string' ? [source.charCodeAt(0), source.charCodeAt(1)] : source
  return bytes[0] === 0x50 && bytes[1] === 0x4b
}

export function unpackMxl(source: Uint8Array): string {
  const container = unpackOne(source, (name) => name === CONTAINER)
  const root = container && parseXml(decodeText(container))
  const path = childrenOf(childOf(root, 'rootfiles'), 'rootfile')[0]?.attributes['full-path']
  const score = unpackOne(source, (name) =>
    path ? name === path : /\.(musicxml|xml)$/i.test(name) && !name.startsWith('META-INF/'),
  )
  if (!score)
    throw new Unreadable(
      'RD13',
      'file',
      said`There is no score in this compressed file. Save it as uncompressed MusicXML (.musicxml).`,
    )
  return decodeText(score)
}

/** The first file of that name; its stated size bounds what is unpacked. */
function unpackOne(source: Uint8Array, isWanted: (name: string) => boolean): Uint8Array | undefined {
  let wanted: string | undefined
  let tooLarge = 0
  let files: Record<string, Uint8Array>
  try {
    files = unzipSync(source, {
      filter: (file) => {
        if (wanted !== undefined || !isWanted(file.name)) return false
        wanted = file.name
        if (file.originalSize > LIMITS.tuneFileBytes) tooLarge = file.originalSize
        return tooLarge === 0
      },
    })
  } catch {
    throw new Unreadable(
      'RD13',
      'file',
      said`The compressed file is damaged. Save it again, or as uncompressed MusicXML (.musicxml).`,
    )
  }
  if (tooLarge > 0)
    throw new Unreadable(
      'RD10',
      'file',
      said`Unpacked, the score would have ${Math.round(tooLarge / 1024 / 1024)} MB; a tune file may have ${LIMITS.tuneFileBytes / 1024 / 1024} MB.`,
    )
  return wanted === undefined ? undefined : files[wanted]
}
