/** VA2: melody against chord — a note that clashes hard with the chord it sounds over. Soft ones are notes. */
import type { ArrangedBar, ArrangedNote, Chord, Issue, Plan, PlacedChord } from '../contract/index.js'
import { qualityOf } from '../chords/index.js'
import {
  beatTicks,
  type JudgedBar,
  type MelodyFinding,
  judgeMelody,
  neighboursOf,
  passingNotes,
  qualitiesFor,
} from '../fit/index.js'
import { soundingChords } from '../tune/index.js'
import {
  issue,
  mod,
  nameOfPitch,
  parseNoteName,
  pitchClass,
  simplifyNoteName,
  tonicOf,
  transposeName,
} from '../units/index.js'
import { type CheckContext, readableBars } from './check-context.js'
import { listWords, shownChord, shownName } from './words.js'

export function checkMelodyFit(context: CheckContext): Issue[] {
  const found: Issue[] = []
  let asSounding: readonly JudgedBar[] | undefined
  for (const [index, bar] of readableBars(context.bars)) {
    const before = context.bars[index - 1]?.melody.at(-1)?.midi
    const after = context.bars[index + 1]?.melody[0]?.midi
    const findings = judgeMelody(bar, {
      ...(before === undefined ? {} : { before }),
      ...(after === undefined ? {} : { after }),
    }).filter(({ noteIndex }) => !passesInTune(context, index, noteIndex))
    if (findings.length === 0) continue
    const isHard = findings.some(({ fit }) => fit === 'hard')
    if (isHard) asSounding ??= soundingBars(context.plan)
    const known = isHard && asSounding ? tuneClashes(asSounding, bar) : new Set<string>()
    for (const [chordIndex, placed] of bar.chords.entries()) {
      const here = findings.filter((finding) => finding.chordIndex === chordIndex)
      const hard = here.filter(({ fit }) => fit === 'hard')
      const shown = hard.length > 0 ? hard : here
      if (shown.length === 0) continue
      const isTunes = hard.length > 0 && hard.every((finding) => known.has(clashKey(bar, placed.chord, finding)))
      const isPickup = hard.length > 0 && hard.every(({ noteIndex }) => isOfPickup(context, index, noteIndex))
      const severity = hard.length === 0 || isPickup ? 'note' : isTunes ? 'warning' : 'error'
      const number = context.numberOf(index)
      const next = context.bars[index + 1]?.chords[0]?.chord
      const text = isPickup
        ? `the pickup to the next bar rubs with ${shownChord(placed.chord)}; stop the chord before it.`
        : messageOf(bar, placed, shown, hard.length > 0, isTunes, next)
      found.push(issue('VA2', severity, `bars/${index}/chords/${chordIndex}`, `Bar ${number}: ${text}`))
    }
  }
  return found
}

/** A pickup at a later pass lies over the end of what comes before: it belongs to what it leads to. */
function isOfPickup(context: CheckContext, index: number, noteIndex: number): boolean {
  const { plan, bars } = context
  const bar = bars[index]
  if (!plan || plan.tune.pickupTicks === 0 || bar?.provenance.tuneBar === 0) return false
  return bar?.melody[noteIndex]?.source?.bar === 0 && isTunesOwn(context, index, noteIndex)
}

function messageOf(
  bar: ArrangedBar,
  placed: PlacedChord,
  findings: readonly MelodyFinding[],
  isHard: boolean,
  isTunes: boolean,
  next: Chord | undefined,
): string {
  const names = unique(findings.map(({ noteIndex }) => shownName(nameOfPitch(bar.melody[noteIndex]!.name))))
  const degrees = unique(findings.map(({ degree }) => degree)).join(', ')
  const chord = shownChord(placed.chord)
  if (!isHard) return `${listWords(names)} over ${chord} ${names.length > 1 ? 'are' : 'is'} soft (${degrees}).`
  const verb = names.length > 1 ? "don't fit" : "doesn't fit"
  const clash = `${listWords(names)} ${verb} ${chord} (${degrees}).`
  if (isTunes) return `${clash} The tune itself has it so.`
  const mends = mendsFor(bar, placed, next)
  return mends.length > 0 ? `${clash} ${mends.join(' or ')} would.` : `${clash} Change the note or the chord.`
}

const unique = (words: readonly string[]): readonly string[] => [...new Set(words)]

/** The best chord on the same root, and on the root a tritone away where this one was to lead on. */
function mendsFor(bar: ArrangedBar, placed: PlacedChord, next: Chord | undefined): readonly string[] {
  const { chord, startTick, durationTicks } = placed
  if (chord.root === '') return []
  const end = startTick + durationTicks
  const notes = bar.melody.filter((note) => note.startTick < end && note.startTick + note.durationTicks > startTick)
  const nextRoot = bar.chords.find((other) => other.startTick === end)?.chord.root || next?.root
  const tritone = simplifyNoteName(transposeName(chord.root, '5d'))
  const roots = parseNoteName(tritone) ? [chord.root, tritone] : [chord.root]
  return roots.flatMap((root) => {
    const around = nextRoot ? { key: bar.key, next: nextRoot } : { key: bar.key }
    const fitting = qualitiesFor(root, notes, around)
    const best = fitting.find((candidate) => qualityOf(candidate.chord) === 'dominant') ?? fitting[0]
    return best ? [shownChord(best.chord)] : []
  })
}

/** A note that passes in the tune passes in a long metre too, where the same eighth is written as a quarter: at most a beat, off the bar's
 *  first, and moved like its neighbours. */
function passesInTune(context: CheckContext, index: number, noteIndex: number): boolean {
  const { plan, bars } = context
  const bar = bars[index]
  const note = bar?.melody[noteIndex]
  const from = note?.source
  const own = from && plan?.tune.bars[from.bar]
  if (!plan || !bar || !from || !own || note.startTick === 0 || note.durationTicks > beatTicks(bar.metre)) return false
  const moved = movedBy(plan, note)
  if (bar.melody.some((other) => (movedBy(plan, other) ?? moved) !== moved)) return false
  // Alone in its bar it has no neighbour to be moved like.
  if (bar.melody.length === 1 && !isTunesOwn(context, index, noteIndex)) return false
  return passingNotes(own, neighboursOf(plan.tune.bars, from.bar))[from.index] === true
}

/** How far a note stands from the tune's own; undefined where it comes from none. */
function movedBy({ tune }: Plan, { source, midi }: ArrangedNote): number | undefined {
  const was = source && tune.bars[source.bar]?.melody[source.index]
  return was && midi - was.midi
}

/** The tune's note in the key of its bar, or already in that of the next. */
function isTunesOwn({ plan, bars }: CheckContext, index: number, noteIndex: number): boolean {
  const note = bars[index]?.melody[noteIndex]
  const moved = plan && note && movedBy(plan, note)
  const key = plan?.tune.bars[note?.source?.bar ?? -1]?.key
  if (moved === undefined || !key) return false
  return [bars[index], bars[index + 1]].some((bar) => {
    return bar !== undefined && mod(pitchClass(tonicOf(bar.key.key)) - pitchClass(tonicOf(key.key)) - moved, 12) === 0
  })
}

/** The tune's bars with the chords that sound in them, also where the last one carries on unwritten. */
function soundingBars(plan: Plan | undefined): readonly JudgedBar[] {
  if (!plan) return []
  const chords = soundingChords(plan.tune)
  return plan.tune.bars.map((own, index) => ({ ...own, chords: chords[index] ?? [] }))
}

/** Hard clashes the tune's own bar has: a note that long, that far above that kind of chord. */
function tuneClashes(tuneBars: readonly JudgedBar[], bar: ArrangedBar): ReadonlySet<string> {
  const from = bar.provenance.tuneBar
  if (from === undefined) return new Set()
  // A joined bar holds two of the tune's.
  const bars = [tuneBars[from], tuneBars[from + 1]]
  return new Set(
    bars.flatMap((own) =>
      own
        ? judgeMelody(own)
            .filter(({ fit }) => fit === 'hard')
            .map((finding) => clashKey(own, (own.chords[finding.chordIndex] as PlacedChord).chord, finding))
        : [],
    ),
  )
}

function clashKey(bar: Pick<ArrangedBar, 'melody'>, chord: Chord, { noteIndex }: MelodyFinding): string {
  const name = nameOfPitch(bar.melody[noteIndex]?.name ?? 'C4')
  return `${mod(pitchClass(name) - pitchClass(chord.root || 'C'), 12)} ${qualityOf(chord)}`
}
