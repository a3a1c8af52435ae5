/** What of a bar is printed: two bars that agree here may be one written bar, whatever else differs when they are played. */
import type { ArrangedBar, PartNote } from '../contract/index.js'

/** Text that is equal for bars whose printed content is equal for every part. Not printed, and so left out: notes shown as slashes
 *  (only that there are some counts), cues, velocities, pass and section, provenance, melody sources, tempo inside a ritardando. */
export function printedContent(bar: ArrangedBar): string {
  const { metre, groups, lengthTicks, key, chords, melody, parts } = bar
  const isRamp = bar.tempoEndBpm !== undefined
  return JSON.stringify([
    metre.beats,
    metre.beatType,
    groups,
    lengthTicks,
    key.key,
    key.mode,
    key.fifths,
    isRamp ? 'ramp' : bar.tempoBpm,
    bar.feel,
    chords.map(({ startTick, durationTicks, chord, inferred }) => [startTick, durationTicks, chord, inferred ?? 0]),
    melody.map(({ source: _source, ...note }) => inOrder(note)),
    Object.entries(parts).map(([id, notes]) => [id, printedPart(notes)]),
    bar.dynamic ?? 0,
    bar.fermataTick ?? -1,
    bar.mark ?? '',
    bar.soloists ?? 0,
  ])
}

/** Of every bar in playing order its printed content and the ties that lead into it: a tie is printed at both of its ends. */
export function printsInOrder(bars: readonly ArrangedBar[]): readonly string[] {
  return bars.map((bar, index) => `${printedContent(bar)}${tiesInto(bar, bars[index - 1])}`)
}

function tiesInto(bar: ArrangedBar, before: ArrangedBar | undefined): string {
  if (!before) return ''
  let ties = ''
  for (const [id, notes] of Object.entries(bar.parts)) {
    const own = Object.hasOwn(before.parts, id) ? before.parts[id] : undefined
    const tied = own?.filter(
      ({ tiedToNext, printed, startTick, durationTicks }) =>
        tiedToNext && printed === undefined && startTick + durationTicks === before.lengthTicks,
    )
    if (!tied || tied.length === 0) continue
    for (const { startTick, midi, printed } of notes)
      if (startTick === 0 && printed === undefined && tied.some((note) => note.midi === midi)) ties += `${id}~${midi} `
  }
  return ties
}

function printedPart(notes: readonly PartNote[]): unknown {
  // A cue helps where it stands; it keeps no bar from being written once.
  const own = notes.filter((note) => note.printed !== 'cue')
  const written = own.filter((note) => note.printed !== 'slash')
  return [written.length < own.length, written.map(({ velocity: _velocity, ...note }) => inOrder(note))]
}

/** Fields in a fixed order, so that equal notes give equal text however they were made. */
function inOrder(note: object): unknown {
  return Object.entries(note).sort(([a], [b]) => (a < b ? -1 : 1))
}
