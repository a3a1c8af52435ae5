/** Rehearsal marks: running letters, each used once, and beside each what the stretch is called. */
import type { ArrangedBar } from '../../contract/index.js'
import { barTicks } from '../../units/index.js'

export interface SectionMark {
  /** 'A' … 'Z', 'AA' …: names the place in this chart. */
  readonly letter: string
  /** 'A', 'Opening', 'B · Last chorus': the form letter, and the pass where it begins. */
  readonly form: string
}

/** By index into `bars`. A pickup bar leaves its mark to the full bar after it; a coda has a mark wherever it begins; a last ending goes on
 *  with the section it closes. `playedBefore` gives the bar played before a written one, where that is another than the one written before. */
export function sectionMarks(
  bars: readonly ArrangedBar[],
  codaIndex?: number,
  playedBefore: (index: number) => ArrangedBar | undefined = (index) => bars[index - 1],
): ReadonlyMap<number, SectionMark> {
  const marks = new Map<number, SectionMark>()
  for (const [index, bar] of bars.entries()) {
    const before = bars[index - 1]
    const isInside = [before, playedBefore(index)].some(
      (other) => other !== undefined && other.sectionId === bar.sectionId && other.pass === bar.pass,
    )
    const isCoda = index === codaIndex
    if (isInside && !isCoda) continue
    const isPickup = index === 0 && bar.lengthTicks < barTicks(bar.metre) && bars.length > 1
    const place = isPickup ? 1 : index
    const form = isCoda ? codaWords(bar, bars[index + 1]) : formWords(bar, before?.pass !== bar.pass)
    if (!marks.has(place)) marks.set(place, { letter: runningLetter(marks.size), form })
  }
  return marks
}

/** 0 → 'A', 25 → 'Z', 26 → 'AA'. */
function runningLetter(place: number): string {
  const letter = String.fromCharCode(65 + (place % 26))
  return letter.repeat(1 + Math.floor(place / 26))
}

/** A coda that is the ending as a whole says so; one that takes over inside a section is just the coda. */
const codaWords = (bar: ArrangedBar, after: ArrangedBar | undefined): string =>
  bar.sectionId === 'ending' && (!after || after.sectionId === 'ending') ? 'Coda · Ending' : 'Coda'

function formWords(bar: ArrangedBar, beginsPass: boolean): string {
  const form = bar.sectionId.replace(/(?<=[A-Z])\d+$/, '')
  const shown = form.length > 1 ? `${(form[0] as string).toUpperCase()}${form.slice(1)}` : form
  const pass = beginsPass ? passWords(bar.pass) : undefined
  return pass ? `${shown} · ${pass}` : shown
}

/** 'solo-2' → 'Solo 2', 'chorus-last' → 'Last chorus', 'solo-1#2' → 'Solo 1, time 2'; other ids say nothing to a reader. */
function passWords(pass: string): string | undefined {
  const found = /^(solo|chorus|verse)-(last|\d+)(?:#(\d+))?$/.exec(pass)
  if (!found) return undefined
  const kind = found[1] as string
  const name = found[2] === 'last' ? `Last ${kind}` : `${(kind[0] as string).toUpperCase()}${kind.slice(1)} ${found[2]}`
  return found[3] ? `${name}, time ${found[3]}` : name
}
