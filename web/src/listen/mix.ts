/** My own mix: who I hear, how loud; never shared. */
import type { PartSpec } from '@chartloft/shared-theory'

export type Hearing = 'everybody' | 'only-me' | 'without-me'

export interface MyMix {
  readonly hearing: Hearing
  /** My part's id; undefined while I have named none. */
  readonly myPart: string | undefined
  /** Part id → decibels from the band's balance. */
  readonly levelsDb: { readonly [partId: string]: number }
  /** Parts I have silenced by hand. */
  readonly silent: readonly string[]
  /** Part id → −1 left to 1 right, where I have moved it. */
  readonly pans: { readonly [partId: string]: number }
}

/** The band as it is mixed, heard by somebody who plays that part. */
export const plainMix = (myPart: string | undefined): MyMix => ({
  hearing: 'everybody',
  myPart,
  levelsDb: {},
  silent: [],
  pans: {},
})

export interface HeardPart {
  readonly id: string
  readonly levelDb: number
  readonly muted: boolean
  readonly pan?: number
}

/** What each part's channel is set to. Without a part of my own, everybody is heard. */
export function heardParts(
  lineup: readonly PartSpec[],
  { hearing, myPart, levelsDb, silent, pans }: MyMix,
): readonly HeardPart[] {
  const isNamed = lineup.some((part) => part.id === myPart)
  return lineup.map(({ id }) => ({
    id,
    levelDb: levelsDb[id] ?? 0,
    muted:
      silent.includes(id) || (isNamed && hearing !== 'everybody' && (id === myPart) === (hearing === 'without-me')),
    ...(pans[id] === undefined ? {} : { pan: pans[id] }),
  }))
}

/** The part somebody means by what they typed as their instrument: 'tenor sax', 'Bass', 'drums'. */
export function partOfWords(lineup: readonly PartSpec[], plays: string | undefined): string | undefined {
  const wanted = plays?.trim().toLowerCase()
  if (!wanted) return undefined
  const names = (part: PartSpec) => [part.id, part.name.toLowerCase(), part.instrument.replaceAll('-', ' ')]
  return (
    lineup.find((part) => names(part).includes(wanted)) ??
    // 'electric bass' is a bass, 'bass clarinet' and 'contrabassoon' are none; 'sax' is the tenor sax.
    lineup.find((part) =>
      names(part).some((name) => ` ${name} `.includes(` ${wanted} `) || wanted.endsWith(` ${name}`)),
    )
  )?.id
}
