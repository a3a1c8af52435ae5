/** The ways one groove can be offered on a tune: its usual one, and on demand other maps, other group orders, other tempi. */
import type { Metre } from '../../contract/index.js'
import { type Groove, playsIn, rebarTargets } from '../../rhythm/index.js'
import { formatMetre, sameMetre } from '../../units/index.js'
import { mapTitle } from './words.js'

export const LONG_METRE = '44-long'
/** Grooves a band plays over twice as many bars. Samba's is always offered, the others' where more is asked for. Source: common practice. */
const LONG_METRE_GROOVES: { readonly [grooveId: string]: 0 | 1 } = {
  samba: 0,
  bossa: 1,
  'swing-fast': 1,
  'street-beat': 1,
}
/** A tempo that counts as another: at least this far from those offered already. */
const OTHER_TEMPO = 1.1
const STEP_OF_TEMPO = 0.16

export interface Version {
  readonly tempoBpm: number
  readonly mapIds?: readonly string[]
  readonly groups?: readonly number[]
  /** What sets it apart, for the title; '' for the usual one. */
  readonly words: string
  /** What it keeps of the groove's rank. */
  readonly share: number
}

/** `more` as in `Wish`: 0 the usual version, 1 other maps and group orders, 2 slower and faster, 3 the ends of the tempo band. Those of a
 *  smaller number come first in those of a greater one. */
export function versionsOf(groove: Groove, metre: Metre, tempoBpm: number, more: number): readonly Version[] {
  const versions: Version[] = [{ tempoBpm, words: '', share: 1 }]
  const isLong = formatMetre(metre) === '4/4' ? LONG_METRE_GROOVES[groove.id] : undefined
  if (isLong !== undefined && isLong <= more)
    versions.push({ tempoBpm, mapIds: [LONG_METRE], words: 'long metre', share: isLong === 0 ? 1 : 0.8 })
  if (more >= 1) versions.push(...otherBars(groove, metre, tempoBpm))
  if (more >= 2) versions.push(...otherTempi(groove, tempoBpm, more))
  return versions
}

function otherBars(groove: Groove, metre: Metre, tempoBpm: number): readonly Version[] {
  if (groove.metre === 'any' || groove.groups === 'tune') return []
  const to = groove.metre
  const own = groove.groups.join('+')
  const versions: Version[] = []
  if (playsIn(groove, metre)) {
    const turned = [...groove.groups].reverse()
    if (turned.join('+') !== own) versions.push({ tempoBpm, groups: turned, words: turned.join('+'), share: 0.85 })
    return versions
  }
  for (const route of rebarTargets(metre).filter((target) => sameMetre(target.metre, to))) {
    const isTurned = route.groups.join('+') !== own
    if (isTurned) versions.push({ tempoBpm, groups: route.groups, words: route.groups.join('+'), share: 0.85 })
    else if (route.mapIds.length > 1)
      for (const id of route.mapIds) versions.push({ tempoBpm, mapIds: [id], words: mapTitle(id), share: 0.85 })
  }
  return versions
}

function otherTempi(groove: Groove, tempoBpm: number, more: number): readonly Version[] {
  const { low, high } = groove.tempo
  const inBand = (tempo: number) => Math.min(high, Math.max(low, Math.round(tempo)))
  const wanted: (readonly [number, string])[] = [
    [inBand(tempoBpm * (1 - STEP_OF_TEMPO)), 'slower'],
    [inBand(tempoBpm * (1 + STEP_OF_TEMPO)), 'faster'],
    ...(more >= 3
      ? ([
          [low, 'at its slowest'],
          [high, 'at its fastest'],
        ] as const)
      : []),
  ]
  const known = [tempoBpm]
  const versions: Version[] = []
  for (const [tempo, words] of wanted) {
    if (known.some((each) => Math.max(each, tempo) / Math.min(each, tempo) < OTHER_TEMPO)) continue
    known.push(tempo)
    versions.push({ tempoBpm: tempo, words, share: 0.8 })
  }
  return versions
}
