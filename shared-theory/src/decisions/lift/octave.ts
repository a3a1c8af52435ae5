/** A lift that takes the melody out of its player's range, mended by an octave. */
import type { ArrangedBar, PartSpec, Plan } from '../../contract/index.js'
import { instrumentOf, leaderOf } from '../../instruments/index.js'

/** −1 or 1 where the lifted melody leaves the range of whoever leads, did not before, and lies inside it an octave lower or higher
 *  for everyone who leads from there on. */
export function octaveRemedy(
  bars: readonly ArrangedBar[],
  index: number,
  semitones: number,
  plan: Plan,
): -1 | 1 | undefined {
  const led = ledFrom(bars, index, plan)
  const fits = (shift: number): boolean =>
    led.every(({ leader, low, high }) => {
      const [bottom, top] = instrumentOf(leader).range
      return low + shift >= bottom && high + shift <= top
    })
  if (led.length === 0 || fits(semitones) || !fits(0)) return undefined
  const octave = semitones > 0 ? -1 : 1
  return fits(semitones + 12 * octave) ? octave : undefined
}

interface Led {
  readonly leader: PartSpec
  readonly low: number
  readonly high: number
}

/** Who leads from a bar on, and the lowest and highest note of what they play there. */
function ledFrom(bars: readonly ArrangedBar[], index: number, { lineup, roadmap }: Plan): readonly Led[] {
  const led = new Map<string, Led>()
  for (const { pass, melody } of bars.slice(index)) {
    if (melody.length === 0) continue
    const id = leaderOf(
      lineup,
      roadmap.find((known) => known.id === pass.split('#')[0]),
    )
    const leader = lineup.find((part) => part.id === id)
    if (!leader) continue
    const midi = melody.map((note) => note.midi)
    const known = led.get(leader.id)
    led.set(leader.id, {
      leader,
      low: Math.min(known?.low ?? 127, ...midi),
      high: Math.max(known?.high ?? 0, ...midi),
    })
  }
  return [...led.values()]
}
