/** The sections a tune is given when it is read: labels where they are written, else what repeats. */
import type { Section, Tune } from '../contract/index.js'
import { layoutOf } from './layout.js'
import { likenessOf } from './likeness.js'
import { type SectionName, nameOfLabel, withIds } from './section-names.js'
import { firstFormBar } from './sounding.js'

/** A word or letter written over a bar; `startBar` is an index into `Tune.bars`. */
export interface FormLabel {
  readonly startBar: number
  readonly text: string
}

type Part = SectionName & { readonly startBar: number; readonly bars: number }

/** A labelled chorus this long is looked into for its own form. */
const LONG_SECTION = 24
/** Sections this alike under running letters A B C … are the same form letter. */
const SURELY_SAME = 0.8

export function sectionsOf(tune: Tune, labels: readonly FormLabel[]): readonly Section[] {
  const start = firstFormBar(tune)
  const own = labels.map((label) => (label.startBar < start ? { ...label, startBar: start } : label))
  const distinct = own.filter((label, at) => own[at + 1]?.startBar !== label.startBar)
  const first = distinct[0]
  if (!first) return layoutOf(tune).sections
  const parts: Part[] = distinct.map((label, at) => ({
    ...nameOfLabel(label.text),
    startBar: label.startBar,
    bars: (distinct[at + 1]?.startBar ?? tune.bars.length) - label.startBar,
  }))
  if (first.startBar > start)
    parts.unshift({ letter: 'Intro', role: 'intro', startBar: start, bars: first.startBar - start })
  return withIds(divideLong(tune, letterRunning(tune, parts)))
}

/** Sections exactly as they are named, in order of their bars; the first begins with the form. Marks carry a name or a text to read one from. */
export function namedSections(
  tune: Pick<Tune, 'bars' | 'pickupTicks'>,
  marks: readonly ({ readonly startBar: number } & (SectionName | { readonly text: string }))[],
): readonly Section[] {
  const start = tune.pickupTicks > 0 ? 1 : 0
  const sorted = marks.toSorted((a, b) => a.startBar - b.startBar)
  const from = (at: number): number => (at === 0 ? start : (sorted[at]?.startBar ?? tune.bars.length))
  return withIds(
    sorted.map((mark, at) => ({
      ...('text' in mark ? nameOfLabel(mark.text) : { letter: mark.letter, role: mark.role }),
      startBar: from(at),
      bars: from(at + 1) - from(at),
    })),
  )
}

/** Running rehearsal marks (A B C D or 1 9 17, each once) over music that repeats are not form letters: the form is read from what repeats. */
function letterRunning(tune: Tune, parts: readonly Part[]): readonly Part[] {
  const marked = parts.filter(isMarked)
  const isRunning = marked.length >= 3 && marked.every((part, at) => part.letter === String.fromCharCode(65 + at))
  const isNumbered = marked.length > 0 && marked.every((part) => /^\d/.test(part.letter))
  if (!isRunning && !isNumbered) return parts
  const view = likenessOf(tune)
  const firsts: Part[] = []
  return parts.map((part) => {
    if (!isMarked(part)) return part
    const same = firsts.findIndex(
      (first) => first.bars === part.bars && view.ofStretches(first.startBar, part.startBar, part.bars) >= SURELY_SAME,
    )
    if (same < 0) firsts.push(part)
    return { ...part, letter: String.fromCharCode(65 + Math.min(25, same < 0 ? firsts.length - 1 : same)) }
  })
}

function isMarked(part: Part): boolean {
  return /^([A-Z]|\d{1,4})$/.test(part.letter)
}

/** 'Chorus' over 32 bars becomes its A A B A. */
function divideLong(tune: Tune, parts: readonly Part[]): readonly Part[] {
  return parts.flatMap((part) => {
    if (part.bars < LONG_SECTION || part.letter !== 'Chorus') return [part]
    const bars = tune.bars.slice(part.startBar, part.startBar + part.bars)
    const inner = layoutOf({ ...tune, pickupTicks: 0, bars })
    if (inner.confidence < 0.7) return [part]
    return inner.sections.map((section) => ({ ...section, startBar: section.startBar + part.startBar }))
  })
}

/** True where sections lie end to end over all bars but the pickup. */
export function tilesTune(tune: Tune): boolean {
  let at = firstFormBar(tune)
  for (const section of tune.sections) {
    if (section.startBar !== at || section.bars < 1) return false
    at += section.bars
  }
  return tune.sections.length > 0 && at === tune.bars.length
}
