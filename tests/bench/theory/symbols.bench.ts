/** How many chord symbols are read right, how many wrongly without a word, and how fast. */
import { it } from 'vitest'
import { parseChord } from '@chartloft/shared-theory'
import { HOSTILE_SYMBOLS } from '../../fixtures/hostile-symbols.js'
import { madeSymbols } from '../../fixtures/symbol-grammar.js'
import { WRITTEN_CHORDS } from '../../fixtures/written-chords.js'
import { judgeMade, judgeWritten, shareRight } from '../../outside/judge-symbols.js'
import { figure, processorMs } from '../figure.js'

it('symbols as charts write them', () => {
  const judged = judgeWritten(WRITTEN_CHORDS)
  figure({
    id: 'CH3',
    what: 'chord symbols as charts write them, right',
    value: shareRight(judged),
    unit: '%',
    target: { atLeast: 99.5 },
    note: `${judged.read + judged.refused.length + judged.wrong.length} symbols of a hand-made list`,
  })
  figure({
    id: 'CH3',
    what: 'of those misread in silence',
    value: judged.wrong.length,
    unit: '',
    target: { exactly: 0 },
  })
})

it('symbols of a grammar of its own', () => {
  const judged = judgeMade(madeSymbols(4711, 40_000))
  figure({
    id: 'CH3',
    what: 'chord symbols from an independent grammar, right to the spelling',
    value: shareRight(judged),
    unit: '%',
    target: { atLeast: 99.5 },
    note: '40,000 different symbols, seed 4711, notes by interval',
  })
  figure({
    id: 'CH3',
    what: 'of the grammar misread in silence',
    value: judged.wrong.length,
    unit: '',
    target: { exactly: 0 },
  })
})

it('texts that are no chord, or two', () => {
  figure({
    id: 'CH7',
    what: 'texts that are no chord or two, read all the same',
    value: HOSTILE_SYMBOLS.filter((text) => parseChord(text).ok).length,
    unit: '',
    target: { exactly: 0 },
    note: `${HOSTILE_SYMBOLS.length} texts`,
  })
})

it('speed', () => {
  const texts = madeSymbols(7, 10_000).map(({ text }) => text)
  const readAll = (): void => {
    for (const text of texts) parseChord(text)
  }
  for (let warm = 0; warm < 10; warm++) readAll()
  figure({
    id: 'CH8',
    what: 'chord symbols read in a second',
    value: Math.round((1000 * texts.length) / Math.min(...Array.from({ length: 15 }, () => processorMs(readAll, 1)))),
    unit: 'symbols/s',
    target: { atLeast: 200_000 },
    note: '10,000 different symbols, processor time, warm, least of 15',
  })
})
