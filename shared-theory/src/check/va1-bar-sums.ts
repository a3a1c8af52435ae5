/** VA1: a bar holds what its metre says — notes end by the bar line, chords fill it, groups and length agree. Silence is no fault. */
import type { ArrangedBar, Issue, PartNote } from '../contract/index.js'
import { barTicks, formatMetre, issue, unitTicks } from '../units/index.js'
import { type CheckContext, notesOf, readableBars } from './check-context.js'
import { beatsInWords, numberWord, shownChord, shownNote } from './words.js'

export function checkBarSums(context: CheckContext): Issue[] {
  const hasChords = context.bars.some((bar) => bar && bar.chords.length > 0)
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    const say = (path: string, text: string): void => {
      found.push(issue('VA1', 'error', `bars/${index}/${path}`, `Bar ${context.numberOf(index)}${text}`))
    }
    checkLength(context, index, bar, say)
    if (hasChords) checkTiling(bar, say)
    checkNotes(bar, bar.melody, 'melody', 'melody', say)
    for (const part of context.parts) {
      const notes = notesOf(bar, part)
      const own = part.isDrums ? notes.map((note) => ({ ...note, name: 'the last stroke' })) : notes
      checkNotes(bar, own, `parts/${part.spec.id}`, part.name, say, part.isDrums)
    }
  }
  return found
}

type Say = (path: string, text: string) => void

function checkLength({ bars }: CheckContext, index: number, bar: ArrangedBar, say: Say): void {
  const full = barTicks(bar.metre)
  const sum = bar.groups.reduce((total, size) => total + size, 0)
  if (sum !== bar.metre.beats) {
    say(
      'groups',
      `: the groups ${bar.groups.join('+')} make ${numberWord(sum)}, but the metre is ${formatMetre(bar.metre)}.`,
    )
  }
  if (bar.lengthTicks === full) return
  const pickup = bars[0]
  const isPickup = index === 0 && bar.lengthTicks < full
  const isClosing = index === bars.length - 1 && pickup !== undefined && pickup.lengthTicks < barTicks(pickup.metre)
  if (isPickup || (isClosing && bar.lengthTicks < full)) return
  const length = beatsInWords(bar.lengthTicks, bar.metre)
  say('lengthTicks', `: ${length} long in ${formatMetre(bar.metre)}; only a pickup and its closing bar may differ.`)
}

function checkTiling(bar: ArrangedBar, say: Say): void {
  let at = 0
  for (const [place, { chord, startTick, durationTicks }] of bar.chords.entries()) {
    if (startTick !== at || durationTicks === 0) {
      const where = beatsInWords(Math.abs(startTick - at), bar.metre)
      const fault =
        startTick > at
          ? `${where} before ${shownChord(chord)} ${hasOf(startTick - at, bar)} no chord`
          : `${shownChord(chord)} starts ${where} early`
      say(
        `chords/${place}`,
        `: ${durationTicks === 0 ? `${shownChord(chord)} has no length` : fault}; chords must fill the bar without overlap.`,
      )
      return
    }
    at += durationTicks
  }
  if (at === bar.lengthTicks) return
  if (at === 0) {
    say('chords', ': no chord stands here; write one, or N.C. where nobody plays.')
    return
  }
  const gap = beatsInWords(Math.abs(bar.lengthTicks - at), bar.metre)
  say(
    'chords',
    at > bar.lengthTicks
      ? `: the last chord runs ${gap} past the bar line; shorten it.`
      : `: ${gap} at the end ${hasOf(bar.lengthTicks - at, bar)} no chord; let the last one run on.`,
  )
}

const hasOf = (ticks: number, { metre }: ArrangedBar): string => (ticks <= unitTicks(metre) ? 'has' : 'have')

function checkNotes(
  bar: ArrangedBar,
  notes: readonly Pick<PartNote, 'startTick' | 'durationTicks' | 'midi' | 'name'>[],
  path: string,
  who: string,
  say: Say,
  isNamed = false,
): void {
  for (const [place, note] of notes.entries()) {
    const over = note.startTick + note.durationTicks - bar.lengthTicks
    if (over <= 0) continue
    const name = isNamed ? note.name : shownNote(note, bar.key)
    const total = beatsInWords(bar.lengthTicks + over, bar.metre)
    const room = numberWord(bar.metre.beats)
    say(
      `${path}/${place}`,
      `, ${who}: ${total} in a bar of ${room}; ${name} is ${beatsInWords(over, bar.metre)} too long.`,
    )
    return
  }
}
