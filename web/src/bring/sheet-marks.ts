/** What the engraved sheet shows of a tune beyond its notes, and what each of its bars is called aloud. */
import type { Chord, Issue, Tune, TuneBar } from '@chartloft/shared-theory'
import type { TuneSheet } from '../charts/engrave-tune.js'
import { chordType } from '../look/chord-symbol.js'
import { bringWords } from '../words-bring.js'

/** N.C. is a word on the sheet, not a chord symbol. */
const isSymbol = ({ kind, root }: Chord): boolean => kind !== 'none' && root !== ''

export function sheetMarks(tune: Tune): Pick<TuneSheet, 'bars' | 'marks'> {
  const sections = new Map(tune.sections.map(({ startBar, letter }) => [startBar, letter]))
  return {
    bars: tune.bars.map((bar, index) => ({
      notes: bar.melody.length,
      chords: bar.chords.length,
      begins: sections.has(index) && !(index === 1 && tune.pickupTicks > 0),
      isPickup: index === 0 && tune.pickupTicks > 0,
    })),
    marks: {
      sections,
      proposed: new Map(
        tune.bars.map((bar, index) => [
          index,
          bar.chords.filter(({ chord }) => isSymbol(chord)).map(({ inferred }) => inferred === true),
        ]),
      ),
    },
  }
}

/** 1 for the first full bar, 0 for a pickup: as the sheet counts. */
export const barNumberOf = (tune: Pick<Tune, 'pickupTicks'>, index: number): number =>
  index + (tune.pickupTicks > 0 ? 0 : 1)

export const barIndexOf = (tune: Pick<Tune, 'pickupTicks'>, number: number): number =>
  number - (tune.pickupTicks > 0 ? 0 : 1)

export function spokenBar(tune: Tune, index: number, issues: readonly Issue[]): string {
  const bar = tune.bars[index] as TuneBar
  const number = barNumberOf(tune, index)
  return bringWords.barName(
    number === 0 ? bringWords.barTitle(0).toLowerCase() : String(number),
    tune.sections.find(({ startBar }) => startBar === index)?.letter,
    bar.chords.map(({ chord }) => chordType(chord).spoken).join(', '),
    bar.chords.some(({ inferred }) => inferred),
    issues.filter((issue) => issue.bar === index).length,
  )
}
