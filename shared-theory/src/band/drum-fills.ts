/** Fills, counts into time, and stops: what the drummer does at the joins. Source: common practice; the rules are the groove book's. */
import { type DrumRow } from '../rhythm/index.js'
import type { BarFrame } from './frame.js'
import { attacksOf } from './melody-room.js'

/** Full: a bar of fill; whole: the groove's own, its first half mostly time; half: its second half after the pattern. */
export type FillForm = 'full' | 'whole' | 'half' | 'none'

/** A fill stands in the last bar of a section of four or more, where the melody leaves its second half free; before the solos and before the
 *  last section also at level 1 and in shorter sections. At level 5, and before the energy leaps, it takes the whole bar. */
export function fillForm(frame: BarFrame, frames: readonly BarFrame[]): FillForm {
  const { level, barInSection, sectionBars, groove } = frame
  if (groove.feel === 'rubato' || !(barInSection === sectionBars - 1 || endsBluesPhrase(frame) || endsOwnPhrase(frame)))
    return 'none'
  const next = frames[frame.index + 1]
  if (!next || next.bar.feel === 'rubato' || frame.bar.lengthTicks < frame.patternTicks) return 'none'
  if ((level === 1 || sectionBars < 4) && !isMarked(frame, next, frames)) return 'none'
  const attacks = attacksOf(frame.bar, frames[frame.index - 1]?.bar)
  if (attacks.filter((tick) => tick >= halfTick(frame)).length > 1) return 'none'
  if (level <= 2) return next.level - level >= 2 && attacks.length <= 1 ? 'whole' : 'half'
  // A backbeat keeps its two under a held note as far as the middle.
  const mayBeFull = attacks.length <= 1 && !(groove.id === 'backbeat' && attacks.length === 1)
  return (level === 5 || next.level - level >= 2) && mayBeFull ? 'full' : 'whole'
}

/** A blues of twelve bars has its phrases in fours: the shuffle says so. */
const endsBluesPhrase = ({ groove, sectionBars, barInSection }: BarFrame): boolean =>
  groove.id === 'shuffle' && sectionBars === 12 && barInSection % 4 === 3

/** A drummer alone before the tune says where four bars end. */
const endsOwnPhrase = ({ isDrumsAlone, isSolo, barInSection }: BarFrame): boolean =>
  isDrumsAlone && !isSolo && barInSection % 4 === 3

/** Before the solos and before the last section there is always one. */
function isMarked(frame: BarFrame, next: BarFrame, frames: readonly BarFrame[]): boolean {
  if (frame.index === 0 || next.barInSection !== 0) return false
  const toSolos = !frame.isSolo && next.isSolo
  return toSolos || next.index + next.sectionBars === frames.length
}

/** Rows a fill is played from. */
export function fillRows(frame: BarFrame, form: FillForm): readonly DrumRow[] {
  const rows = quietly(frame, withSticks(frame, frame.groove.drums.fill ?? []))
  return form === 'full' ? (fullFill(frame, rows) ?? rows) : rows
}

/** Up to level 2 a fill has no accents: it stands no higher than the time it leaves. */
function quietly({ level }: BarFrame, rows: readonly DrumRow[]): readonly DrumRow[] {
  if (level > 2) return rows
  return rows.map(({ row, bars }) => ({ row, bars: bars.map((bar) => bar.replaceAll('X', 'x')) }))
}

/** Nobody changes sticks and brushes from bar to bar: where sticks keep the time (level 4 on) they play the fill and the last hit too. */
export function withSticks({ groove, level }: BarFrame, rows: readonly DrumRow[]): readonly DrumRow[] {
  const putAway = (groove.thickened ?? []).some(
    ({ levels: [from, to], instead }) => level >= from && level <= to && instead?.includes('btap'),
  )
  if (!putAway) return rows
  return rows.flatMap((each) =>
    each.row === 'bsweep' ? [] : each.row === 'btap' ? [{ ...each, row: 'snare' }] : [each],
  )
}

const FEET: ReadonlySet<string> = new Set(['kick', 'hatfoot'])

/** The fill's second half said twice, softer first, where the bar halves; the feet go on. */
function fullFill(frame: BarFrame, rows: readonly DrumRow[]): readonly DrumRow[] | undefined {
  const { grid } = frame.groove
  const half = grid / 2
  if (halfTick(frame) * 2 !== frame.patternTicks || !Number.isInteger(half)) return undefined
  const speaks = rows.filter(({ row, bars }) => !FEET.has(row) && /[^.-]/.test(bars[0]?.slice(half) ?? ''))
  if (speaks.length === 0) return undefined
  return [
    ...rows.filter(({ row }) => FEET.has(row)),
    ...speaks.map(({ row, bars }) => ({
      row,
      bars: bars.map((bar) => bar.slice(half).replaceAll('X', 'x') + bar.slice(half)),
    })),
  ]
}

/** Time stops in the middle of the bar: before a free section with a swell, before a much quieter one with silence. */
export function stopsBefore(frame: BarFrame, frames: readonly BarFrame[]): 'rubato' | 'quiet' | undefined {
  const next = frames[frame.index + 1]
  if (!next || frame.groove.feel === 'rubato' || frame.bar.lengthTicks < frame.patternTicks) return undefined
  if (next.groove.feel === 'rubato') return 'rubato'
  const isQuieter = next.barInSection === 0 && frame.level - next.level >= 2 && next.bar.pass !== 'ending'
  return isQuieter && frame.sectionBars >= 4 ? 'quiet' : undefined
}

/** The close of a cha-cha: before its button everybody hits four and its off-beat, and home. */
export function closesChaCha(frame: BarFrame, frames: readonly BarFrame[], stop: string): boolean {
  const isPlain = frame.bar.lengthTicks === frame.patternTicks && frame.bar.tempoEndBpm === undefined
  return frame.groove.id === 'cha-cha' && stop === 'button' && frame.index === frames.length - 2 && isPlain
}
/** Its rows, and the ticks of its two hits. */
export const CHA_CHA_CLOSE: readonly DrumRow[] = [
  { row: 'timbalehigh', bars: ['......xx'] },
  { row: 'kick', bars: ['......xx'] },
]
export const CHA_CHA_HITS: readonly number[] = [15120, 17640]

/** The bar before the last of a ritardando. */
export function isThinning(frame: BarFrame, frames: readonly BarFrame[]): boolean {
  const { tempoBpm, tempoEndBpm } = frame.bar
  return tempoEndBpm !== undefined && tempoEndBpm < tempoBpm && frame.index === frames.length - 2
}

/** The last free bar before time begins: the coming groove's fill in its second half, or the foot alone where the melody fills it. */
export function countInRows(frame: BarFrame, frames: readonly BarFrame[]): readonly DrumRow[] | undefined {
  const next = frames[frame.index + 1]
  if (frame.groove.feel !== 'rubato' || !next || next.groove.feel === 'rubato') return undefined
  const half = halfTick(frame)
  const isBusy = attacksOf(frame.bar).some((tick) => tick >= half)
  const fill = next.groove.drums.fill
  if (fill && !isBusy && next.patternTicks === frame.patternTicks) return fill
  const { beats } = frame.bar.metre
  return [{ row: 'hatfoot', bars: [`${'.'.repeat(Math.max(0, beats - 2))}${'x'.repeat(Math.min(2, beats))}`] }]
}

/** Middle of the bar: the group start nearest to it. */
export function halfTick(frame: BarFrame): number {
  const { groups, metre } = frame.bar
  if (groups.length < 2) return frame.patternTicks / 2
  const unit = frame.patternTicks / metre.beats
  let at = 0
  let best = 0
  for (const group of groups) {
    if (Math.abs(at - frame.patternTicks / 2) < Math.abs(best - frame.patternTicks / 2)) best = at
    at += group * unit
  }
  return best
}
