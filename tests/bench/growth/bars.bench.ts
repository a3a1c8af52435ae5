/** What a longer tune costs: bars ×1, ×2, ×4, ×8. */
import { describe, it } from 'vitest'
import { costsOf, cpuMs, grows } from './growth.js'
import { DONE_WITH_A_SONG, songOf } from './long-tunes.js'

/** Known to grow a little faster than the music. */
const REASONS: { readonly [what: string]: string } = {
  'folding for the charts':
    'every two places with the same print are tried for a repeat and a jump; a written part of 400 bars takes a few ms',
  'events to play': 'notes are sorted',
  'writing MIDI': 'notes are sorted',
}

const songs = new Map([1, 2, 4, 8].map((times) => [times, songOf(times)]))

describe('[GR1] by bars', () => {
  it.each(Object.entries(DONE_WITH_A_SONG))('%s', async (what, act) => {
    const cost = (times: number) => {
      const song = songs.get(times)
      return song ? cpuMs(() => act(song)) : NaN
    }
    cost(1)
    const points = await costsOf([...songs.keys()], 3, cost)
    const bars = (times: number) => songs.get(times)?.arrangement.bars.length ?? NaN
    grows({
      what,
      by: 'bars',
      unit: 'ms',
      points: points.map(({ size, cost: ms }) => ({ size: bars(size), cost: ms })),
      atMost: what === 'folding for the charts' ? 1.6 : 1.3,
      ...(REASONS[what] ? { reason: REASONS[what] } : {}),
    })
  })
})
