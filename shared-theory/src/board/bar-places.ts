/** Where a bar stands by what it was made from, and where a comment pinned to it stands now: pins follow the music, not a count of bars. */
import type { ArrangedBar } from '../contract/index.js'
import { tuneBarsHeld } from '../units/index.js'

/**
 * What a comment holds on to. `passId`, `sectionId` and `bar` say where the bar stood when it was pinned; the rest, what it was made from.
 * Anchors of before these were kept have the first three only and are read by them.
 */
export interface CommentAnchor {
  /** As ArrangedBar.pass. */
  readonly passId: string
  readonly sectionId: string
  /** 0-based among the neighbours with this pass and section. */
  readonly bar: number
  /** Index into Tune.bars; of joined bars the first. */
  readonly tuneBar?: number
  /** Which playing of that tune bar within the pass and section, where there are several; absent: the first. */
  readonly turn?: number
  /** Which of the bars one tune bar has become, where a groove doubles it; absent: the first. */
  readonly part?: number
  /** The option that made the bar, where it comes from no tune bar; `bar` then counts among the bars it made there. */
  readonly optionId?: string
}

/** One bar of an arrangement as pins see it. */
export interface BarPlace {
  readonly passId: string
  readonly sectionId: string
  readonly bar: number
  readonly tuneBar?: number
  /** Tune bars from `tuneBar` on that this bar holds. */
  readonly tuneBars: number
  readonly turn: number
  readonly part: number
  /** Who made it, and its place among the bars made there by the same option. */
  readonly optionId?: string
  readonly made: number
  /** Tune bars beyond its own whose notes it plays: a pickup that lies in the bar before. */
  readonly leadsIn: readonly number[]
}

type Pinned = Pick<ArrangedBar, 'pass' | 'sectionId' | 'metre' | 'provenance' | 'melody'>

/** One place a bar, in playing order. */
export function barPlaces(bars: readonly Pinned[]): readonly BarPlace[] {
  const held = tuneBarsHeld(bars)
  const turns = new Map<string, number>()
  const made = new Map<string, number>()
  const places: BarPlace[] = []
  for (const [index, { pass, sectionId, provenance, melody }] of bars.entries()) {
    const { tuneBar, optionId: lastId, trail } = provenance
    const before = places[index - 1]
    const goesOn = before?.passId === pass && before.sectionId === sectionId
    const optionId = trail?.[0]?.optionId ?? lastId
    const tuneBars = held[index] as number
    const key = `${pass}\n${sectionId}\n${tuneBar ?? `by ${optionId}`}`
    const isPart = goesOn && tuneBar !== undefined && before.tuneBar === tuneBar
    const turn = isPart ? before.turn : (turns.get(key) ?? 0)
    if (tuneBar !== undefined && !isPart) turns.set(key, turn + 1)
    const place = made.get(key) ?? 0
    made.set(key, place + 1)
    const isOwn = (bar: number) => tuneBar !== undefined && bar >= tuneBar && bar < tuneBar + tuneBars
    places.push({
      passId: pass,
      sectionId,
      bar: goesOn ? before.bar + 1 : 0,
      ...(tuneBar === undefined ? {} : { tuneBar }),
      tuneBars,
      turn,
      part: isPart ? before.part + 1 : 0,
      ...(optionId === undefined ? {} : { optionId }),
      made: tuneBar === undefined ? place : 0,
      leadsIn: [...new Set(melody.flatMap(({ source }) => (source && !isOwn(source.bar) ? [source.bar] : [])))],
    })
  }
  return places
}

/** The anchor of a comment pinned here. */
export function anchorAt({ passId, sectionId, bar, tuneBar, turn, part, optionId, made }: BarPlace): CommentAnchor {
  if (tuneBar !== undefined) {
    return { passId, sectionId, bar, tuneBar, ...(turn > 0 ? { turn } : {}), ...(part > 0 ? { part } : {}) }
  }
  return optionId === undefined ? { passId, sectionId, bar } : { passId, sectionId, bar: made, optionId }
}

/** Index of the bar that holds what an anchor holds on to; undefined where it is not played now. */
export function anchoredBar(anchor: CommentAnchor, places: readonly BarPlace[]): number | undefined {
  const index = indexOf(places)
  const { passId, sectionId, bar, optionId, tuneBar } = anchor
  if (tuneBar !== undefined) return tuneBarNow(anchor, tuneBar, index, places)
  const there = index.get(spot(passId, sectionId)) ?? []
  if (optionId === undefined) return there.find((at) => places[at]?.bar === bar)
  return there.find((at) => {
    const place = places[at]
    return place?.tuneBar === undefined && place?.optionId === optionId && place.made === bar
  })
}

const OPENING = 'opening'
const ENDING = 'ending'

type Index = ReadonlyMap<string, readonly number[]>
const indexes = new WeakMap<readonly BarPlace[], Index>()
const spot = (passId: string, sectionId: string): string => `${passId}\n${sectionId}`

function indexOf(places: readonly BarPlace[]): Index {
  const known = indexes.get(places)
  if (known) return known
  const index = new Map<string, number[]>()
  for (const [at, { passId, sectionId }] of places.entries()) {
    const key = spot(passId, sectionId)
    const list = index.get(key)
    if (list) list.push(at)
    else index.set(key, [at])
  }
  indexes.set(places, index)
  return index
}

function tuneBarNow(
  anchor: CommentAnchor,
  tuneBar: number,
  index: Index,
  places: readonly BarPlace[],
): number | undefined {
  const { passId, sectionId } = anchor
  const holds = (at: number): boolean => {
    const { tuneBar: first, tuneBars } = places[at] as BarPlace
    return first !== undefined && tuneBar >= first && tuneBar < first + tuneBars
  }
  const holding = (pass: string, section: string) =>
    pick((index.get(spot(pass, section)) ?? []).filter(holds), anchor, places)
  // A pass played fewer times than it was: the first time stands for the one that is gone.
  const found = holding(passId, sectionId) ?? holding(passId.split('#')[0] as string, sectionId)
  if (found !== undefined || passId === OPENING) return found
  const last = places.findLast((place) => place.passId !== ENDING)
  // An ending takes the tune's last bars out of the last pass, and gives them back when it goes.
  if (passId === ENDING && last) return holding(last.passId, sectionOf(places, last.passId, tuneBar) ?? last.sectionId)
  if (passId === last?.passId) {
    const closing = holding(ENDING, ENDING)
    if (closing !== undefined) return closing
  }
  // A pickup that has no bar of its own lies in the bar before its pass.
  const first = places.findIndex((place) => place.passId === passId && place.sectionId === sectionId)
  return first > 0 && places[first - 1]?.leadsIn.includes(tuneBar) ? first - 1 : undefined
}

/** The section of a pass that holds a tune bar. */
function sectionOf(places: readonly BarPlace[], passId: string, tuneBar: number): string | undefined {
  return places.find(
    (place) =>
      place.passId === passId &&
      place.tuneBar !== undefined &&
      tuneBar >= place.tuneBar &&
      tuneBar < place.tuneBar + place.tuneBars,
  )?.sectionId
}

/** Of several bars that hold a tune bar the one of the same playing, then of the same part; where that is gone, the last there is. */
function pick(
  found: readonly number[],
  { turn = 0, part = 0 }: CommentAnchor,
  places: readonly BarPlace[],
): number | undefined {
  if (found.length === 0) return undefined
  const turnOf = (at: number): number => (places[at] as BarPlace).turn
  const playing = turnOf(found.at(-1) as number) < turn ? turnOf(found.at(-1) as number) : turn
  const there = found.filter((at) => turnOf(at) === playing)
  return there.find((at) => places[at]?.part === part) ?? there.at(-1)
}
