/** What stands above the staves of a chart, bar by bar, for whoever draws it there: letters, names, tempo, signs, jumps. */
import type { ArrangedBar, FoldedBar } from '../../contract/index.js'
import { barGrid } from './bar-grid.js'
import type { ChartBar } from './measure.js'

/** Feel, slowing and beat as they are printed where they change. */
export interface TimeMark {
  readonly feel?: string
  readonly ramp?: 'rit.' | 'accel.'
  readonly beat?: { readonly unit: 'half' | 'quarter'; readonly isDotted: boolean; readonly perMinute: number }
}

/** One written bar of a chart. */
export interface ChartMark {
  /** Its number in the chart; 0 is a pickup. */
  readonly number: number
  /** Indices into Arrangement.bars of what it plays, in order. */
  readonly playings: readonly number[]
  /** Bars of rest its sign stands for; the bars after it are inside. */
  readonly restBars?: number
  readonly letter?: string
  /** 'A', 'B · Last chorus'. */
  readonly form?: string
  readonly time?: TimeMark
  /** Free words: 'on cue', 'Solo', 'fill'. */
  readonly words?: string
  readonly segno?: true
  readonly coda?: true
  readonly toCoda?: true
  /** 'D.S. al Coda (no repeats)'. */
  readonly jump?: string
  /** '3×', 'Open, on cue': at the end of a repeat. */
  readonly times?: string
}

/** Tempo and feel where they change. `feelName` is printed only where it changes. Where the band plays freely its pushing and holding back is
 *  only for playback, and the time after it begins with a number. */
export function timeMark(
  bar: ArrangedBar,
  before: ArrangedBar | undefined,
  feelName: (feel: string) => string,
): TimeMark {
  const isFree = bar.feel === 'rubato'
  const wasFree = before?.feel === 'rubato'
  const isRamp = bar.tempoEndBpm !== undefined
  const wasRamp = before?.tempoEndBpm !== undefined
  const isNewTime = wasFree || (hasNewTempo(bar, before) && !(isRamp && wasRamp))
  return {
    ...(!before || before.feel !== bar.feel ? { feel: feelName(bar.feel) } : {}),
    ...(bar.tempoEndBpm !== undefined && !isFree && (!wasRamp || wasFree)
      ? { ramp: bar.tempoEndBpm < bar.tempoBpm ? 'rit.' : 'accel.' }
      : {}),
    ...(isNewTime && !isFree ? { beat: countedBeat(bar) } : {}),
  }
}

/** Whether a bar starts at another tempo than the one before it ends at. */
export function hasNewTempo(bar: ArrangedBar, before: ArrangedBar | undefined): boolean {
  const ended = before && (before.tempoEndBpm ?? before.tempoBpm)
  return ended === undefined || Math.abs(ended - bar.tempoBpm) > 0.5
}

/** The beat people count and how many a minute: a dotted quarter in 6/8. */
function countedBeat(bar: ArrangedBar): NonNullable<TimeMark['beat']> {
  const isDotted = barGrid(bar).isCompound
  const isHalf = bar.metre.beatType === 2
  const perMinute = Math.round(isDotted ? bar.tempoBpm / 1.5 : isHalf ? bar.tempoBpm / 2 : bar.tempoBpm)
  return { unit: isHalf ? 'half' : 'quarter', isDotted, perMinute }
}

/** What stands over the end of a repeat: how often, where neither two times nor endings say it. */
export function timesWords(folded: FoldedBar, isOpen: boolean): string | undefined {
  const times = folded.repeatEnd
  if (times !== undefined && isOpen) return 'Open, on cue'
  return times !== undefined && times > 2 && !folded.ending ? `${times}×` : undefined
}

/** A chart with repeats says that a jump leaves them out. */
export const jumpWords = (folded: FoldedBar, hasRepeats: boolean): string | undefined =>
  folded.jump && (hasRepeats ? `${folded.jump} (no repeats)` : folded.jump)

/** Free words above a bar, where no sign says them already. */
export const freeWords = ({ bar, folded }: Pick<ChartBar, 'bar' | 'folded'>): string | undefined =>
  bar.mark && !(folded?.toCoda && /^to coda$/i.test(bar.mark)) ? bar.mark : undefined

export function chartMark(chart: ChartBar, feelName: (feel: string) => string): ChartMark {
  const { bar, folded, mark, number, restBars } = chart
  const time = timeMark(bar, chart.writtenBefore, feelName)
  const words = [freeWords(chart), chart.partWords].filter((one) => one !== undefined).join(', ')
  const times = folded && timesWords(folded, chart.isOpen === true)
  const jump = folded && jumpWords(folded, chart.hasRepeats)
  return {
    number,
    playings: folded ? folded.playings.map(({ barIndex }) => barIndex) : [bar.barIndex],
    ...(restBars === undefined ? {} : { restBars }),
    ...(mark ? { letter: mark.letter, form: mark.form } : {}),
    ...(Object.keys(time).length > 0 ? { time } : {}),
    ...(words === '' ? {} : { words }),
    ...(folded?.segno ? { segno: true as const } : {}),
    ...(folded?.coda ? { coda: true as const } : {}),
    ...(folded?.toCoda ? { toCoda: true as const } : {}),
    ...(jump === undefined ? {} : { jump }),
    ...(times === undefined ? {} : { times }),
  }
}
