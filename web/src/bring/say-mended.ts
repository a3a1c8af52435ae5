/** A correction to a tune in words, for whoever does not see it on the sheet. */
import type { Tune, TuneMend } from '@chartloft/shared-theory'
import { withSigns } from '../look/note-names.js'
import { sayKey, sayMetre } from '../look/say.js'
import { bringWords } from '../words-bring.js'
import { barNumberOf } from './sheet-marks.js'

/** What is announced of a correction: the tune before it, and after. */
export function sayMended(mend: TuneMend, before: Tune, tune: Tune): string {
  const { said } = bringWords
  const nameOf = (bar: number): string => bringWords.barNumber(barNumberOf(tune, bar))
  const letterAt = (bar: number, of = tune): string =>
    of.sections.find(({ startBar }) => startBar === bar)?.letter ?? ''
  switch (mend.kind) {
    case 'key':
      return said.key(sayKey(tune.key))
    case 'bar-lines':
      return said.metre(sayMetre(tune.metre))
    case 'section':
      return said.section(letterAt(mend.bar), nameOf(mend.bar))
    case 'move-section':
      return said.moved(letterAt(mend.to), nameOf(mend.to))
    case 'remove-section':
      return said.removed(letterAt(mend.bar, before))
    case 'find-form':
      return said.form(tune.sections.map(({ letter }) => letter).join(' '))
    case 'chord': {
      const bars = mend.bars.map(nameOf).join(', ')
      return mend.symbol.trim() === '' ? said.noChord(bars) : said.chord(withSigns(mend.symbol.trim()), bars)
    }
    case 'notes':
      return said.notes(mend.bars.map(nameOf).join(', '))
    case 'confirm': {
      const count = (of: Tune) => of.bars.flatMap(({ chords }) => chords).filter(({ inferred }) => inferred).length
      return said.confirmed(count(before) - count(tune))
    }
    case 'propose':
      return said.proposed
    case 'settle':
      return said.settled(tune.source.issues.length)
    case 'tempo':
      return said.tempo
    case 'title':
      return said.title
  }
}
