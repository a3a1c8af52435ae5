/** What a band can do where an option takes a part out of its range: an octave, another lead, or a lower start. */
import type { ArrangedBar, PartSpec, Plan, RuleStep } from '../contract/index.js'
import { instrumentOf, leaderOf } from '../instruments/index.js'
import { pitchInKey } from '../units/index.js'

const STEPS = ['', 'a half step', 'a whole step', 'a minor third', 'a major third', 'a fourth', 'a tritone']
const LINE_ROLES: ReadonlySet<PartSpec['role']> = new Set(['lead', 'horn', 'voice'])

/** For each part that leads out of its range: how far, and the mends that work, each a plain sentence. */
export function remediesFor(
  bars: readonly ArrangedBar[],
  plan: Plan,
  parts: readonly string[],
  optionId: string,
): readonly RuleStep[] {
  return parts.flatMap((id) => {
    const part = plan.lineup.find((one) => one.id === id)
    return part ? [{ rule: 'PR13', text: remedyOf(part, bars, plan, optionId) }] : []
  })
}

function remedyOf(part: PartSpec, bars: readonly ArrangedBar[], plan: Plan, optionId: string): string {
  const led = bars.filter(
    ({ melody, pass }) => melody.length > 0 && leaderOf(plan.lineup, passOf(plan, pass)) === part.id,
  )
  const changed = led.filter((bar) => isOf(bar, optionId))
  const [low, high] = instrumentOf(part).range
  const [lowest, highest] = spanOf(led)
  const isHigh = highest > high
  const worst = led.find(({ melody }) => melody.some(({ midi }) => midi === (isHigh ? highest : lowest)))
  const name = part.name.toLowerCase()
  const said = (midi: number): string =>
    (worst ? pitchInKey(midi, worst.key) : '').replaceAll('b', '♭').replaceAll('#', '♯')
  const fault = isHigh
    ? `${said(highest)} is above the ${name}'s ${said(high)}`
    : `${said(lowest)} is below the ${name}'s ${said(low)}`
  const [from, to] = spanOf(changed.length > 0 ? changed : led)
  const way = isHigh ? -12 : 12
  const octave = from + way >= low && to + way <= high
  const passes = new Set(changed.map(({ pass }) => pass))
  const handedOver = changed.length > 0 ? led.filter(({ pass }) => passes.has(pass)) : led
  const others = plan.lineup.filter(
    (other) => other !== part && LINE_ROLES.has(other.role) && covers(other, handedOver),
  )
  const shift = Array.from({ length: 6 }, (_, index) => (isHigh ? -1 : 1) * (index + 1)).find(
    (semitones) => lowest + semitones >= low && highest + semitones <= high,
  )
  const mends = [
    ...(octave
      ? [`the ${name} plays an octave ${isHigh ? 'lower' : 'higher'}${changed.length > 0 ? ' from there' : ''}`]
      : []),
    ...others.slice(0, 1).map((other) => `the ${other.name.toLowerCase()} takes the lead`),
    ...(shift === undefined ? [] : [`the tune starts ${STEPS[Math.abs(shift)]} ${isHigh ? 'lower' : 'higher'}`]),
  ]
  return `${fault}; ${mends.length > 0 ? `what helps: ${mends.join(', or ')}` : 'no octave, other lead or other key of this band helps'}`
}

const passOf = ({ roadmap }: Plan, pass: string): Plan['roadmap'][number] | undefined =>
  roadmap.find(({ id }) => id === pass.split('#')[0])

/** Bars the option moved; the one it only prepares keeps its melody. */
const isOf = ({ provenance }: ArrangedBar, optionId: string): boolean =>
  [provenance, ...(provenance.trail ?? [])].some((step) => step.optionId === optionId && step.rule !== 'LI3')

const spanOf = (bars: readonly ArrangedBar[]): readonly [low: number, high: number] => {
  let [low, high] = [127, 0]
  for (const { melody } of bars)
    for (const { midi } of melody) [low, high] = [Math.min(low, midi), Math.max(high, midi)]
  return [low, high]
}

const covers = (part: PartSpec, bars: readonly ArrangedBar[]): boolean => {
  const [low, high] = instrumentOf(part).range
  const [lowest, highest] = spanOf(bars)
  return lowest >= low && highest <= high
}
