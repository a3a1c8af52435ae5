/** The tune's own ending, with the fermata that everybody would put there. */
import type { ArrangedBar, Chord } from '../../contract/index.js'
import { fitOf } from '../../fit/index.js'
import { nameOfPitch } from '../../units/index.js'
import { shown } from '../lift/words.js'
import type { Offer, Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { closeOf } from './close.js'
import { surplus } from './idea.js'

export const asWritten: Recipe = {
  id: 'as-written',
  kind: 'ending',
  offer: ({ bars, wish }) => {
    if (bars.length === 0) return { absent: 'There are no bars to end.' }
    const home = homeInstead(bars)
    const settled: readonly Offer[] = home
      ? [
          {
            recipe: 'as-written',
            title: `As written, ${shown(home.goal)} held`,
            params: { bars: 0, close: 'home' },
            summary: `The last time nobody turns back: ${shown(home.goal)} stays to the end under the fermata.`,
            reason: [
              {
                rule: 'EN1',
                text: `the turnaround leads to another chorus, and none comes; ${shown(home.goal)} lasts`,
              },
            ],
            suits: 0.62,
            energy: -0.1,
            distance: 0.02,
            difficulty: 0,
          },
        ]
      : []
    if (home && (wish.more ?? 0) === 0) return { offers: settled }
    return {
      offers: [
        ...settled,
        {
          recipe: 'as-written',
          title: 'As written, with a fermata',
          params: { bars: 0 },
          summary: 'The last note is held as long as the leader likes; nothing has to be rehearsed.',
          reason: [{ rule: 'EN1', text: 'the last bar as written, under a fermata' }],
          suits: home ? 0.4 : 0.6,
          energy: -0.1,
          distance: 0,
          difficulty: 0,
        },
      ],
    }
  },
  apply: (all, chosen) => {
    const home = chosen.option.params['close'] === 'home' ? homeInstead(all) : undefined
    const bars = home ? [...all.slice(0, home.at), ...home.bars.map((bar) => settledBar(bar, chosen.option.id))] : all
    const last = bars.at(-1)
    if (!last) return { bars, issues: [] }
    const held = {
      ...last,
      fermataTick: last.melody.at(-1)?.startTick ?? last.chords.at(-1)?.startTick ?? 0,
      provenance: home ? last.provenance : stamped(last.provenance, 'ending', chosen.option.id, 'EN1'),
    }
    return { bars: [...bars.slice(0, -1), held], issues: surplus(chosen) }
  },
}

/** The bars at home with what turns back left out; undefined where the tune ends at home anyway, or the melody there asks for its turnaround. */
function homeInstead(
  all: readonly ArrangedBar[],
): { readonly at: number; readonly bars: readonly ArrangedBar[]; readonly goal: Chord } | undefined {
  const close = closeOf(all)
  if (!close || close.madeHome > 0) return undefined
  const written = all.slice(close.at)
  const last = written.at(-1)?.chords.at(-1)?.chord
  if (!last || last.root === '' || last.root === close.goal.root) return undefined
  const fits = written.every(({ melody }) => melody.every(({ name }) => fitOf(close.goal, nameOfPitch(name)) === 'ok'))
  return fits ? { at: close.at, bars: close.home, goal: close.goal } : undefined
}

const settledBar = (bar: ArrangedBar, optionId: string): ArrangedBar => ({
  ...bar,
  provenance: stamped(bar.provenance, 'ending', optionId, 'EN1'),
})
