/** VA5 for one part: by what the band plays there and played before the lift, else by what clashes where it stands and would not a lift further. */
import type { PartBars } from '../band/index.js'
import type { Issue, PartNote } from '../contract/index.js'
import { mod } from '../units/index.js'
import { isSameMusic } from './as-planned.js'
import type { PlayedBefore } from './before-lift.js'
import { type CheckContext, type CheckedPart, notesOf } from './check-context.js'
import { type Moved, checkEach, unmovedIssue } from './moved-bars.js'
import { type Verdict, isMelody, verdictOf } from './part-verdict.js'

/** A stretch that clashes where it stands and would not a lift further has been left behind. */
export function checkPart(
  context: CheckContext,
  moved: readonly Moved[],
  part: CheckedPart,
  before: PlayedBefore,
): Issue[] {
  const verdicts = moved.map((item) => verdictOf(item, part))
  const isAsked = verdicts.some((verdict) => verdict.isInDoubt || isSuspect(verdict))
  const planned = isAsked ? context.planned()?.part(part) : undefined
  const left = new Set(planned ? moved.filter((item) => isLeft(item, part, planned, before)) : [])
  // Where the band would rest, somebody has written the part: the plan does not know it.
  const isOther = (item: Moved): boolean =>
    planned?.[item.index]?.length === 0 && notesOf(item.bar, part).length > 0 && !left.has(item)
  if (planned && !moved.some(isOther)) {
    const behind = new Set(moved.filter((item, place) => isPartBehind(item, part, planned, verdicts[place] as Verdict)))
    return checkEach(context, moved, `parts/${part.spec.id}`, `the ${part.name}`, (item) => {
      return behind.has(item) || left.has(item)
    })
  }
  const found: Issue[] = []
  let at = 0
  while (at < verdicts.length) {
    // Begin where the notes would gain by moving; go on while they do.
    let end = at
    let hardNow = 0
    let hardMoved = 0
    let hasOldNotes = false
    while (end < verdicts.length && isSuspect(verdicts[end]) && isNext(moved, at, end)) {
      hardNow += (verdicts[end] as Verdict).hardNow
      hardMoved += (verdicts[end] as Verdict).hardMoved
      hasOldNotes ||= (verdicts[end] as Verdict).hasOldNotes
      end++
    }
    const first = moved[at] as Moved
    if ((hardNow > 0 || hasOldNotes) && hardMoved === 0 && !isMelody(first, part)) {
      found.push(unmovedIssue(context, first, `parts/${part.spec.id}`, `the ${part.name}`))
    }
    at = Math.max(end, at + 1)
  }
  return found
}

/** Note for note what the band played before the lift, with a stroke it has not now. */
function isLeft({ index, bar }: Moved, part: CheckedPart, planned: PartBars, before: PlayedBefore): boolean {
  const notes = notesOf(bar, part)
  const meant = planned[index] ?? []
  if (notes.length === 0 || isSameMusic(notes, meant)) return false
  const old = before(part, index)
  if (!old || !isSameMusic(notes, old)) return false
  const now = new Set(meant.map(({ startTick, midi }) => `${startTick} ${mod(midi, 12)}`))
  return notes.some(({ startTick, midi }) => !now.has(`${startTick} ${mod(midi, 12)}`))
}

/** Not what the band plays here: strokes that stand a lift below the band's, or something that fits as well a lift further. */
function isPartBehind(
  { index, bar, last }: Moved,
  part: CheckedPart,
  planned: PartBars,
  { fitsAsWell }: Verdict,
): boolean {
  const notes = notesOf(bar, part)
  const meant = planned[index] ?? []
  if (notes.length === 0 || meant.length === 0 || isSameMusic(notes, meant)) return false
  const [own, band] = [strokesOf(notes, 0), strokesOf(meant, 0)]
  const further = strokesOf(notes, last)
  const places = [...own.keys()].filter((tick) => band.has(tick))
  const away = places.filter((tick) => own.get(tick) !== band.get(tick) && further.get(tick) === band.get(tick))
  const isMostlyAway = away.length * 2 >= places.length || (part.spec.role === 'bass' && away.includes(0))
  if (away.length > 0) return fitsAsWell || isMostlyAway
  return fitsAsWell && places.every((tick) => own.get(tick) !== band.get(tick))
}

/** The pitch classes struck at each place, as text to compare. */
function strokesOf(notes: readonly PartNote[], semitones: number): ReadonlyMap<number, string> {
  const strokes = new Map<number, Set<number>>()
  for (const { startTick, midi } of notes) {
    strokes.set(startTick, (strokes.get(startTick) ?? new Set()).add(mod(midi + semitones, 12)))
  }
  return new Map([...strokes].map(([tick, pcs]) => [tick, [...pcs].sort((x, y) => x - y).join(' ')]))
}

const isSuspect = (verdict: Verdict | undefined): boolean =>
  verdict !== undefined && (verdict.tonesLost > 0 || verdict.hasOldNotes)

const isNext = (moved: readonly Moved[], from: number, to: number): boolean =>
  (moved[to] as Moved).index - (moved[from] as Moved).index === to - from
