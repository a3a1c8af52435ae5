/** What a lift offers at a place: distances, a preparation that the melody allows, and what it does. */
import type { Option, PlacedChord, Wish } from '../../contract/index.js'
import { instrumentOf } from '../../instruments/index.js'
import { pitchClass } from '../../units/index.js'
import type { Offer, OfferContext, Offers } from '../recipe.js'
import { type Aim, isAimed, type Line, type PreparationKind } from './kinds.js'
import { type Manner, moveOf } from './move.js'
import { octaveRemedy } from './octave.js'
import { liftIndex } from './place.js'
import { prepare, preparingAt } from './prepare.js'
import { type Lifted, reasonOf, summaryOf, titleOf } from './sentences.js'
import { suitsOf } from './suits.js'
import { refusalText, shown } from './words.js'

/** Distances offered unasked, the likeliest first; then those "show me more" adds. Source: common practice. */
const OFFERED: readonly number[] = [2, 1, 3, 4, -2, -1]
const FARTHER: readonly number[] = [5, -3, -5, 6, -4, -6]
/** Where a preparation is worth showing unasked: a line between near keys, a held note between farther ones. Source: judgement. */
const SHOWN: { readonly [kind in PreparationKind]?: readonly number[] } = {
  'common-tone': [2, 3, 4, -2],
  'chromatic-line': [2, 1, -2, -1],
}

/** Every distance that works with this preparation; the first refusal where none does. */
export function liftOffers(kind: PreparationKind, context: OfferContext): Offers {
  const { bars, at, tune, wish } = context
  const index = liftIndex(bars, at, tune)
  if (!at || index === undefined) return { absent: 'There is no such place in the running order.' }
  if (index === 0) return { absent: 'Nothing comes before this place; ask for another key instead of a lift.' }
  const offers: Offer[] = []
  let refusal = ''
  for (const semitones of distancesFor(kind, wish)) {
    const made = variantsOf(kind, semitones, wish).map((variant) =>
      offersOf({ kind, semitones, ...variant }, index, context),
    )
    for (const result of made) {
      if (typeof result === 'string') refusal ||= result
      else offers.push(...result)
    }
  }
  return offers.length > 0 ? { offers } : { absent: refusal || 'It does not work here.' }
}

const isAskedFor = ({ semitones }: Wish): boolean =>
  semitones !== undefined && Number.isInteger(semitones) && semitones !== 0 && Math.abs(semitones) <= 6

/** A lift asked for by its distance is the only one; "show me more" adds the rare distances. */
function distancesFor(kind: PreparationKind, wish: Wish): readonly number[] {
  if (isAskedFor(wish)) return [wish.semitones as number]
  return (wish.more ?? 0) > 0 ? [...OFFERED, ...FARTHER] : (SHOWN[kind] ?? OFFERED)
}

interface Variant {
  readonly aim: Aim
  readonly line?: Line
}

/** V7sus is always shown both ways, the others aimed at the key only where more is asked for; a line goes the way of the lift first. */
function variantsOf(kind: PreparationKind, semitones: number, wish: Wish): readonly Variant[] {
  const isMore = isAskedFor(wish) || (wish.more ?? 0) > 0
  const aims: readonly Aim[] = kind === 'sus-dominant' || (isAimed(kind) && isMore) ? ['arrival', 'key'] : ['arrival']
  if (kind !== 'chromatic-line') return aims.map((aim) => ({ aim }))
  const own: Line = semitones > 0 ? 'rising' : 'falling'
  const lines: readonly Line[] = isMore ? [own, own === 'rising' ? 'falling' : 'rising'] : [own]
  return aims.flatMap((aim) => lines.map((line) => ({ aim, line })))
}

interface Asked extends Variant {
  readonly kind: PreparationKind
  readonly semitones: number
}

/** The offer, with it the same carried out otherwise: an octave away where the melody leaves its player's range, in sharps where
 *  the band may choose. '' where it would repeat another, a sentence where it cannot be. */
function offersOf(asked: Asked, index: number, context: OfferContext): readonly Offer[] | string {
  const first = offerOf(asked, {}, index, context)
  if (typeof first === 'string') return first
  const others = mannersFor(asked, index, context).map((manner) => offerOf(asked, manner, index, context))
  return [first, ...others.filter((offer) => typeof offer !== 'string')]
}

/** Other ways to carry the lift out: for V7sus to the chord that arrives always, for the rest where more is asked for. */
function mannersFor(
  { kind, semitones, aim }: Asked,
  index: number,
  { bars, plan, wish }: OfferContext,
): readonly Manner[] {
  const isMore = isAskedFor(wish) || (wish.more ?? 0) > 0
  if (aim === 'key' || (kind !== 'sus-dominant' && !isMore)) return []
  const octave = octaveRemedy(bars, index, semitones, plan)
  const key = bars[index]?.key
  const isEither = key !== undefined && moveOf(key, semitones).key.fifths === -6 && !hasTransposers(plan)
  return [
    ...(octave === undefined ? [] : [{ octave }]),
    ...(isEither && isMore && kind === 'sus-dominant' ? [{ prefer: 'sharps' as const }] : []),
  ]
}

/** B♭ and E♭ instruments: with them six flats are read more easily than six sharps. */
const hasTransposers = ({ lineup }: OfferContext['plan']): boolean =>
  lineup.some((part) => instrumentOf(part).transposeSemitones % 12 !== 0)

function offerOf(asked: Asked, manner: Manner, index: number, context: OfferContext): Offer | string {
  const { kind, semitones, aim, line } = asked
  const { bars, tune } = context
  const preparing = preparingAt(bars, index, semitones, aim, manner)
  if (!preparing) return 'There is no bar before this place.'
  if (aim === 'key' && pitchClass(preparing.goal.root) === pitchClass(preparing.arriving.root)) return ''
  const lifted: Lifted = { ...asked, ...manner, preparing, index }
  if (kind === 'direct') return written(lifted, context)
  const prepared = prepare(kind, preparing, line)
  if ('refused' in prepared) return refusalText(prepared.refused, preparing.bar, tune)
  if (kind === 'common-tone' && sameChordRow(prepared.chords, preparing.bar.chords))
    return `${prepared.leading.map(shown).join(' ')} stays as written; that is the lift called direct.`
  return written({ ...lifted, prepared }, context)
}

function written(lifted: Lifted, { bars, tune, at, wish }: OfferContext): Offer {
  const { kind, semitones, aim, line, octave, prefer, preparing } = lifted
  const params: Option['params'] = {
    semitones,
    preparation: kind,
    aim,
    to: preparing.newKey.key,
    ...(line ? { line } : {}),
    ...(octave ? { octave } : {}),
    ...(prefer ? { spelling: prefer } : {}),
  }
  const scene = { bars, tune }
  const energy = (semitones > 0 ? 0.35 + semitones / 10 : -0.2 + semitones / 20) + (octave ?? 0) / 4
  return {
    recipe: kind,
    // Asked for by its distance, the lifts differ by how they are prepared.
    family: isAskedFor(wish) ? kind : String(semitones),
    title: titleOf(lifted),
    params,
    summary: summaryOf(lifted, scene),
    reason: reasonOf(lifted, scene),
    ...(at ? { at } : {}),
    suits: suitsOf(lifted),
    energy: Math.max(-1, Math.min(1, energy)),
    distance: Math.min(
      1,
      0.15 + Math.abs(semitones) / 20 + (kind === 'direct' || kind === 'chromatic-line' ? 0.05 : 0),
    ),
    difficulty: Math.min(1, 0.15 + Math.abs(preparing.newKey.fifths) / 14),
  }
}

const sameChordRow = (a: readonly PlacedChord[], b: readonly PlacedChord[]): boolean =>
  a.length === b.length &&
  a.every(({ startTick, chord }, place) => startTick === b[place]?.startTick && chord.symbol === b[place].chord.symbol)
