/** Chords proposed for tunes without: how much of the melody they carry, and how often their roots are those a player wrote. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { LIMITS, type Tune, proposeChords } from '@chartloft/shared-theory'
import { madeTune } from '../../fixtures/made-tunes.js'
import { harmoniseFigures, sumOf, traditionalTunes, tuneOfAbc, withoutChords } from '../../laws/harmonise-laws.js'
import { figure, processorMs } from '../figure.js'

const groups: readonly (readonly [name: string, tunes: readonly Tune[]])[] = [
  ['demo tunes', DEMO_TUNES.map(({ abc }) => tuneOfAbc(abc))],
  ['traditional tunes', traditionalTunes()],
  ['1,000 generated tunes', Array.from({ length: 1000 }, (_, seed) => madeTune(seed))],
]

for (const [name, tunes] of groups)
  it(name, () => {
    const found = tunes.map(harmoniseFigures)
    const downbeats = sumOf(found, 'downbeats')
    figure({
      id: 'LW14',
      what: `downbeat melody on chord tones or accepted tensions of proposed chords: ${name}`,
      value: (100 * sumOf(found, 'carried')) / downbeats,
      unit: '%',
      target: { atLeast: 90 },
      note: `${tunes.length} tunes, ${downbeats} downbeats`,
    })
    if (name !== 'traditional tunes') return
    figure({
      id: 'LW14',
      what: `roots as the player wrote them: ${name}`,
      value: (100 * sumOf(found, 'sameRoot')) / sumOf(found, 'compared'),
      unit: '%',
      target: { atLeast: 60 },
      note: 'by sixteenths; other roots may be as good',
    })
  })

it('the longest tune', () => {
  const short = withoutChords(traditionalTunes()[0] as Tune)
  const bars = Array.from({ length: LIMITS.tuneBars }, (_, index) => ({
    ...(short.bars[index % short.bars.length] as Tune['bars'][number]),
    barIndex: index,
  }))
  const long: Tune = {
    ...short,
    bars,
    sections: [{ ...(short.sections[0] as Tune['sections'][number]), bars: bars.length }],
  }
  figure({
    id: 'LW14',
    what: `chords proposed for ${bars.length} bars`,
    value: processorMs(() => proposeChords(long)),
    unit: 'ms',
    target: { atMost: 250 },
  })
})
