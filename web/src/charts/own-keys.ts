/** The engraver reads a change of key once for all staves of a score; transposing players and drummers have their own. Put right in the
 *  engraver's text (MEI) between reading and layout. */

/** Fifths of every staff at each later change of key, in order; empty where all staves agree, and for a single part. */
export function laterKeys(musicXml: string): readonly (readonly number[])[] {
  const parts = musicXml.split(/<part id=/).slice(1)
  if (parts.length < 2) return []
  const staves = parts.map((part) => Number(/<staves>(\d+)</.exec(part)?.[1] ?? 1))
  const keys = parts.map((part) =>
    part
      .split(/<measure [^>]*>/)
      .slice(1)
      .map((measure) => /<fifths>(-?\d+)</.exec(measure)?.[1]),
  )
  const changes = (keys[0] ?? []).flatMap((fifths, index) => {
    if (fifths === undefined || index === 0) return []
    return [keys.flatMap((own, part) => Array.from({ length: staves[part] ?? 1 }, () => Number(own[index] ?? 0)))]
  })
  return changes.some((own) => new Set(own).size > 1) ? changes : []
}

/** Every later change of key with a signature a staff. */
export function withOwnKeys(mei: string, changes: readonly (readonly number[])[]): string {
  let change = 0
  let isFirst = true
  return mei.replaceAll(/<scoreDef[\s\S]*?<\/scoreDef>/g, (scoreDef) => {
    if (isFirst || !scoreDef.includes('<keySig')) {
      isFirst = false
      return scoreDef
    }
    const own = changes[change++] ?? []
    const staves = own.map((fifths, index) => `<staffDef n="${index + 1}"><keySig sig="${sigOf(fifths)}" /></staffDef>`)
    return scoreDef
      .replace(/<keySig[^>]*\/>/, '')
      .replace('</scoreDef>', () => `<staffGrp>${staves.join('')}</staffGrp></scoreDef>`)
  })
}

const sigOf = (fifths: number): string => (fifths === 0 ? '0' : `${Math.abs(fifths)}${fifths < 0 ? 'f' : 's'}`)
