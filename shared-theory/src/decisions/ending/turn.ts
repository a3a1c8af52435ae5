/** The turn: the bars before home that lead there, for endings that go round once more. */
import type { ArrangedBar, Chord } from '../../contract/index.js'
import { qualityOf } from '../../chords/index.js'
import { mod, pitchClass } from '../../units/index.js'
import type { Close } from './close.js'
import type { Params } from './idea.js'

/** Tune bars that turn home: usually ii and V; three where home is one bar, so that turn and home are a phrase of four. */
const TUNE_BARS = 2
const TUNE_BARS_BEFORE_ONE = 3
const PHRASE = 4
/** Most bars they can have become in a longer metre. */
const MOST = 6

/** The bars before `at` that came from the last two tune bars, or the sentence why they do not turn home. */
export function turnOf(close: Close): readonly ArrangedBar[] | string {
  const { bars, at, home, goal, madeHome } = close
  if (madeHome > 0) return turnWithHome(close)
  const homeBar = home[0]?.provenance.tuneBar
  const most = isOneTuneBar(home) ? TUNE_BARS_BEFORE_ONE : TUNE_BARS
  let from = at
  while (from > 0 && at - from < MOST) {
    const bar = bars[from - 1] as ArrangedBar
    const next = bars[from] ?? home[0]
    const tuneBar = bar.provenance.tuneBar
    if (tuneBar === undefined || homeBar === undefined || homeBar - tuneBar > most || homeBar <= tuneBar) break
    if (next !== undefined && from < at && next.pass !== bar.pass) break
    from--
  }
  const turn = bars.slice(from, at)
  const last = turn.at(-1)?.chords.at(-1)?.chord
  if (!last || last.root === '') return 'No bars before the last chord turn home.'
  return pulls(last, goal)
    ? turn
    : 'The bars before the last chord do not turn home, so going round them again says nothing.'
}

/** Home as the tune's last bar alone, however many bars a longer metre has made of it. */
export function isOneTuneBar(home: readonly ArrangedBar[]): boolean {
  return new Set(home.map(({ provenance }) => provenance.tuneBar)).size === 1
}

/** Where home comes inside the last bar: that bar, with the one before it unless the tune has just begun again there. Where it is only
 *  the last note that comes there, home having come before: the tune's last phrase, home and all. */
function turnWithHome({ bars, goal, homeTick }: Close): readonly ArrangedBar[] | string {
  const last = bars.at(-1)
  const before = bars.at(-2)
  if (!last) return 'No bars before the last chord turn home.'
  const isAway = ({ root }: Chord): boolean => root !== '' && pitchClass(root) !== pitchClass(goal.root)
  const inTurn = last.chords.filter(({ startTick }) => startTick < homeTick).map(({ chord }) => chord)
  const lead = inTurn.findLast(isAway)
  if (!lead) {
    const phrase = lastPhrase(bars)
    const leading = phrase.flatMap(({ chords }) => chords.map(({ chord }) => chord)).findLast(isAway)
    return leading && pulls(leading, goal)
      ? phrase
      : 'The bars before the last chord do not turn home, so going round them again says nothing.'
  }
  const first = before?.chords[0]?.chord
  const isFar = before?.pass !== last.pass || first === undefined || first.root === ''
  const round = isFar || pitchClass(first.root) === pitchClass(goal.root) ? [last] : bars.slice(-2)
  return pulls(lead, goal) ? round : 'The last bar does not turn home, so going round it again says nothing.'
}

/** The bars that came from the last four tune bars of the pass. */
function lastPhrase(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const last = bars.at(-1)
  const end = last?.provenance.tuneBar
  if (!last || end === undefined) return bars.slice(-1)
  let from = bars.length - 1
  while (from > 0) {
    const { pass, provenance } = bars[from - 1] as ArrangedBar
    const tuneBar = provenance.tuneBar
    if (pass !== last.pass || tuneBar === undefined || tuneBar > end || end - tuneBar >= PHRASE) break
    from--
  }
  return bars.slice(from)
}

function pulls(chord: Chord, goal: Chord): boolean {
  const up = mod(pitchClass(chord.root) - pitchClass(goal.root), 12)
  return up === 7 || (['dominant', 'sus', 'diminished'].includes(qualityOf(chord)) && [1, 11, 10].includes(up))
}

/** The phrase begins anew: a note held to its bar line stops there, also where the phrase begins on the same pitch. */
export function untied(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const last = bars.at(-1)
  const note = last?.melody.at(-1)
  if (!last || !note?.tiedToNext) return bars
  const { tiedToNext: _tie, ...ended } = note
  return [...bars.slice(0, -1), { ...last, melody: [...last.melody.slice(0, -1), ended] }]
}

/** The bars asked for where a round is now of another length than when the option was made (another groove, another metre): as many
 *  rounds as were meant then. A number of bars set by hand stays. */
export function inRounds(params: Params, round: number): Params {
  const bars = params['bars']
  const then = params['round']
  if (typeof bars !== 'number' || typeof then !== 'number' || then < 1 || bars % then !== 0) return params
  return { ...params, bars: (bars / then) * round }
}
