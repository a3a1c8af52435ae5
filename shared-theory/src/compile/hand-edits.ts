/** Hand edits, applied last and in order: a chord, a bar of melody, a voicing. Set aside with a word where they no longer fit. */
import { parseChord, sameChord } from '../chords/index.js'
import { filled } from '../decisions/index.js'
import type { ArrangedBar, HandEdit, Issue, PlacedChord, Plan } from '../contract/index.js'
import { issue } from '../units/index.js'
import { edited, editsOf, editWords, placeWords } from './edit-words.js'
import { movedEdit } from './move-edits.js'
import { type BarEdit, type GrooveStage, grooveMaps, landEdit, placesOf } from './place-edits.js'

export type VoicingEdit = Extract<HandEdit, { kind: 'voicing' }>

/** A voicing that has found its bar, with the path that names its edit. */
export interface LandedVoicing {
  readonly barIndex: number
  readonly edit: VoicingEdit
  readonly path: string
  readonly where: string
}

export interface Edited {
  readonly bars: readonly ArrangedBar[]
  readonly voicings: readonly LandedVoicing[]
  readonly issues: readonly Issue[]
}

export function applyEdits(start: readonly ArrangedBar[], plan: Plan, stage: GrooveStage): Edited {
  const groove = grooveMaps(stage)
  const places = placesOf(start)
  const issues: Issue[] = []
  const voicings: LandedVoicing[] = []
  const bars = [...start]
  // Which edit a chord or a bar's melody stands by: of two for one place the later stays.
  const standing = new Map<string, { readonly path: string; readonly where: string }>()
  for (const { edit, path } of editsOf(plan)) {
    if (edit.kind === 'bars') continue
    const where = placeWords(edit.at)
    const setAside = (code: string, why: string): void => {
      const text = `${where}: ${editWords(edit)} is set aside. ${why[0]?.toUpperCase()}${why.slice(1)}`
      issues.push(issue(code, 'warning', path, text.endsWith('.') ? text : `${text}.`))
    }
    const landed = landEdit(edit, places, groove, plan)
    if ('why' in landed) {
      setAside('CO21', landed.why)
      continue
    }
    const bar = bars[landed.barIndex] as ArrangedBar
    const moved = movedEdit(landed.edit, bar)
    const done: Done = 'why' in moved ? moved : editBar(bar, moved, plan)
    if ('why' in done) {
      setAside('CO22', done.why)
      continue
    }
    if ('voicing' in done) {
      voicings.push({ barIndex: landed.barIndex, edit: done.voicing, path, where })
      continue
    }
    bars[landed.barIndex] = done.bar
    const slot = slotOf(landed.barIndex, landed.edit)
    const earlier = standing.get(slot)
    if (earlier) {
      // Under another groove two bars may have become one.
      const later =
        earlier.where === where
          ? 'a later edit of the same place'
          : `your edit of ${where}, which is in the same place now,`
      issues.push(issue('CO25', 'note', earlier.path, `${earlier.where}: ${later} stands instead of this one.`))
    }
    standing.set(slot, { path, where })
  }
  return { bars, voicings, issues }
}

const slotOf = (barIndex: number, edit: BarEdit): string =>
  edit.kind === 'chord' ? `chord ${barIndex} ${edit.startTick}` : `${edit.kind} ${barIndex}`

type Done = { readonly bar: ArrangedBar } | { readonly voicing: VoicingEdit } | { readonly why: string }

function editBar(bar: ArrangedBar, edit: BarEdit, plan: Plan): Done {
  switch (edit.kind) {
    case 'chord':
      return editChord(bar, edit.startTick, edit.symbol)
    case 'melody': {
      const beyond = edit.notes.find(
        (note) =>
          note.startTick < 0 || note.durationTicks <= 0 || note.startTick + note.durationTicks > bar.lengthTicks,
      )
      if (beyond) return { why: `${beyond.name} runs past the bar.` }
      const notes = [...edit.notes].sort((a, b) => a.startTick - b.startTick)
      const over = notes.find((note, index) => note.startTick < endOf(notes[index - 1]))
      if (over) return { why: `${over.name} begins before the note before it is over.` }
      return { bar: edited(bar, { melody: notes }) }
    }
    case 'voicing':
      return editVoicing(bar, edit, plan)
  }
}

const endOf = (note: { readonly startTick: number; readonly durationTicks: number } | undefined): number =>
  note ? note.startTick + note.durationTicks : 0

/** The new chord sounds from its tick to the next chord's start. */
function editChord(bar: ArrangedBar, startTick: number, symbol: string): Done {
  if (startTick < 0 || startTick >= bar.lengthTicks) return { why: 'the bar is over before its place.' }
  const read = parseChord(symbol)
  if (!read.ok) return { why: `'${symbol}' is no chord: ${read.issues[0]?.message ?? ''}` }
  if (read.value.symbol === '%') return { why: "'%' repeats a bar; write the chord itself." }
  const placed: PlacedChord = { startTick, durationTicks: 1, chord: read.value }
  const others = bar.chords.filter((known) => known.startTick !== startTick)
  const chords = [...others, placed].sort((a, b) => a.startTick - b.startTick)
  return { bar: edited(bar, { chords: filled(chords, bar.lengthTicks) }) }
}

function editVoicing(bar: ArrangedBar, edit: VoicingEdit, plan: Plan): Done {
  if (!plan.lineup.some((part) => part.id === edit.partId))
    return { why: `nobody called '${edit.partId}' plays in this line-up.` }
  if (edit.startTick >= bar.lengthTicks) return { why: 'the bar is over before its place.' }
  const made = edit.over === undefined ? undefined : parseChord(edit.over)
  const here = bar.chords.findLast(({ startTick }) => startTick <= edit.startTick)?.chord
  if (made?.ok && here && !sameChord(made.value, here))
    return { why: `it was made for ${made.value.symbol}, and ${here.symbol} stands there now.` }
  return { voicing: edit }
}

/** Voicings by bar, as the band takes them. */
export function voicingsByBar(voicings: readonly LandedVoicing[]): ReadonlyMap<number, readonly VoicingEdit[]> {
  const byBar = new Map<number, VoicingEdit[]>()
  for (const { barIndex, edit } of voicings) byBar.set(barIndex, [...(byBar.get(barIndex) ?? []), edit])
  return byBar
}

/** Voicings the band did not play: whoever they are for plays no chords there, or another of their edits took the place. */
export function unheardVoicings(
  voicings: readonly LandedVoicing[],
  played: readonly ArrangedBar[],
  plan: Plan,
): readonly Issue[] {
  return voicings.flatMap(({ barIndex, edit, path, where }) => {
    const notes = played[barIndex]?.parts[edit.partId] ?? []
    const sounding = notes.filter(({ startTick, printed }) => startTick >= edit.startTick && printed !== 'slash')
    const isHeard = edit.midi.length > 0 && edit.midi.every((midi) => sounding.some((note) => note.midi === midi))
    if (isHeard) return []
    const name = plan.lineup.find(({ id }) => id === edit.partId)?.name ?? edit.partId
    const why =
      edit.midi.length === 0
        ? 'It has no notes.'
        : `${name} does not play it here: another edit has its place, or ${name} plays no chords in this bar.`
    return [issue('CO24', 'warning', path, `${where}: ${editWords(edit)} is set aside. ${why}`)]
  })
}
