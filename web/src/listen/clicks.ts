/** The beats people count, before the music and along with it. Free time has none. */
import { type ArrangedBar, barTicks, type PlayEvent } from '@chartloft/shared-theory'
import { CLICK, CLICK_VELOCITY, type CountIn } from '../audio/click.js'
import type { Playable } from '../state/theory-protocol.js'
import { msOfTick } from './timeline.js'

const QUARTER = 5040
const isFree = ({ feel }: ArrangedBar): boolean => feel === 'rubato'

/** Ticks from beat to beat: a dotted quarter in 6/8, 9/8 and 12/8, else the metre's own. */
export function beatTicks({ metre: { beats, beatType } }: Pick<ArrangedBar, 'metre'>): number {
  const unit = (QUARTER * 4) / beatType
  return beatType >= 8 && beats % 3 === 0 ? unit * 3 : unit
}

/** A click a beat, the first of each bar louder. A pickup counts as the end of a bar. */
export function clicksOf(playable: Playable, bars: readonly ArrangedBar[]): readonly PlayEvent[] {
  return bars.flatMap((bar, index) => {
    const start = playable.barStartTicks[index]
    if (start === undefined || isFree(bar)) return []
    const beat = beatTicks(bar)
    const missing = index === 0 ? Math.max(0, barTicks(bar.metre) - bar.lengthTicks) : 0
    const clicks: PlayEvent[] = []
    for (let at = Math.ceil(missing / beat) * beat - missing; at < bar.lengthTicks; at += beat) {
      const tick = start + at
      clicks.push({
        partId: CLICK,
        startTick: tick,
        durationTicks: 1,
        playTick: tick,
        playDurationTicks: 1,
        startMs: msOfTick(playable, tick),
        durationMs: 50,
        midi: 37,
        velocity: at === 0 && missing === 0 ? CLICK_VELOCITY + 26 : CLICK_VELOCITY,
        barIndex: index,
      })
    }
    return clicks
  })
}

/** So many bars counted before a bar is played, a pickup after its share of one more; nothing where nobody counts. */
export function countInOf(bar: ArrangedBar | undefined, barsCounted: number, tempoScale: number): CountIn | undefined {
  if (!bar || barsCounted === 0 || isFree(bar)) return undefined
  const full = barTicks(bar.metre)
  const beat = beatTicks(bar)
  const beatMs = (60_000 / (bar.tempoBpm * tempoScale)) * (beat / QUARTER)
  const missing = Math.max(0, full - bar.lengthTicks)
  return {
    lengthMs: ((full * barsCounted + missing) / beat) * beatMs,
    beatMs,
    beatsABar: Math.round(full / beat),
  }
}
