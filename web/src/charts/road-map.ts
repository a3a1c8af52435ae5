/** The whole form in a few steps, as it is called out at a rehearsal: 'Opening 8 · A A B A · solos 2×: A A B A · A A B A (B up a whole step) · Ending 4'. */
import type { ArrangedBar, KeySignature } from '@chartloft/shared-theory'
import { words } from '../words.js'

interface Stretch {
  /** 'solo-1' of 'solo-1#2'. */
  readonly pass: string
  readonly letters: string[]
  readonly lifts: string[]
  bars: number
  times: number
}

/** Who is named as the soloist of a pass. */
export type SoloistOf = (passId: string) => string | undefined

/** Steps in playing order. */
export function roadMapSteps(bars: readonly ArrangedBar[], soloistOf: SoloistOf = () => undefined): readonly string[] {
  const stretches: Stretch[] = []
  for (const one of passesOf(bars)) {
    const before = stretches.at(-1)
    if (before && isAgain(before, one)) before.times++
    else stretches.push(one)
  }
  return stretches.map((stretch) => say(stretch, soloistOf(stretch.pass)))
}

export const roadMapLine = (bars: readonly ArrangedBar[], soloistOf?: SoloistOf): string =>
  roadMapSteps(bars, soloistOf).join(' · ')

function passesOf(bars: readonly ArrangedBar[]): readonly Stretch[] {
  const stretches: Stretch[] = []
  for (const [index, bar] of bars.entries()) {
    const before = bars[index - 1]
    if (before?.pass !== bar.pass)
      stretches.push({
        pass: bar.pass.replace(/#\d+$/, ''),
        letters: [],
        lifts: [],
        bars: 0,
        times: 1,
      })
    const stretch = stretches.at(-1) as Stretch
    if (before?.pass !== bar.pass || before.sectionId !== bar.sectionId) stretch.letters.push(letterOf(bar.sectionId))
    if (before && before.key.key !== bar.key.key)
      stretch.lifts.push(`${letterOf(bar.sectionId)} ${words.charts.lifted(semitonesBetween(before.key, bar.key))}`)
    stretch.bars++
  }
  return stretches
}

/** The same pass again, alike in letters and keys. */
const isAgain = (before: Stretch, one: Stretch): boolean =>
  before.pass === one.pass &&
  before.bars === one.bars &&
  before.letters.join() === one.letters.join() &&
  one.lifts.length === 0 &&
  before.lifts.length === 0

function say({ pass, letters, bars, lifts, times }: Stretch, soloist: string | undefined): string {
  const { road } = words.charts
  if (pass === 'opening' || pass === 'ending') return road[pass](bars)
  const solo = pass.startsWith('solo') ? (soloist === undefined ? road.solos : road.soloOf(soloist)) : ''
  const count = times > 1 ? `${times}×` : ''
  const lead = [solo, count].filter((word) => word !== '').join(' ')
  const form = `${letters.join(' ')}${lifts.length > 0 ? ` (${lifts.join(', ')})` : ''}`
  return lead === '' ? form : `${lead}: ${form}`
}

/** The nearer way, in half steps; of two ways six apart the one up. */
function semitonesBetween(from: KeySignature, to: KeySignature): number {
  const up = ((((to.fifths - from.fifths) * 7) % 12) + 12) % 12
  return up > 6 ? up - 12 : up
}

/** 'A1' → 'A', 'verse' → 'Verse'. */
const letterOf = (sectionId: string): string => {
  const letter = sectionId.replace(/\d+$/, '')
  return letter.charAt(0).toUpperCase() + letter.slice(1)
}
