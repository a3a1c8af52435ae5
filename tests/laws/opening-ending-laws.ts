/** What every opening and ending keeps, whatever groove, harmony and lift it stands among: the broken laws of a plan, in words. */
import {
  type ArrangedBar,
  type Chord,
  type Chosen,
  type DecisionKind,
  type Option,
  type Plan,
  type Tune,
  type Wish,
  barTicks,
  compile,
  defaultPlan,
  fitOf,
  nameOfPitch,
  pitchClass,
  proposeOptions,
  tonicOf,
} from '@chartloft/shared-theory'

export interface Measured {
  readonly made: number
  /** Options that could not be played among other choices and left the tune as it was, with their sentence. */
  readonly fallbacks: readonly string[]
  readonly broken: readonly string[]
}

const NO_FERMATA = new Set(['button', 'fade'])
/** Endings that put a number of bars before home, whatever the metre has become. */
const DELAYING = new Set(['delayed-tonic', 'chromatic-descent', 'half-step-above', 'vamp', 'dominant-pedal'])

/** One chorus, nobody playing: the bars are what is measured. */
export function bareChorus(tune: Tune): Plan {
  const plan = defaultPlan(tune)
  return { ...plan, lineup: [], roadmap: plan.roadmap.slice(0, 1) }
}

const choice = (option: Option): Chosen => ({
  kind: option.kind,
  option,
  ...(option.at ? { at: option.at } : {}),
})

/** Every option of a kind laid over every ground: the choices of other kinds made already. */
export function measureAll(
  plan: Plan,
  kind: 'opening' | 'ending',
  grounds: readonly (readonly Chosen[])[],
  options: readonly Option[],
): Measured {
  const fallbacks: string[] = []
  const broken: string[] = []
  let made = 0
  for (const chosen of grounds) {
    const before = compile({ ...plan, chosen }).arrangement.bars
    const among = chosen.map(({ option }) => option.title).join(' + ') || 'nothing else'
    for (const option of options) {
      made++
      const { arrangement, issues } = compile({ ...plan, chosen: [...chosen, choice(option)] })
      const fell = issues.find(({ code }) => code === 'OP13' || code === 'EN13')
      const where = `${plan.tune.title}, ${among}, ${option.title}`
      if (fell) fallbacks.push(`${where}: ${fell.message}`)
      else {
        const said =
          kind === 'opening'
            ? openingFaults(before, arrangement.bars, option)
            : endingFaults(before, arrangement.bars, option)
        broken.push(...said.map((text) => `${where}: ${text}`))
      }
    }
  }
  return { made, fallbacks, broken }
}

/** The groove, harmony and lift options first in rank, one at a time and one of each together. */
export function groundsFor(tune: Tune, plan: Plan, perKind: number): readonly (readonly Chosen[])[] {
  const top = (kind: DecisionKind, count: number): readonly Chosen[] =>
    proposeOptions(tune, kind, plan).slice(0, count).map(choice)
  const grooves = top('groove', perKind)
  const harmony = top('harmony', Math.min(2, perKind))
  const lifts = top('lift', Math.min(2, perKind))
  const together = grooves.slice(0, 3).map((groove) => [groove, ...harmony.slice(0, 1), ...lifts.slice(0, 1)])
  return [[], ...[...grooves, ...harmony, ...lifts].map((one) => [one]), ...together]
}

function openingFaults(
  before: readonly ArrangedBar[],
  bars: readonly ArrangedBar[],
  option: Option,
): readonly string[] {
  const out: string[] = []
  const made = bars.filter(({ pass }) => pass === 'opening')
  const rest = bars.slice(made.length)
  const first = before.find((bar) => bar.lengthTicks === barTicks(bar.metre))
  const asked = Number(option.params['bars'])
  if (option.recipe !== 'own-verse' && made.length !== asked) out.push(`${made.length} bars, ${asked} promised`)
  const hasPickup = before[0] !== first
  const lost = made.length > 0 && hasPickup ? 1 : 0
  if (rest.length !== before.length - lost) out.push('the tune lost or gained bars')
  for (const bar of made) {
    if (first && (bar.metre.beats !== first.metre.beats || bar.metre.beatType !== first.metre.beatType))
      out.push('metre')
    if (first && bar.groups.join() !== first.groups.join()) out.push(`groups ${bar.groups.join('+')}`)
    if (first && bar.key.key !== first.key.key) out.push(`key ${bar.key.key}`)
  }
  const goal = rest[0]?.chords[0]?.chord
  const last = made.at(-1)?.chords.at(-1)?.chord
  const saysWhyNot = option.reason.some(({ text }) =>
    /does not lead|share|no chord comes before|without a chord/.test(text),
  )
  if (last && goal && last.root !== '' && goal.root !== '' && !saysWhyNot && !leads(last, goal))
    out.push(`${last.symbol} does not lead to ${goal.symbol}, and nothing says so`)
  if (option.recipe === 'dominant-pedal') out.push(...pedalFaults(made))
  return out
}

/** Dominant, half step, whole step up, falling fifth or fourth, or the same root; the bass may stand for the root; two tones in common. */
function leads(from: Chord, to: Chord): boolean {
  const ups = [from.root, from.bass ?? from.root].map((name) => (pitchClass(name) - pitchClass(to.root) + 12) % 12)
  const own = new Set(from.notes.map(pitchClass))
  const common = to.notes.filter((name) => own.has(pitchClass(name))).length
  return ups.some((up) => [7, 1, 11, 10, 5, 0].includes(up)) || common >= 2
}

function endingFaults(before: readonly ArrangedBar[], bars: readonly ArrangedBar[], option: Option): readonly string[] {
  const out: string[] = []
  const last = bars.at(-1)
  const chord = last?.chords.at(-1)?.chord
  const sung = bars.findLast(({ melody }) => melody.length > 0)?.melody.at(-1)
  const added = bars.length - before.length
  const asked = Number(option.params['bars'])
  if (DELAYING.has(option.recipe) && added !== asked) out.push(`${added} bars added, ${asked} promised`)
  if ((last?.fermataTick === undefined) !== NO_FERMATA.has(option.recipe)) out.push('fermata')
  const isLiteral = option.recipe === 'as-written' || option.recipe === 'coda'
  if (sung && chord && !isLiteral && option.recipe !== 'fade' && fitOf(chord, nameOfPitch(sung.name)) === 'hard')
    out.push(`${sung.name} does not stand over the last ${chord.symbol}`)
  if (last && chord && !isLiteral && last.key.key.endsWith('minor') && isMajorTonic(chord, last))
    out.push(`a minor key ends on ${chord.symbol}`)
  if (option.recipe === 'dominant-pedal') out.push(...pedalFaults(bars.filter(({ pass }) => pass === 'ending')))
  for (const bar of bars.slice(-Math.max(1, added + 2))) {
    if (bar.chords.reduce((sum, { durationTicks }) => sum + durationTicks, 0) !== bar.lengthTicks)
      out.push('a bar is not filled')
    if (bar.key.key !== last?.key.key && bar.pass === 'ending') out.push('key')
  }
  return out
}

function isMajorTonic(chord: Chord, bar: ArrangedBar): boolean {
  const tonic = pitchClass(tonicOf(bar.key.key))
  return pitchClass(chord.root) === tonic && chord.notes.some((name) => (pitchClass(name) - tonic + 12) % 12 === 4)
}

/** Over the fifth no third of it, where the melody holds the tonic; the fifth in the bass of every bar. */
function pedalFaults(bars: readonly ArrangedBar[]): readonly string[] {
  const out: string[] = []
  for (const bar of bars) {
    const five = (pitchClass(tonicOf(bar.key.key)) + 7) % 12
    for (const { chord } of bar.chords) {
      if (chord.root === '') continue
      if (pitchClass(chord.bass ?? chord.root) !== five) out.push(`bass of ${chord.symbol}`)
      const holdsTonic = bar.melody.some(
        ({ midi, durationTicks }) => midi % 12 === (five + 5) % 12 && durationTicks * 2 >= bar.lengthTicks,
      )
      if (holdsTonic && chord.notes.some((name) => pitchClass(name) === (five + 4) % 12))
        out.push(`the third of the pedal in ${chord.symbol} under a held tonic`)
    }
  }
  return out
}

/** Why a list is thinner than it should be: too few, too alike at its head, or 'show me more' that shows less. */
export function listFaults(tune: Tune, plan: Plan, kind: 'opening' | 'ending', atLeast: number): readonly string[] {
  const out: string[] = []
  const ask = (wish: Wish): readonly Option[] => proposeOptions(tune, kind, plan, undefined, wish)
  const lists = [0, 1, 2].map((more) => ask({ more }))
  const [usual = [], further = [], furthest = []] = lists
  if (usual.length < atLeast) out.push(`${tune.title}: ${usual.length} ${kind}s`)
  const recipes = new Set(usual.map(({ recipe }) => recipe)).size
  if (recipes >= 5 && new Set(usual.slice(0, 5).map(({ recipe }) => recipe)).size < 5)
    out.push(`${tune.title}: the first five ${kind}s are alike`)
  for (const [less, more] of [
    [usual, further],
    [further, furthest],
  ] as const) {
    const names = new Set(more.map(({ title }) => title))
    const gone = less.find(({ title }) => !names.has(title))
    if (gone) out.push(`${tune.title}: more loses '${gone.title}'`)
  }
  for (const option of usual) {
    const { addedBars, addedSeconds, energy, distance, difficulty } = option.effects ?? {}
    const figures = [addedBars, addedSeconds, energy, distance, difficulty]
    if (figures.some((value) => !Number.isFinite(value))) out.push(`${option.title}: effects`)
    if (option.reason.length === 0 || !option.summary.endsWith('.')) out.push(`${option.title}: where it comes from`)
    if (option.summary.length > 190) out.push(`${option.title}: ${option.summary.length} letters are no short sentence`)
  }
  return out
}
