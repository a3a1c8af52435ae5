/** What folding promises, tried on plans nobody chose: used by the law and, with a larger sample, by the bench. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type Arrangement,
  type DecisionKind,
  type Option,
  type Plan,
  type Tune,
  LINEUPS,
  compile,
  defaultPlan,
  fold,
  playingOrder,
  printedContent,
  proposeOptions,
  readTune,
  unfold,
} from '@chartloft/shared-theory'
import { drawn, madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { oddRecipe, tuneFrom } from '../fixtures/odd-tunes.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

export function writtenTunes(): readonly Tune[] {
  return [...DEMO_TUNES.map(({ abc }) => abc), ...MORE_TUNES].map((abc) => {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    return read.value
  })
}

/** What of the promises an arrangement's folded form breaks. */
export function foldFaults(arrangement: Arrangement): readonly string[] {
  const folded = fold(arrangement)
  const faults: string[] = []
  if (JSON.stringify(unfold(folded)) !== JSON.stringify(arrangement)) faults.push('unfold(fold(x)) is another')
  if (folded.bars.length > arrangement.bars.length) faults.push('folded is longer')
  for (const sign of ['segno', 'coda', 'toCoda', 'jump'] as const)
    if (folded.bars.filter((bar) => bar[sign]).length > 1) faults.push(`two of ${sign}`)
  const { order, broken } = playingOrder(folded.bars)
  if (broken.length > 0) faults.push(`marks lead nowhere: ${JSON.stringify(broken)}`)
  // Print by print: whoever follows the marks reads each bar as it was meant.
  const other = order.findIndex((at, index) => {
    const [meant, read] = [arrangement.bars[index], folded.bars[at]?.bar]
    return !meant || !read || printedContent(meant) !== printedContent(read)
  })
  if (other >= 0 || order.length !== arrangement.bars.length) faults.push(`bar ${other + 1} prints another`)
  return faults
}

/** Plans of many kinds over many tunes; `make` gives each with what it is called. */
export function* foldPlans(count: number, seed: number): Generator<{ readonly name: string; readonly plan: Plan }> {
  const written = writtenTunes()
  const draw = drawn(seed)
  const offers = new Map<string, readonly Option[]>()
  for (let round = 0; round < count; round++) {
    const from = draw(4)
    const which = from === 0 ? draw(60) : draw(12)
    const tune =
      from === 0 ? tuneFrom(oddRecipe(which)) : from === 1 ? madeTune(which) : (written[which % written.length] as Tune)
    const base = defaultPlan(tune)
    const chosen = KINDS.flatMap((kind) => {
      if (draw(3) === 0) return []
      const id = `${from > 1 ? 'written' : from}/${which}/${kind}`
      if (!offers.has(id)) offers.set(id, proposeOptions(tune, kind, base))
      const options = offers.get(id) as readonly Option[]
      const option = options[draw(Math.max(1, options.length))]
      return option ? [{ kind, option, ...(option.at ? { at: option.at } : {}) }] : []
    })
    const lineups = [base.lineup, ...Object.values(LINEUPS)]
    const roadmap = base.roadmap.map((pass) =>
      pass.kind === 'solo'
        ? { ...pass, times: 1 + draw(4), ...(draw(3) ? {} : { open: true as const }) }
        : draw(5)
          ? pass
          : { ...pass, times: 2 },
    )
    const plan: Plan = { ...base, roadmap, chosen, lineup: lineups[draw(lineups.length)] as Plan['lineup'] }
    yield {
      name: `round ${round} of seed ${seed}: ${tune.title} ${chosen.map(({ option }) => option.id).join(' + ')}`,
      plan,
    }
  }
}

export interface FoldMeasure {
  readonly faults: readonly string[]
  readonly plans: number
  readonly played: number
  readonly written: number
  readonly withEndings: number
  readonly withJump: number
}

export function measureFold(count: number, seed: number): FoldMeasure {
  const faults: string[] = []
  const sums = { played: 0, written: 0, withEndings: 0, withJump: 0 }
  for (const { name, plan } of foldPlans(count, seed)) {
    const { arrangement } = compile(plan)
    for (const fault of foldFaults(arrangement)) faults.push(`${name}: ${fault}`)
    const { bars } = fold(arrangement)
    sums.played += arrangement.bars.length
    sums.written += bars.length
    sums.withEndings += Number(bars.some(({ ending }) => ending))
    sums.withJump += Number(bars.some(({ jump }) => jump))
  }
  return { faults, plans: count, ...sums }
}

/** Written share of three equal choruses of a tune: every pass as the first, so that nothing of the print differs. */
export function shareOfThree(tune: Tune): number {
  const base = defaultPlan(tune)
  const [first] = base.roadmap
  if (!first) throw new Error('no pass')
  const one = compile({ ...base, roadmap: [first] }).arrangement
  // The pickup's short bar and what closes it are played once.
  const full = one.bars.filter(
    (bar, index) => index > 0 || bar.lengthTicks * bar.metre.beatType >= bar.metre.beats * 20160,
  )
  const bars = [0, 1, 2].flatMap((time) =>
    full.map((bar) => ({ ...bar, pass: time === 0 ? bar.pass : `${bar.pass}#${time + 1}` })),
  )
  const three = { ...one, bars: bars.map((bar, barIndex) => ({ ...bar, barIndex })) }
  return fold(three).bars.length / three.bars.length
}
