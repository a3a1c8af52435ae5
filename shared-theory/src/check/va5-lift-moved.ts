/** VA5: after a lift everything has moved — key signature, melody, chords, and every part that plays with them. */
import type { Issue, KeySignature, Plan } from '../contract/index.js'
import { qualityOf } from '../chords/index.js'
import { mod, must, pitchClass, sameMetre, tonicOf } from '../units/index.js'
import { playedBefore } from './before-lift.js'
import type { CheckContext } from './check-context.js'
import { type Moved, checkEach, movedBars } from './moved-bars.js'
import { isEditedByHand, keyShift } from './planned-lifts.js'
import { checkPart } from './va5-parts.js'

export function checkLiftMoved(context: CheckContext): Issue[] {
  const { plan } = context
  if (!plan) return []
  const moved = movedBars(context)
  if (moved.length === 0) return []
  const shift = keyShift(plan)
  const liftedAt = new Map(moved.map(({ index, lifted }) => [index, lifted]))
  const tuneKeys = tuneKeysOf(context, plan, (index) => shift + (liftedAt.get(index) ?? 0))
  const before = playedBefore(context)
  return [
    ...checkEach(context, moved, 'key', 'the key signature', (bar) => keyFault(tuneKeys, shift, bar)),
    ...checkEach(context, moved, 'melody', 'the melody', (bar) => {
      return melodyFault(plan, shift, bar) || isMelodyBehind(context, bar)
    }),
    ...checkEach(context, moved, 'chords', 'the chords', (bar) => {
      return chordFault(plan, shift, bar) || areChordsBehind(context, bar)
    }),
    ...context.parts.filter(({ isDrums }) => !isDrums).flatMap((part) => checkPart(context, moved, part, before)),
  ]
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
