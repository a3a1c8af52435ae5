/** VA9: what a part reads must sound as meant — note names against their sound, and a written part against the arrangement. */
import type { ArrangedBar, Issue } from '../contract/index.js'
import { readTune } from '../read/index.js'
import { issue, midiOf, parsePitch, pitchInKey, transposePitch } from '../units/index.js'
import { type CheckContext, type CheckedPart, isPrinted, notesOf, readableBars } from './check-context.js'
import { shownName } from './words.js'

export function checkWrittenPitch(context: CheckContext): Issue[] {
  return [...checkNames(context), ...checkFiles(context)]
}

function checkNames(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    const check = (notes: readonly { midi: number; name: string }[], path: string, who: string): void => {
      for (const [place, { midi, name }] of notes.entries()) {
        const pitch = parsePitch(name)
        if (pitch && midiOf(pitch) === midi) continue
        const meant = shownName(pitchInKey(midi, bar.key))
        const fault = pitch
          ? `the name says ${shownName(name)}, but ${meant} sounds`
          : `'${name.slice(0, 20)}' names no pitch; ${meant} sounds`
        const text = `Bar ${context.numberOf(index)}${who}: ${fault}; write ${meant}.`
        found.push(issue('VA9', 'error', `bars/${index}/${path}/${place}`, text))
      }
    }
    check(bar.melody, 'melody', '')
    for (const part of context.parts) {
      if (!part.isDrums) check(notesOf(bar, part), `parts/${part.spec.id}`, `, ${part.name}`)
    }
  }
  return found
}

/** Written parts that are one line are read back and compared with what the arrangement means, note by note. */
function checkFiles(context: CheckContext): Issue[] {
  return context.parts.flatMap((part) => {
    const file = context.written?.[part.spec.id]
    if (typeof file !== 'string' || !part.isLine || !hasNotes(context, part)) return []
    const read = readTune('musicxml', file)
    if (!read.ok) {
      const why = read.issues[0]?.message ?? 'it cannot be read'
      return [
        issue(
          'VA9',
          'error',
          `parts/${part.spec.id}`,
          `The written part of the ${part.name} can't be compared: ${why}`,
        ),
      ]
    }
    return compareBars(context, part, read.value.bars)
  })
}

const hasNotes = ({ bars }: CheckContext, part: CheckedPart): boolean =>
  bars.some((bar) => bar !== undefined && notesOf(bar, part).some(isPrinted))

function compareBars(
  context: CheckContext,
  part: CheckedPart,
  written: readonly Pick<ArrangedBar, 'melody'>[],
): Issue[] {
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    const meant = notesOf(bar, part).filter(isPrinted)
    const sounding = written[index]?.melody ?? []
    for (const note of meant) {
      const own = sounding.find(({ startTick }) => startTick === note.startTick)
      if (!own || own.midi === note.midi) continue
      const writes = (name: string): string => {
        const { transposeInterval } = part.instrument
        return shownName(transposeInterval === undefined ? name : transposePitch(name, transposeInterval))
      }
      const text = `written ${writes(own.name)} sounds ${shownName(own.name)}, but ${shownName(note.name)} is meant; write ${writes(note.name)}.`
      const path = `bars/${index}/parts/${part.spec.id}`
      found.push(issue('VA9', 'error', path, `Bar ${context.numberOf(index)}, ${part.name}: ${text}`))
      break
    }
  }
  return found
}
