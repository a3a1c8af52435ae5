/** Chooses which bars are written once: simple repeats, and one D.S. (or D.C.) al Coda, by what saves most written bars. */

export interface SimpleRepeat {
  readonly startBar: number
  readonly bars: number
  readonly times: number
}
export interface Jump {
  /** Where the jump leads: the segno, or bar 0 for D.C. */
  readonly toBar: number
  /** First bar played by the jump instead of being written. */
  readonly fromBar: number
  /** Bars played again before the coda. */
  readonly bars: number
}
export interface FoldPlan {
  readonly repeats: readonly SimpleRepeat[]
  readonly jump?: Jump
}

/** Repeats and jumps that save less are not worth the eyes they cost. */
const LEAST_SAVED = 4

/** `prints` names each bar's printed content by number; `starts` are the bars where a section or pass begins, `passStarts` those
 *  of passes: a jump leaves from a pass's end, never from the middle of a form, and best goes to another's start.
 *  The safe form: no repeat inside what a jump plays again (players leave repeats out there) nor in the coda. */
export function planFold(
  prints: readonly number[],
  starts: readonly number[],
  passStarts: ReadonlySet<number>,
): FoldPlan {
  const runs = repeatRuns(prints, starts)
  const none = bestRepeats(runs, [[0, prints.length]])
  let best: { saved: number; ease: number; plan: FoldPlan } = {
    saved: none.saved,
    ease: 9,
    plan: { repeats: none.repeats },
  }
  const mostByRepeats = none.saved
  for (const toBar of starts) {
    for (const fromBar of passStarts) {
      if (fromBar <= toBar) continue
      const bars = sharedBars(prints, toBar, fromBar)
      if (bars < LEAST_SAVED || bars + mostByRepeats < best.saved) continue
      const outside = bestRepeats(runs, [
        [0, toBar],
        [toBar + bars, fromBar],
      ])
      const saved = bars + outside.saved
      const ease = Number(passStarts.has(toBar))
      if (saved > best.saved || (saved === best.saved && ease > best.ease)) {
        best = { saved, ease, plan: { repeats: outside.repeats, jump: { toBar, fromBar, bars } } }
      }
    }
  }
  return best.plan
}

/** How many bars from one place print like those from another, kept short of the jump itself and leaving a bar for the coda. */
function sharedBars(prints: readonly number[], toBar: number, fromBar: number): number {
  const most = Math.min(fromBar - toBar - 1, prints.length - fromBar - 1)
  let bars = 0
  while (bars < most && prints[toBar + bars] === prints[fromBar + bars]) bars++
  return bars
}

/** For each section start the repeat that saves most: a stretch followed by itself. */
function repeatRuns(prints: readonly number[], starts: readonly number[]): readonly SimpleRepeat[] {
  const places = new Set(starts)
  return starts.flatMap((startBar) => {
    let best: SimpleRepeat | undefined
    for (let bars = 1; startBar + 2 * bars <= prints.length; bars++) {
      // A repeat ends where a section does, or stays inside one (a vamp).
      let times = 1
      while (isCopy(prints, startBar, startBar + times * bars, bars)) times++
      while (times > 1 && !endsWell(startBar, bars, times, places, prints.length)) times--
      const saved = (times - 1) * bars
      if (saved >= LEAST_SAVED && (!best || saved > (best.times - 1) * best.bars)) best = { startBar, bars, times }
    }
    return best ? [best] : []
  })
}

function isCopy(prints: readonly number[], a: number, b: number, bars: number): boolean {
  if (b + bars > prints.length) return false
  for (let index = 0; index < bars; index++) if (prints[a + index] !== prints[b + index]) return false
  return true
}

/** The last playing ends at a section's end, or the whole repeat lies inside one section. */
function endsWell(startBar: number, bars: number, times: number, starts: ReadonlySet<number>, length: number): boolean {
  const end = startBar + bars * times
  if (end === length || starts.has(end)) return true
  for (let bar = startBar + 1; bar < end; bar++) if (starts.has(bar)) return false
  return true
}

/** The set of repeats inside given stretches, none overlapping, that saves most: taken from the end backwards. */
function bestRepeats(
  runs: readonly SimpleRepeat[],
  stretches: readonly (readonly [from: number, to: number])[],
): { readonly saved: number; readonly repeats: readonly SimpleRepeat[] } {
  let saved = 0
  const repeats: SimpleRepeat[] = []
  for (const [from, to] of stretches) {
    const inside = runs.filter(({ startBar, bars, times }) => startBar >= from && startBar + bars * times <= to)
    const bestFrom: { saved: number; repeats: readonly SimpleRepeat[] }[] = []
    for (let index = inside.length - 1; index >= 0; index--) {
      const run = inside[index] as SimpleRepeat
      const end = run.startBar + run.bars * run.times
      const after = inside.findIndex(({ startBar }) => startBar >= end)
      const rest = after < 0 ? NOTHING : (bestFrom[after] ?? NOTHING)
      const taken = { saved: (run.times - 1) * run.bars + rest.saved, repeats: [run, ...rest.repeats] }
      const left = bestFrom[index + 1] ?? NOTHING
      bestFrom[index] = taken.saved > left.saved ? taken : left
    }
    saved += (bestFrom[0] ?? NOTHING).saved
    repeats.push(...(bestFrom[0] ?? NOTHING).repeats)
  }
  return { saved, repeats }
}

const NOTHING = { saved: 0, repeats: [] as readonly SimpleRepeat[] }
