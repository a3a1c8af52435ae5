/** What a lift offers at a place: distances, a preparation that the melody allows, and what it does. */
import type { ArrangedBar, KeySignature, Option, SectionRef, Tune } from '../../contract/index.js'
import { qualityOf } from '../../chords/index.js'
import { degreeName, lineNotes, notesBetween, show } from '../../fit/index.js'
import { pitchClass } from '../../units/index.js'
import type { Offer, Offers } from '../recipe.js'
import { movedNote, moveOf } from './move.js'
import { liftIndex } from './place.js'
import { degreeOver, prepare, preparingAt, type Preparation, type PreparationKind, type Preparing } from './prepare.js'
import { barWord, capital, keyWord, PREPARATION_WORDS, refusalText, shown, startWord, stepWord } from './words.js'

/** Distances offered, the likeliest first. Any other within six is accepted. Source: common practice. */
const OFFERED: readonly number[] = [2, 1, 3, 4, -2, -1]
const STEP_SUITS: { readonly [semitones: number]: number } = { 2: 0.9, 1: 0.88, 3: 0.8, 4: 0.7, [-2]: 0.62, [-1]: 0.6 }
const KIND_SUITS: { readonly [kind in PreparationKind]: number } = {
  'sus-dominant': 1,
  dominant: 0.92,
  'two-five': 0.9,
  tritone: 0.82,
  pivot: 0.8,
  direct: 0.72,
}

interface Scene {
  readonly bars: readonly ArrangedBar[]
  readonly index: number
  readonly tune: Tune
  readonly at: SectionRef
}

/** Every distance that works with this preparation; the first refusal where none does. */
export function liftOffers(
  kind: PreparationKind,
  bars: readonly ArrangedBar[],
  at: SectionRef | undefined,
  tune: Tune,
): Offers {
  const index = liftIndex(bars, at, tune)
  if (!at || index === undefined) return { absent: 'There is no such place in the running order.' }
  if (index === 0) return { absent: 'Nothing comes before this place; ask for another key instead of a lift.' }
  const scene: Scene = { bars, index, tune, at }
  const aims = kind === 'sus-dominant' ? (['arrival', 'key'] as const) : (['arrival'] as const)
  const offers: Offer[] = []
  let refusal = ''
  for (const semitones of OFFERED) {
    for (const aim of aims) {
      const result = offerOf(kind, semitones, aim, scene)
      if (typeof result === 'string') refusal ||= result
      else offers.push(result)
    }
  }
  return offers.length > 0 ? { offers } : { absent: refusal || 'It does not work here.' }
}

/** One offer; '' where it would repeat another, a sentence where it cannot be. */
function offerOf(kind: PreparationKind, semitones: number, aim: 'arrival' | 'key', scene: Scene): Offer | string {
  const preparing = preparingAt(scene.bars, scene.index, semitones, aim)
  if (!preparing) return 'There is no bar before this place.'
  if (aim === 'key' && pitchClass(preparing.goal.root) === pitchClass(preparing.arriving.root)) return ''
  const preparation = kind === 'direct' ? undefined : prepare(kind, preparing)
  if (preparation && 'refused' in preparation) return refusalText(preparation.refused, preparing.bar, scene.tune)
  const { bars, index, tune, at } = scene
  const before = barWord(preparing.bar, tune)
  const start = startWord(bars[index], tune, at)
  const top = topOf(bars.slice(index), semitones)
  const params: Option['params'] = { semitones, preparation: kind, aim }
  const leading = preparation?.leading.map(shown).join(' ') ?? ''
  const energy = Math.max(-1, Math.min(1, semitones > 0 ? 0.35 + semitones / 10 : -0.2 + semitones / 20))
  return {
    recipe: kind,
    title: `${stepWord(semitones)} to ${keyWord(preparing.newKey)}, ${PREPARATION_WORDS[kind]}${aim === 'key' ? ' of the new key' : ''}`,
    params,
    summary: summaryOf(preparation, preparing, { leading, before, start, semitones, top }),
    reason: reasonOf(kind, preparation, preparing, { leading, start, semitones }),
    at,
    suits: suitsOf(kind, semitones, aim, preparation),
    energy,
    distance: Math.min(1, 0.15 + Math.abs(semitones) / 20),
    difficulty: Math.min(1, 0.15 + Math.abs(preparing.newKey.fifths) / 14),
  }
}

function suitsOf(
  kind: PreparationKind,
  semitones: number,
  aim: 'arrival' | 'key',
  preparation: Preparation | undefined,
): number {
  const isSoft = preparation !== undefined && 'soft' in preparation
  const isSqueezed = preparation !== undefined && 'isSqueezed' in preparation && preparation.isSqueezed
  const suits = (STEP_SUITS[semitones] ?? 0.5) * KIND_SUITS[kind] - (isSoft ? 0.2 : 0) - (isSqueezed ? 0.02 : 0)
  return Math.max(0, Math.round((suits - (aim === 'key' ? 0.1 : 0)) * 1000) / 1000)
}

interface Wording {
  readonly leading: string
  readonly before: string
  readonly start: string
  readonly semitones: number
  readonly top: string
}

function summaryOf(
  preparation: Preparation | undefined,
  preparing: Preparing,
  { leading, before, start, semitones, top }: Wording,
): string {
  const effect = `${semitones > 0 ? 'that lifts' : 'that settles'}${top ? `, and the top note becomes ${top}` : ''}`
  const key = keyWord(preparing.newKey)
  const arriving = shown(preparing.arriving)
  if (!preparation || 'refused' in preparation) {
    return `${capital(start)} simply starts in ${key} on ${arriving}, with only a fill before it; ${effect}.`
  }
  const melody = melodyOver(preparation, preparing)
  const how = preparation.isSqueezed
    ? `${leading} takes the second half of ${before.toLowerCase()}, where the melody leaves room, and leads to ${arriving}`
    : `${leading} in ${before.toLowerCase()} leads to ${arriving}${melody ? ` (${melody})` : ''}`
  const soft = preparation.soft
    ? `; ${show(preparation.soft.note.name)} over ${shown(preparation.soft.chord)} is a soft ${degreeOver(preparation.soft.note, preparation.soft.chord)}`
    : ''
  return `${how}${soft}; from ${start} on everything is in ${key}: ${effect}.`
}

/** 'F is ♭7'; one note over both chords: 'A is ♭3, then ♭7'. */
function melodyOver(preparation: { readonly chords: ArrangedBar['chords'] }, preparing: Preparing): string {
  const notes = lineNotes([preparing.bar], preparing.around)
  const degrees = new Map<string, string[]>()
  for (const { chord, startTick, durationTicks } of preparation.chords) {
    if (chord.root === '') continue
    for (const note of notesBetween(notes, startTick, startTick + durationTicks)) {
      if (note.isPassing) continue
      const degree = degreeName(qualityOf(chord), note.pc - pitchClass(chord.root))
      const known = degrees.get(show(note.name)) ?? []
      if (known.at(-1) !== degree) degrees.set(show(note.name), [...known, degree])
    }
  }
  return [...degrees]
    .slice(0, 2)
    .map(([name, all]) => `${name} is ${all.slice(0, 2).join(', then ')}`)
    .join(', ')
}

function reasonOf(
  kind: PreparationKind,
  preparation: Preparation | undefined,
  preparing: Preparing,
  { leading, start, semitones }: Pick<Wording, 'leading' | 'start' | 'semitones'>,
): Offer['reason'] {
  const goal = shown(preparing.goal)
  const steps = [
    {
      rule: 'LI2',
      text: `from ${start}: ${keyWord(preparing.newKey)}, ${stepWord(semitones).toLowerCase()}, ${signature(preparing.newKey)}`,
    },
  ]
  if (kind === 'direct' || !preparation || 'refused' in preparation)
    return [...steps, { rule: 'LI4', text: 'no preparation, the drums fill' }]
  steps.push({ rule: 'LI3', text: `${leading} is the ${PREPARATION_WORDS[kind]} of ${goal}` })
  if (preparation.isSqueezed) steps.push({ rule: 'LI6', text: 'in the half of the bar where the melody allows it' })
  return steps
}

function signature({ fifths }: KeySignature): string {
  if (fifths === 0) return 'no accidentals'
  return `${Math.abs(fifths)} ${fifths > 0 ? 'sharp' : 'flat'}${Math.abs(fifths) === 1 ? '' : 's'}`
}

/** The highest melody note after the move, as a player reads it. */
function topOf(bars: readonly ArrangedBar[], semitones: number): string {
  let top: { midi: number; name: string } | undefined
  for (const bar of bars) {
    for (const note of bar.melody) {
      if (top && note.midi + semitones <= top.midi) continue
      top = movedNote(note, moveOf(bar.key, semitones).interval)
    }
  }
  return top ? show(top.name) : ''
}
