/** Chooses which bars are written once: repeats with or without endings, and one D.S. (or D.C.) al Coda, by what saves most written bars. */
import { bestRepeats, LEAST_SAVED, type Repeat } from './repeats.js'
import { sharedPrints } from './shared-prints.js'

export interface Jump {
  /** Where the jump leads: the segno, or bar 0 for D.C. */
  readonly toBar: number
  /** First bar played by the jump instead of being written. */
  readonly fromBar: number
  /** Bars played again before the coda. */
  readonly bars: number
}
export interface FoldPlan {
  readonly repeats: readonly Repeat[]
  readonly jump?: Jump
}

/** `prints` names each bar's printed content by number; `starts` are the bars where a section or pass begins, `passStarts` those
 *  of passes: a jump leaves from a pass's end, never from the middle of a form, and best goes to another's start.
 *  The safe form: no repeat inside what a jump plays again (players leave repeats out there) nor in the coda. */
export function planFold(
  prints: readonly number[],
  starts: readonly number[],
  passStarts: ReadonlySet<number>,
): FoldPlan {
  const shared = sharedPrints(prints)
  const repeats = bestRepeats(shared, starts, passStarts)
  const none = repeats.before(prints.length)
  let best: { saved: number; ease: number; plan: FoldPlan } = {
    saved: none.saved,
    // A repeat is easier to read than a jump; of a chorus that comes back to another ending players expect the jump.
    ease: none.repeats.some(({ ending }) => ending) ? -1 : 9,
    plan: { repeats: none.repeats },
  }
  for (const fromBar of passStarts) {
    const landings = starts.filter((toBar) => toBar < fromBar && shared.from(toBar, fromBar) >= LEAST_SAVED)
    if (landings.length === 0 || prints.length - fromBar - 1 + repeats.before(fromBar).saved < best.saved) continue
    const between = repeats.upTo(fromBar)
    for (const toBar of landings) {
      // Short of the jump itself, and a bar is left for the coda.
      const most = Math.min(shared.from(toBar, fromBar), fromBar - toBar - 1, prints.length - fromBar - 1)
      const before = repeats.before(toBar)
      const ease = Number(passStarts.has(toBar))
      for (let bars = most; bars >= LEAST_SAVED; bars--) {
        const after = between(toBar + bars)
        const saved = before.saved + bars + after.saved
        if (saved < best.saved || (saved === best.saved && ease <= best.ease)) continue
        best = { saved, ease, plan: { repeats: [...before.repeats, ...after.repeats], jump: { toBar, fromBar, bars } } }
      }
    }
  }
  return best.plan
}
