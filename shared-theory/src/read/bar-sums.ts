/** Pickups, closing bars and bars cut by a repeat sign: after this every bar but the first and the last is full. */
import { sameMetre } from '../units/index.js'
import type { IssueList } from './issue-list.js'
import { type PlayedBar, inBeats } from './played-bars.js'
import { said } from './said.js'

/** A first bar that is silent but for its last notes is a pickup written out with rests, where that makes the form come out. */
export function shortenEmptyLead(bars: readonly PlayedBar[], issues: IssueList): readonly PlayedBar[] {
  const [first, ...rest] = bars
  const start = first?.notes[0]?.startTick
  if (!first || start === undefined || first.length < first.full || bars.length < 5) return bars
  if (first.chords.length > 0 || start * 2 < first.full || rest.length % 4 !== 0 || bars.length % 4 === 0) return bars
  issues.add(
    'RD6',
    'note',
    first.path,
    said`${first.place}: the rests before the first note were taken off; the bar is a pickup.`,
  )
  const notes = first.notes.map((note) => ({ ...note, startTick: note.startTick - start }))
  return [{ ...first, notes, length: first.length - start }, ...rest]
}

/** Neighbouring short bars that fill one bar together are one bar (a repeat sign or double bar in its middle); the pickup stays alone.
 *  A label on the second half names the section its pickup leads into: the next bar. */
export function joinShort(bars: readonly PlayedBar[]): readonly PlayedBar[] {
  const out: PlayedBar[] = []
  let waitingLabel: string | undefined
  for (const bar of bars) {
    const last = out.at(-1)
    const joins =
      last &&
      out.length > 1 &&
      last.length < last.full &&
      bar.length < bar.full &&
      last.length + bar.length === last.full &&
      sameMetre(last.metre, bar.metre)
    if (!joins) {
      out.push(waitingLabel && !bar.label ? { ...bar, label: waitingLabel } : bar)
      waitingLabel = undefined
      continue
    }
    const shift = last.length
    out[out.length - 1] = {
      ...last,
      length: last.full,
      notes: [...last.notes, ...bar.notes.map((note) => ({ ...note, startTick: note.startTick + shift }))],
      chords: [...last.chords, ...bar.chords.map((chord) => ({ ...chord, startTick: chord.startTick + shift }))],
    }
    waitingLabel = bar.label
  }
  return out
}

/** Only the pickup and the closing bar that completes it may be short; any other is filled with silence, and said. */
export function padShort(bars: readonly PlayedBar[], issues: IssueList): readonly PlayedBar[] {
  const pickup = pickupLength(bars)
  return bars.map((bar, at) => {
    if (bar.length >= bar.full) return bar
    if (at === 0 && pickup > 0) return bar
    if (at === bars.length - 1 && pickup > 0 && bar.length + pickup === bar.full) return bar
    issues.addOnce(
      `short ${bar.writtenBar}`,
      'RD6',
      at === bars.length - 1 ? 'note' : 'warning',
      bar.path,
      said`${bar.place}: ${inBeats(bar.length, bar.metre)} beats in a bar of ${bar.metre.beats}; the rest was filled with silence. Add the missing note or rest.`,
    )
    return { ...bar, length: bar.full }
  })
}

/** A short first bar is a pickup, unless it is most of a bar with its own chord and the form only comes out with it. */
function pickupLength(bars: readonly PlayedBar[]): number {
  const first = bars[0]
  if (!first || bars.length < 2 || first.length >= first.full) return 0
  const last = bars.at(-1)
  const completed = last && last.length + first.length === first.full
  const looksFull = first.length * 2 > first.full && first.chords[0]?.startTick === 0 && bars.length % 4 === 0
  return looksFull && !completed ? 0 : first.length
}
