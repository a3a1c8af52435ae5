/** VA5: after a lift everything has moved — key signature, melody, chords, and every part that plays with them. */
import type { ArrangedBar, Chord, Issue, KeySignature, NoteName, PartNote, Plan } from '../contract/index.js'
import { bassOf, memberOf, qualityOf } from '../chords/index.js'
import { fitDegree } from '../fit/index.js'
import { issue, mod, must, pitchClass, sameMetre, tonicOf } from '../units/index.js'
import { isSameMusic } from './as-planned.js'
import { type CheckContext, type CheckedPart, notesOf } from './check-context.js'
import { isEditedByHand, keyShift, plannedLifts } from './planned-lifts.js'
import { shownKey } from './words.js'

interface Moved {
  readonly index: number
  readonly bar: ArrangedBar
  /** Semitones of all lifts so far, and of the last one. */
  readonly lifted: number
  readonly last: number
  /** The tune bar of a pickup in this bar that leads into the next lift: it has moved already. */
  readonly pickup?: number
}

export function checkLiftMoved(context: CheckContext): Issue[] {
  const { plan } = context
  if (!plan) return []
  const moved = movedBars(context)
  if (moved.length === 0) return []
  const shift = keyShift(plan)
  const liftedAt = new Map(moved.map(({ index, lifted }) => [index, lifted]))
  const tuneKeys = tuneKeysOf(context, plan, (index) => shift + (liftedAt.get(index) ?? 0))
  return [
    ...checkEach(context, moved, 'key', 'the key signature', (bar) => keyFault(tuneKeys, shift, bar)),
    ...checkEach(context, moved, 'melody', 'the melody', (bar) => {
      return melodyFault(plan, shift, bar) || isMelodyBehind(context, bar)
    }),
    ...checkEach(context, moved, 'chords', 'the chords', (bar) => {
      return chordFault(plan, shift, bar) || areChordsBehind(context, bar)
    }),
    ...context.parts.filter(({ isDrums }) => !isDrums).flatMap((part) => checkPart(context, moved, part)),
  ]
}

function movedBars(context: CheckContext): readonly Moved[] {
  const lifts = plannedLifts(context)
  const moved: Moved[] = []
  for (const [index, bar] of context.bars.entries()) {
    const done = lifts.filter((lift) => lift.index <= index)
    const last = done.at(-1)?.semitones
    const lifted = done.reduce((sum, { semitones }) => sum + semitones, 0)
    const next = lifts.some((lift) => lift.index === index + 1) ? context.bars[index + 1] : undefined
    const pickup = next ? (next.provenance.tuneBar ?? 0) - 1 : undefined
    const isLedOn = pickup !== undefined && pickup !== bar?.provenance.tuneBar
    if (bar && last !== undefined && lifted !== 0)
      moved.push({ index, bar, lifted, last, ...(isLedOn ? { pickup } : {}) })
  }
  return moved
}

/** One finding a stretch of neighbouring bars. */
function checkEach(
  context: CheckContext,
  moved: readonly Moved[],
  path: string,
  what: string,
  isUnmoved: (bar: Moved) => boolean,
): Issue[] {
  const found: Issue[] = []
  let lastIndex = -2
  for (const item of moved) {
    if (!isUnmoved(item)) continue
    if (item.index !== lastIndex + 1) found.push(unmovedIssue(context, item, path, what))
    lastIndex = item.index
  }
  return found
}

function unmovedIssue(context: CheckContext, { index, bar, last }: Moved, path: string, who: string): Issue {
  const isPlayer = who !== 'the melody' && who !== 'the chords' && who !== 'the key signature'
  const still = isPlayer ? 'still plays' : who === 'the chords' ? 'are still' : 'is still'
  const text = `From bar ${context.numberOf(index)} ${who} ${still} in ${keyBefore(context, index, last)}; the rest of the band is in ${bandKey(context, index, bar)}.`
  return issue('VA5', 'error', `bars/${index}/${path}`, text)
}

function keyBefore(context: CheckContext, index: number, semitones: number): string {
  const before = context.bars
    .slice(0, index)
    .findLast((bar) => bar !== undefined && bar.key !== context.bars[index]?.key)
  const lift = plannedLifts(context).findLast((planned) => planned.index <= index)
  const old = lift && context.bars[lift.index - 1]
  return old ? shownKey(old.key) : before ? shownKey(before.key) : `the key ${Math.abs(semitones)} half steps away`
}

/** The key most bars after the lift carry, should this bar's own be the fault. */
function bandKey(context: CheckContext, index: number, bar: ArrangedBar): string {
  const after = context.bars.slice(index).filter((other) => other !== undefined)
  const counts = new Map<string, number>()
  for (const { key } of after) counts.set(shownKey(key), (counts.get(shownKey(key)) ?? 0) + 1)
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? shownKey(bar.key)
}

/** The tune's key under each bar; one that comes from no tune bar stays in the key of the bar before it. Of tune bars joined into one
 *  either may give its key. `away` is how far each bar should stand from the tune. */
function tuneKeysOf({ bars }: CheckContext, plan: Plan, away: (index: number) => number): readonly KeySignature[] {
  let key = plan.tune.key
  return bars.map((bar, index) => {
    const from = bar?.provenance.tuneBar
    const own = from === undefined ? undefined : plan.tune.bars[from]
    const joined = bar && own && from !== undefined && !sameMetre(bar.metre, own.metre) ? plan.tune.bars[from + 1] : own
    const isLater = bar && joined && isAway(bar.key, joined.key, away(index))
    return (key = (isLater ? joined.key : own?.key) ?? key)
  })
}

const isAway = (key: KeySignature, from: KeySignature, semitones: number): boolean =>
  mod(pitchClass(tonicOf(key.key)) - pitchClass(tonicOf(from.key)) - semitones, 12) === 0

function keyFault(tuneKeys: readonly KeySignature[], shift: number, { index, bar, lifted }: Moved): boolean {
  return !isAway(bar.key, must(tuneKeys[index], 'a key for every bar'), shift + lifted)
}

function melodyFault(plan: Plan, shift: number, { bar, lifted, pickup }: Moved): boolean {
  if (isEditedByHand(plan, bar, 'melody')) return false
  return bar.melody.some((note) => {
    if (note.source?.bar === pickup) return false
    const own = note.source && plan.tune.bars[note.source.bar]?.melody[note.source.index]
    return own !== undefined && mod(note.midi - own.midi - shift - lifted, 12) !== 0
  })
}

/** The tune's own chords where they were left lying: new harmony moves by its own rules. */
function chordFault(plan: Plan, shift: number, { bar, lifted }: Moved): boolean {
  const from = bar.provenance.tuneBar
  const own = from === undefined ? undefined : plan.tune.bars[from]?.chords
  const decisions = [bar.provenance.decision, ...(bar.provenance.trail ?? []).map(({ decision }) => decision)]
  const isNew = decisions.some((decision) => decision === 'harmony' || decision === 'ending' || decision === 'opening')
  // What prepares a second lift may be any chord, the tune's unlifted one too; family 4 holds it to its plan.
  const isPreparing = bar.provenance.decision === 'lift' && bar.provenance.rule === 'LI3'
  if (!own || own.length === 0 || isNew || isPreparing || isEditedByHand(plan, bar, 'chord')) return false
  // Where the metre makes two bars of one, the second begins with a later chord of the tune's bar.
  const isMoved = ({ chord }: (typeof own)[number]): boolean =>
    own.some(
      (tunes) =>
        chord.root !== '' &&
        tunes.chord.root !== '' &&
        mod(pitchClass(chord.root) - pitchClass(tunes.chord.root) - shift - lifted, 12) === 0 &&
        qualityOf(chord) === qualityOf(tunes.chord),
    )
  const pairs = bar.chords.slice(0, own.length).map((placed, place) => [placed.chord, own[place]?.chord] as const)
  return (
    pairs.length > 0 &&
    !bar.chords.every(isMoved) &&
    pairs.every(([chord, tunes]) => {
      if (!tunes || chord.root === '' || tunes.root === '') return false
      const away = mod(pitchClass(chord.root) - pitchClass(tunes.root) - shift, 12)
      return away === 0 && mod(lifted, 12) !== 0 && qualityOf(chord) === qualityOf(tunes)
    })
  )
}

/** Chords that stand a lift below those the plan makes: endings and new harmony have no tune bar to tell. */
function areChordsBehind({ planned }: CheckContext, { index, bar, last }: Moved): boolean {
  const meant = planned()?.form[index]?.chords ?? []
  const pairs = bar.chords.map((placed, place) => [placed.chord, meant[place]?.chord] as const)
  const sounding = pairs.filter(([chord, own]) => chord.root !== '' && own !== undefined && own.root !== '')
  return (
    bar.chords.length === meant.length &&
    sounding.length > 0 &&
    mod(last, 12) !== 0 &&
    sounding.every(([chord, own]) => {
      const away = own === undefined ? 0 : mod(pitchClass(own.root) - pitchClass(chord.root) - last, 12)
      return own !== undefined && away === 0 && qualityOf(chord) === qualityOf(own)
    })
  )
}

/** A melody note that stands a lift below the one the plan has at its place. */
function isMelodyBehind({ planned }: CheckContext, { index, bar, last }: Moved): boolean {
  const meant = planned()?.form[index]?.melody ?? []
  return bar.melody.some(({ startTick, midi }) => {
    const own = meant.find((note) => note.startTick === startTick)
    return own !== undefined && own.midi !== midi && mod(own.midi - midi - last, 12) === 0
  })
}

/** How well a bar's notes fit its chords where they are, and a lift further: negative says "still in the old key". */
interface Verdict {
  readonly tonesLost: number
  readonly hardNow: number
  readonly hardMoved: number
  /** A chord player without the chord's third and seventh, who would have both a lift further; or the melody as it was before. */
  readonly hasOldNotes: boolean
  readonly fitsAsWell: boolean
  /** Only the plan can tell. */
  readonly isInDoubt: boolean
}

/** A stretch that clashes where it stands and would not a lift further has been left behind. */
function checkPart(context: CheckContext, moved: readonly Moved[], part: CheckedPart): Issue[] {
  const verdicts = moved.map((item) => verdictOf(item, part))
  const isAsked = verdicts.some((verdict) => verdict.isInDoubt || isSuspect(verdict))
  const planned = isAsked ? context.planned()?.part(part) : undefined
  // Where the band would rest, somebody has written the part: the plan does not know it.
  if (planned && !moved.some(({ index, bar }) => notesOf(bar, part).length > 0 && planned[index]?.length === 0)) {
    const behind = new Set(moved.filter((item, place) => isPartBehind(item, part, planned, verdicts[place] as Verdict)))
    return checkEach(context, moved, `parts/${part.spec.id}`, `the ${part.name}`, (item) => behind.has(item))
  }
  const found: Issue[] = []
  let at = 0
  while (at < verdicts.length) {
    // Begin where the notes would gain by moving; go on while they do.
    let end = at
    let hardNow = 0
    let hardMoved = 0
    let hasOldNotes = false
    while (end < verdicts.length && isSuspect(verdicts[end]) && isNext(moved, at, end)) {
      hardNow += (verdicts[end] as Verdict).hardNow
      hardMoved += (verdicts[end] as Verdict).hardMoved
      hasOldNotes ||= (verdicts[end] as Verdict).hasOldNotes
      end++
    }
    const first = moved[at] as Moved
    if ((hardNow > 0 || hasOldNotes) && hardMoved === 0 && !isMelody(first, part)) {
      found.push(unmovedIssue(context, first, `parts/${part.spec.id}`, `the ${part.name}`))
    }
    at = Math.max(end, at + 1)
  }
  return found
}

/** Not what the band plays here: strokes that stand a lift below the band's, or something that fits as well a lift further. */
function isPartBehind(
  { index, bar, last }: Moved,
  part: CheckedPart,
  planned: readonly (readonly PartNote[])[],
  { fitsAsWell }: Verdict,
): boolean {
  const notes = notesOf(bar, part)
  const meant = planned[index] ?? []
  if (notes.length === 0 || meant.length === 0 || isSameMusic(notes, meant)) return false
  const [own, band] = [strokesOf(notes, 0), strokesOf(meant, 0)]
  const further = strokesOf(notes, last)
  const places = [...own.keys()].filter((tick) => band.has(tick))
  const away = places.filter((tick) => own.get(tick) !== band.get(tick) && further.get(tick) === band.get(tick))
  const isMostlyAway = away.length * 2 >= places.length || (part.spec.role === 'bass' && away.includes(0))
  if (away.length > 0) return fitsAsWell || isMostlyAway
  return fitsAsWell && places.every((tick) => own.get(tick) !== band.get(tick))
}

/** The pitch classes struck at each place, as text to compare. */
function strokesOf(notes: readonly PartNote[], semitones: number): ReadonlyMap<number, string> {
  const strokes = new Map<number, Set<number>>()
  for (const { startTick, midi } of notes) {
    strokes.set(startTick, (strokes.get(startTick) ?? new Set()).add(mod(midi + semitones, 12)))
  }
  return new Map([...strokes].map(([tick, pcs]) => [tick, [...pcs].sort((x, y) => x - y).join(' ')]))
}

const isSuspect = (verdict: Verdict | undefined): boolean =>
  verdict !== undefined && (verdict.tonesLost > 0 || verdict.hasOldNotes)

const isNext = (moved: readonly Moved[], from: number, to: number): boolean =>
  (moved[to] as Moved).index - (moved[from] as Moved).index === to - from

/** The lead's own notes are judged as melody. */
function isMelody({ bar }: Pick<Moved, 'bar'>, part: CheckedPart): boolean {
  return notesOf(bar, part).every((note) =>
    bar.melody.some((own) => own.startTick === note.startTick && mod(own.midi - note.midi, 12) === 0),
  )
}

const NOTHING_AMISS: Verdict = {
  tonesLost: 0,
  hardNow: 0,
  hardMoved: 0,
  hasOldNotes: false,
  fitsAsWell: false,
  isInDoubt: false,
}

function verdictOf({ bar, last }: Moved, part: CheckedPart): Verdict {
  const notes = notesOf(bar, part)
  if (isMelody({ bar }, part)) return NOTHING_AMISS
  let tonesLost = 0
  let hardNow = 0
  let hardMoved = 0
  for (const note of notes) {
    // A bass that walks may pass anything between its chord notes.
    if (part.spec.role === 'bass' && !bar.chords.some(({ startTick }) => startTick === note.startTick)) continue
    const now = degreeOf(bar, note, 0)
    const then = degreeOf(bar, note, last)
    if (!now || !then) continue
    tonesLost += Number(then.isTone) - Number(now.isTone)
    hardNow += Number(now.isHard)
    hardMoved += Number(then.isHard)
  }
  const hasOldNotes =
    (part.spec.role === 'chords' && playsOldGuides(bar, notes, last)) || playsOldMelody(bar, notes, last)
  const fitsAsWell = notes.length > 0 && tonesLost >= 0 && hardMoved <= hardNow
  // A bass walks and a chord player leaves notes out: unless they are plainly right they are in doubt.
  const isAccompanying = part.spec.role === 'bass' || part.spec.role === 'chords'
  const isInDoubt = isAccompanying ? notes.length > 0 && !isPlainlyRight(bar, notes, part, last) : fitsAsWell
  return { tonesLost, hardNow, hardMoved, hasOldNotes, fitsAsWell, isInDoubt }
}

/** The melody's own rhythm, every note a lift below it. */
function playsOldMelody({ melody }: ArrangedBar, notes: readonly PartNote[], semitones: number): boolean {
  return (
    notes.length > 0 &&
    notes.length === melody.length &&
    mod(semitones, 12) !== 0 &&
    notes.every(({ startTick, midi }, place) => {
      const own = melody[place]
      return own?.startTick === startTick && mod(own.midi - midi - semitones, 12) === 0
    })
  )
}

/** What nothing left behind would have: a bass with every chord's bass note where it begins, a chord player with both guide tones. */
function isPlainlyRight(
  bar: ArrangedBar,
  notes: readonly PartNote[],
  { spec }: CheckedPart,
  semitones: number,
): boolean {
  if (spec.role === 'chords') {
    const guides = guidesOf(bar, notes)
    // Of a diminished seventh or an altered dominant both may sound either way.
    return guides.length > 0 && guides.every(({ has }) => has(0).every(Boolean) && !has(semitones).every(Boolean))
  }
  return bar.chords.every(({ chord, startTick }) => {
    const name = bassOf(chord)
    const own = notes.find((note) => note.startTick === startTick)
    return name !== undefined && own !== undefined && mod(own.midi, 12) === pitchClass(name)
  })
}

/** Over every chord of the bar that is played on: neither guide tone sounds, and both would a lift further. */
function playsOldGuides(bar: ArrangedBar, notes: readonly PartNote[], semitones: number): boolean {
  const guides = guidesOf(bar, notes)
  return guides.length > 0 && guides.every(({ has }) => !has(0).some(Boolean) && has(semitones).every(Boolean))
}

/** For every chord with a third and a seventh that is played on: which of the two sound when everything is moved by some half steps. */
function guidesOf(
  { chords }: ArrangedBar,
  notes: readonly PartNote[],
): readonly { readonly has: (semitones: number) => readonly boolean[] }[] {
  return chords.flatMap(({ chord, startTick, durationTicks }) => {
    const guides = [memberOf(chord, 3), memberOf(chord, 7)].flatMap((name) =>
      name === undefined ? [] : [pitchClass(name)],
    )
    const over = notes.filter((note) => {
      const end = note.startTick + note.durationTicks
      return (
        note.startTick >= startTick &&
        end <= startTick + durationTicks &&
        startTick + durationTicks - note.startTick > ANTICIPATION_TICKS
      )
    })
    if (guides.length < 2 || over.length === 0) return []
    const has = (semitones: number): readonly boolean[] =>
      guides.map((guide) => over.some(({ midi }) => mod(midi + semitones, 12) === guide))
    return [{ has }]
  })
}

/** The note against the chord it begins over. One that begins an eighth or less before a change, or is held over it, belongs to
 *  the next chord and says nothing here. */
function degreeOf(
  bar: ArrangedBar,
  note: PartNote,
  semitones: number,
): { readonly isTone: boolean; readonly isHard: boolean } | undefined {
  const placed = bar.chords.find(({ startTick, durationTicks }) => {
    return startTick <= note.startTick && note.startTick < startTick + durationTicks
  })
  if (!placed || placed.chord.root === '') return undefined
  const changeTick = placed.startTick + placed.durationTicks
  const isHeldOver = note.startTick + note.durationTicks > changeTick
  if (changeTick - note.startTick <= ANTICIPATION_TICKS || isHeldOver) return undefined
  // Of two chords both sound, and the lower one is the harmony.
  const harmony = placed.chord.over ?? placed.chord
  const pc = mod(note.midi + semitones, 12)
  const isTone = [...soundsOf(placed.chord), ...soundsOf(harmony)].some((name) => pitchClass(name) === pc)
  return { isTone, isHard: !isTone && fitDegree(qualityOf(harmony), pc - pitchClass(harmony.root)) === 'hard' }
}

const soundsOf = ({ notes, bass }: Chord): readonly NoteName[] => (bass === undefined ? notes : [...notes, bass])

const ANTICIPATION_TICKS = 2520
