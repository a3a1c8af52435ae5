/** Chords of a tune that was read: written, taken away, and proposed ones confirmed. */
import type { Issue, PlacedChord, Result, Tune, TuneBar } from '../../contract/index.js'
import { parseChord } from '../../chords/index.js'
import { LIMITS, fail, issue } from '../../units/index.js'

export function setChord(tune: Tune, at: readonly number[], startTick: number, symbol: string): Result<Tune> {
  const bars = new Set(at)
  if ([...bars].some((bar) => !isPlace(tune.bars[bar], startTick)))
    return fail(issue('RD44', 'error', 'chords', 'There is no such place in the tune.'))
  const text = symbol.trim()
  const read = text === '' ? undefined : parseChord(text)
  if (read && !read.ok) return read
  if (read?.value.symbol === '%')
    return fail(issue('RD44', 'error', 'chords', 'Leave the bar empty and the chord before goes on.'))
  const chord = read?.value
  const mended = tune.bars.map((bar, index) => {
    if (!bars.has(index)) return bar
    const others = bar.chords.filter((placed) => placed.startTick !== startTick)
    return { ...bar, chords: tiled([...others, ...(chord ? [{ startTick, durationTicks: 0, chord }] : [])], bar) }
  })
  const full = mended.findIndex((bar) => bar.chords.length > LIMITS.chordsPerBar)
  if (full >= 0)
    return fail(issue('RD44', 'error', `bars/${full}`, `A bar holds ${LIMITS.chordsPerBar} chords at most.`))
  return { ok: true, value: settled({ ...tune, bars: mended }), ...(read?.issues ? { issues: read.issues } : {}) }
}

export function confirmChords(tune: Tune, at?: readonly number[]): Tune {
  const bars = at && new Set(at)
  return settled({
    ...tune,
    bars: tune.bars.map((bar, index) =>
      bars && !bars.has(index)
        ? bar
        : { ...bar, chords: bar.chords.map(({ inferred: _inferred, ...placed }): PlacedChord => placed) },
    ),
  })
}

/** Once nothing is proposed any more, nobody is asked to check it. */
function settled(tune: Tune): Tune {
  if (tune.bars.some((bar) => bar.chords.some(({ inferred }) => inferred))) return tune
  const asksToCheck = ({ code, message }: Issue) => code === 'RD16' || (code === 'RD15' && message.includes('inferred'))
  const issues = tune.source.issues.filter((found) => !asksToCheck(found))
  return issues.length === tune.source.issues.length ? tune : { ...tune, source: { ...tune.source, issues } }
}

const isPlace = (bar: TuneBar | undefined, tick: number): boolean =>
  bar !== undefined && Number.isInteger(tick) && tick >= 0 && tick < bar.lengthTicks

/** In order, each lasting until the next or the bar's end. */
export function tiled(chords: readonly PlacedChord[], { lengthTicks }: Pick<TuneBar, 'lengthTicks'>): PlacedChord[] {
  const sorted = chords.toSorted((a, b) => a.startTick - b.startTick)
  return sorted.map((placed, at) => ({
    ...placed,
    durationTicks: (sorted[at + 1]?.startTick ?? lengthTicks) - placed.startTick,
  }))
}
