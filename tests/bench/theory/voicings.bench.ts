/** Voice leading: exact against trying everything, and how long a chart takes. */
import { it } from 'vitest'
import { chord, guitarShapes, minimalVoiceLeading, pitchClassesOf } from '@chartloft/shared-theory'
import { LEAST_MOVES } from '../../fixtures/voice-leading-sizes.js'
import { chartVoiced, leadingFigures, optimumFigures } from '../../laws/voicing-figures.js'
import { figure, processorMs } from '../figure.js'

it('voicings against every path', () => {
  const { progressions, beaten } = optimumFigures(20_260, 10_000)
  figure({
    id: 'VO5',
    what: 'short progressions that do not move as little as the best of all paths',
    value: beaten.length,
    unit: '',
    target: { exactly: 0 },
    note: `${progressions} of two to four chords, every style, three to five voices, seed 20260`,
  })
})

it('least voice leading', () => {
  const pcs = (symbol: string): readonly number[] => pitchClassesOf(chord(symbol))
  figure({
    id: 'VO1',
    what: 'sizes of the table of least voice leadings that are exact',
    value: LEAST_MOVES.filter(([from, to, size]) => minimalVoiceLeading([...pcs(from)], [...pcs(to)]).size === size)
      .length,
    unit: `of ${LEAST_MOVES.length}`,
    target: { exactly: LEAST_MOVES.length },
  })
  const { pairs, wrong } = leadingFigures()
  figure({
    id: 'VO1',
    what: 'pairs of three and four pitch classes whose least motion differs from trying every way',
    value: wrong.length,
    unit: '',
    target: { exactly: 0 },
    note: `all ${pairs} up to transposition`,
  })
})

it('speed', () => {
  for (let warm = 0; warm < 40; warm++) chartVoiced()
  figure({
    id: 'VO8',
    what: '32 bars voiced in four parts',
    value: processorMs(chartVoiced, 25),
    unit: 'ms',
    target: { atMost: 5 },
    note: 'processor time, warm, median of 25',
  })
  for (let warm = 0; warm < 20; warm++) guitarShapes(chord('G13'))
  figure({
    id: 'VO12',
    what: 'guitar shapes of a chord found',
    value: processorMs(() => guitarShapes(chord('G13')), 25),
    unit: 'ms',
    target: { atMost: 5 },
    note: 'processor time, warm, median of 25',
  })
})
