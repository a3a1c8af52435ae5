/** What a harmony recipe has to bring: where it could act on a stretch, and the chords it writes there. The rest — offers,
 *  titles' bars, effects, applying to every repetition, the guard against new clashes — is the same for all. */
import type { ArrangedBar, Chord, Option, PlacedChord, RuleStep, Wish } from '../../contract/index.js'
import { sameChord } from '../../chords/index.js'
import { judgeMelody } from '../../fit/index.js'
import { issue, must, nameOfPitch } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import type { Applied, Offer, Offers, Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { clashSentence, firstClash } from './clash.js'
import { distanceOf, keptInWords } from './distance.js'
import { isPlain } from './plain.js'
import { grounded, isBare } from './proposed-chords.js'
import { sameChords, type Stretch, stretchesOf } from './stretch.js'

export type Params = Option['params']

/** A chord over a stretch of time; `nameFor` renames it bar by bar where it lasts over a bar line. */
export interface NewChord {
  readonly startTick: number
  readonly endTick: number
  readonly chord: Chord
  readonly nameFor?: (startTick: number, endTick: number) => Chord
}
export interface Written {
  readonly chords: readonly NewChord[]
  readonly title: string
  readonly summary: string
  readonly reason: readonly RuleStep[]
  /** 0…1, by the recipe's own light. */
  readonly suits: number
  /** Chords in a bar that were asked for outright; absent: two at most. */
  readonly mostABar?: number
}
export type Writing = Written | { readonly refused: string }

export interface HarmonyIdea {
  readonly id: string
  /** The rule a changed bar names. */
  readonly rule: string
  readonly energy: number
  readonly difficulty: number
  /** Parameters worth trying here, best first; a sentence where there is nothing to try. */
  readonly variants: (stretch: Stretch, wish: Wish) => readonly Params[] | string
  /** Total: params come from anywhere. */
  readonly write: (stretch: Stretch, params: Params) => Writing
  /** Most offers this recipe makes on one stretch, once more for every "show me more"; default 2. */
  readonly most?: number
  /** Variants of one kind are near-duplicates: one of each is shown until more is asked for. */
  readonly kindOf?: (params: Params, stretch: Stretch) => string
  /** A colour of jazz: on a plain tune the nearer ways come first. */
  readonly isFarFromPlain?: true
  /** Looks at a stretch without chords as it is; the others see it with plain chords proposed. */
  readonly actsOnBare?: true
}

/** An idea as a recipe of the decision. */
export function harmonyRecipe(idea: HarmonyIdea): Recipe {
  return {
    id: idea.id,
    kind: 'harmony',
    offer: ({ bars, at, tune, wish }): Offers => {
      if (!at) return { absent: 'No stretch of bars was named.' }
      const stretch = stretchesOf(bars, at, tune)[0]
      if (!stretch) return { absent: 'There are no bars of the tune at this place.' }
      return offersOn(stretch, idea, at, wish)
    },
    apply: (bars, chosen, { tune }): Applied => {
      const at = chosen.at ?? chosen.option.at
      const stretches = at ? stretchesOf(bars, at, tune) : []
      if (stretches.length === 0) {
        return { bars, issues: [issue('HA20', 'warning', 'chosen', `${chosen.option.title}: no bars at its place.`)] }
      }
      const out = [...bars]
      const issues: Applied['issues'][number][] = []
      for (const stretch of stretches) {
        const result = changesOf(stretch, idea.actsOnBare ? stretch : grounded(stretch), idea, chosen.option.params)
        if (typeof result === 'string') {
          issues.push(
            issue(
              'HA17',
              'warning',
              `bars/${stretch.indices[0]}`,
              `${chosen.option.title} no longer works here: ${result} The bars stay as written.`,
            ),
          )
          continue
        }
        for (const [offset, chords] of result.bars) {
          const index = stretch.indices[offset] as number
          const bar = out[index] as ArrangedBar
          out[index] = { ...bar, chords, provenance: stamped(bar.provenance, 'harmony', chosen.option.id, idea.rule) }
        }
      }
      return { bars: out, issues }
    },
  }
}

const USUAL_MOST = 2
/** How often "show me more" still finds more. */
const MOST_MORE = 20
/** What a soft note that is held or strong costs in rank. */
const SOFT_COST = 0.15
/** What a colour of jazz costs on a plain tune (judgement): it then comes after what the tune's own players would try. */
const FAR_COST = 0.35

function offersOn(bare: Stretch, idea: HarmonyIdea, at: NonNullable<Offer['at']>, wish: Wish): Offers {
  const stretch = idea.actsOnBare ? bare : grounded(bare)
  const variants = idea.variants(stretch, wish)
  if (typeof variants === 'string') return { absent: variants }
  const offers: Offer[] = []
  const prints = new Set<string>()
  const kinds = new Set<string>()
  const later: Params[] = []
  let refusal = ''
  const tryOne = (params: Params, isSameKindLeft: boolean): void => {
    const kind = idea.kindOf?.(params, stretch)
    if (kind !== undefined && isSameKindLeft && kinds.has(kind)) {
      later.push(params)
      return
    }
    const result = changesOf(bare, stretch, idea, params)
    if (typeof result === 'string') {
      refusal ||= result
      return
    }
    const print = printOf(result)
    if (prints.has(print)) return
    prints.add(print)
    if (kind !== undefined) kinds.add(kind)
    offers.push(offerOf(bare, stretch, idea, { at, params, result }))
  }
  const tryAll = (list: readonly Params[], most: number, isSameKindLeft: boolean): void => {
    for (const params of list) if (offers.length < most) tryOne(params, isSameKindLeft)
  }
  const most = idea.most ?? USUAL_MOST
  const more = Math.min(MOST_MORE, Math.max(0, Math.floor(wish.more ?? 0)))
  tryAll(variants, most, true)
  if (more > 0) {
    // What was shown already stays; then what is left, near-duplicates last.
    const shownFirst = [...variants]
    tryAll(shownFirst, most * (1 + more), true)
    tryAll([...new Set(later)], most * (1 + more), false)
  }
  return offers.length > 0 ? { offers } : { absent: refusal || 'It would change nothing here.' }
}

const printOf = ({ bars }: Changes): string =>
  [...bars]
    .map(([offset, chords]) => chords.map(({ startTick, chord }) => `${offset}:${startTick}:${chord.symbol}`).join(' '))
    .join('|')

interface Made {
  readonly at: NonNullable<Offer['at']>
  readonly params: Params
  readonly result: Changes
}

function offerOf(bare: Stretch, stretch: Stretch, idea: HarmonyIdea, { at, params, result }: Made): Offer {
  const { written } = result
  const isProposed = isBare(bare) && !idea.actsOnBare
  const own = distanceOf(stretch, result.bars)
  const distance = isProposed ? Math.min(1, own + distanceOf(bare, result.bars)) : own
  const soft = firstClash(stretch, written.chords)
  const isFar = idea.isFarFromPlain === true && isPlain(stretch)
  return {
    recipe: idea.id,
    title: written.title,
    params,
    summary: written.summary,
    reason: [
      ...written.reason,
      ...(isProposed ? [PROPOSED] : []),
      { rule: 'HA19', text: keptInWords(stretch, result.bars) },
      ...(soft ? [{ rule: 'HA2', text: `soft: ${soft}` }] : []),
      ...(isFar ? [FAR] : []),
    ],
    at,
    suits: Math.max(0, written.suits - (soft ? SOFT_COST : 0) - (isFar ? FAR_COST : 0)),
    energy: energyOf(stretch, idea, result.bars),
    distance,
    difficulty: Math.min(1, idea.difficulty + distance / 4),
  }
}

/** What a recipe does to the energy, by how much of the stretch it changes; chords that come faster than before lift, slower ones calm. */
function energyOf(stretch: Stretch, idea: HarmonyIdea, changed: Changes['bars']): number {
  const share = changed.size / stretch.bars.length
  let more = 0
  for (const [offset, chords] of changed) more += chords.length - (stretch.bars[offset]?.chords.length ?? 0)
  const energy = idea.energy * (0.5 + share / 2) + FASTER_LIFTS * (more / stretch.bars.length)
  return Math.max(-1, Math.min(1, energy))
}

/** Energy of one chord more in every bar (judgement). */
const FASTER_LIFTS = 0.2

interface Changes {
  readonly written: Written
  readonly bars: ReadonlyMap<number, readonly PlacedChord[]>
}

/** The bars a writing changes (`stretch` is `bare` with chords under it), or the sentence why it cannot be: refused, nothing new, or a clash the tune did not have. */
function changesOf(bare: Stretch, stretch: Stretch, idea: HarmonyIdea, params: Params): Changes | string {
  const isProposal = isBare(bare)
  const written = idea.write(stretch, params)
  if ('refused' in written) return written.refused
  const bars = new Map<number, readonly PlacedChord[]>()
  let isNew = false
  for (const [offset, bar] of stretch.bars.entries()) {
    const chords = layOver(stretch, offset, written.chords)
    if (!sameChords(chords, bar.chords)) isNew = true
    const was = bare.bars[offset]?.chords ?? []
    if (!sameChords(chords, was)) bars.set(offset, isProposal ? marked(chords) : chords)
  }
  if (!isNew) return 'It would change nothing here.'
  for (const [offset, chords] of bars) {
    const clash = newClash(stretch, offset, chords)
    if (clash) return clash
    if (chords.length > Math.max(written.mostABar ?? MOST_A_BAR, stretch.bars[offset]?.chords.length ?? 0)) {
      return `${ofTheTune(`Bar ${stretch.numbers[offset]}`)} would have to change chords ${chords.length} times.`
    }
  }
  return { written, bars }
}

/** Chords for bars that had none are marked as proposed. */
const marked = (chords: readonly PlacedChord[]): readonly PlacedChord[] =>
  chords.map((placed) => (placed.chord.root === '' ? placed : { ...placed, inferred: true as const }))
const FAR: RuleStep = {
  rule: 'HA27',
  text: 'ranked lower: a colour of jazz, and this tune keeps to plain chords of its key',
}
const PROPOSED: RuleStep = { rule: 'HA23', text: "the tune has no chords here: the key's own are proposed first" }

/** Chords in a bar that new harmony may come to, unless the tune had more. */
const MOST_A_BAR = 2

/** A bar's chords with the new ones laid over the old; equal neighbours join. */
function layOver(stretch: Stretch, offset: number, fresh: readonly NewChord[]): readonly PlacedChord[] {
  const bar = stretch.bars[offset] as ArrangedBar
  const barStart = stretch.starts[offset] as number
  const barEnd = barStart + bar.lengthTicks
  const here = fresh.filter((each) => each.startTick < barEnd && barStart < each.endTick)
  if (here.length === 0) return bar.chords
  const pieces: { startTick: number; endTick: number; chord: Chord }[] = here.map((each) => {
    const startTick = Math.max(each.startTick, barStart)
    const endTick = Math.min(each.endTick, barEnd)
    return { startTick, endTick, chord: each.nameFor ? each.nameFor(startTick, endTick) : each.chord }
  })
  for (const placed of bar.chords) {
    let startTick = barStart + placed.startTick
    const endTick = startTick + placed.durationTicks
    for (const each of here) {
      if (each.endTick <= startTick || each.startTick >= endTick) continue
      if (each.startTick > startTick) pieces.push({ startTick, endTick: each.startTick, chord: placed.chord })
      startTick = Math.max(startTick, each.endTick)
    }
    if (startTick < endTick) pieces.push({ startTick, endTick, chord: placed.chord })
  }
  pieces.sort((a, b) => a.startTick - b.startTick)
  const joined: typeof pieces = []
  for (const piece of pieces) {
    const last = joined.at(-1)
    if (last && sameChord(last.chord, piece.chord)) last.endTick = piece.endTick
    else joined.push({ ...piece })
  }
  return joined.map(({ startTick, endTick, chord }) => ({
    startTick: startTick - barStart,
    durationTicks: endTick - startTick,
    chord,
  }))
}

/** The first hard clash that new chords bring and the bar did not have, as a sentence. */
function newClash(stretch: Stretch, offset: number, chords: readonly PlacedChord[]): string | undefined {
  const bar = stretch.bars[offset] as ArrangedBar
  const before = offset === 0 ? stretch.around.before : stretch.bars[offset - 1]?.melody.at(-1)?.midi
  const isLast = offset === stretch.bars.length - 1
  const after = isLast ? stretch.around.after : stretch.bars[offset + 1]?.melody[0]?.midi
  const around = { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }
  const had = new Set(
    judgeMelody(bar, around)
      .filter(({ fit }) => fit === 'hard')
      .map(({ noteIndex }) => noteIndex),
  )
  const found = judgeMelody({ ...bar, chords }, around).find(
    ({ fit, noteIndex }) => fit === 'hard' && !had.has(noteIndex),
  )
  if (!found) return undefined
  const note = must(bar.melody[found.noteIndex], 'a judged note')
  const against = must(chords[found.chordIndex], 'a judged chord').chord
  return clashSentence(stretch.numbers[offset] ?? 0, nameOfPitch(note.name), against, found.degree)
}
