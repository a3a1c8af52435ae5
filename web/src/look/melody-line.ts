/** The melody's outline in one bar, drawn as a pen would: held level, then eased into the next note. */
import { html, type TemplateResult } from 'lit'
import type { ArrangedBar } from '@chartloft/shared-theory'

const WIDTH = 80
const HEIGHT = 32
const LEFT = 4
const RIGHT = 76
const TOP = 3.5
const BOTTOM = 28.5
/** Silence longer than this share of the bar lifts the pen. */
const PEN_UP = 1 / 16

/** The path in an 80 × 32 box; '' where the bar has no melody. `range` is the whole piece's, so that heights compare. */
export function melodyPath(
  bar: Pick<ArrangedBar, 'melody' | 'lengthTicks'>,
  [low, high]: readonly [lowMidi: number, highMidi: number],
): string {
  const x = (tick: number) => LEFT + ((RIGHT - LEFT) * tick) / bar.lengthTicks
  const y = (midi: number) => BOTTOM - ((BOTTOM - TOP) * (midi - low)) / Math.max(12, high - low)
  const said = (value: number) => String(Math.round(value * 10) / 10)
  let path = ''
  /** The note being held: its line is drawn once it is known how it ends. */
  let held: { readonly stop: number; readonly midi: number } | undefined
  const finish = () => {
    if (held) path += `H${said(x(held.stop) - (held.stop >= bar.lengthTicks ? 0 : 1))}`
  }
  for (const note of bar.melody) {
    const height = said(y(note.midi))
    if (!held || note.startTick - held.stop > bar.lengthTicks * PEN_UP) {
      finish()
      path += `M${said(x(note.startTick))} ${height}`
    } else if (held.midi !== note.midi) {
      const ease = Math.min(5, ((RIGHT - LEFT) * note.durationTicks) / bar.lengthTicks / 2)
      const [from, to] = [x(note.startTick) - ease / 2, x(note.startTick) + ease]
      const middle = said((from + to) / 2)
      path += `H${said(from)}C${middle} ${said(y(held.midi))} ${middle} ${height} ${said(to)} ${height}`
    }
    held = { stop: note.startTick + note.durationTicks, midi: note.midi }
  }
  finish()
  return path
}

export function melodyLine(
  bar: Pick<ArrangedBar, 'melody' | 'lengthTicks'>,
  range: readonly [number, number] | undefined,
): TemplateResult | undefined {
  const path = range && melodyPath(bar, range)
  if (!path) return undefined
  return html`<svg class="tune" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">
    <path class="hold" d=${path} />
  </svg>`
}
