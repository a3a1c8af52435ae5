/** The groove recipes: one a groove of the catalogue, and the tune as written. */
import type { ArrangedBar, Chosen, Issue, Metre, Option, RuleStep, Tune } from '../../contract/index.js'
import {
  GROOVES,
  type Groove,
  type RebarObstacle,
  type Rebarred,
  mainMetre,
  plainMapId,
  tempoOf,
} from '../../rhythm/index.js'
import { formatMetre, issue } from '../../units/index.js'
import { barNumber, ofTheTune } from '../bar-words.js'
import type { Applied, ApplyContext, Offer, OfferContext, Offers, Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { clashFree } from './clash-free.js'
import { type TuneFacts, factsOf } from './facts.js'
import { GROOVE_HINTS, type GrooveHints, type Ranking, rank } from './hints.js'
import { AS_WRITTEN, readRequest, readWritten, tempoFor, toGrooveMetre, writtenRequest } from './place-groove.js'
import { LONG_METRE, type Version, versionsOf } from './versions.js'
import { type Count, countOf, countOfGroove, mapWords, metreWord, tempoNumber, tempoWord, wayWords } from './words.js'

/** What everybody knows needs no praise: the others come first where they suit. */
const AS_WRITTEN_SUITS = 0.6
/** Issues point at the choice; compile knows its number. */
const PATH = 'chosen'

export const grooveRecipes: readonly Recipe[] = [
  { id: AS_WRITTEN, kind: 'groove', offer: offerAsWritten, apply: applyGroove },
  ...GROOVES.filter(({ metre }) => metre !== 'any').map((groove): Recipe => ({
    id: groove.id,
    kind: 'groove',
    offer: (context) => offerGroove(groove, context),
    apply: applyGroove,
  })),
]

function offerAsWritten({ tune }: OfferContext): Offers {
  const { groove, tempoBpm } = writtenRequest(tune.metre, tempoOf(tune))
  const words = `${metreWord(tune.metre)}, ${tempoWord(tempoBpm, countOf(tune.metre))}`
  const isUsual = tempoBpm >= groove.tempo.low && tempoBpm <= groove.tempo.high
  return {
    offers: [
      {
        recipe: AS_WRITTEN,
        title:
          isUsual && !groove.name.includes(formatMetre(tune.metre))
            ? `As written: ${groove.name}, ${words}`
            : `As written: ${words}`,
        params: { groove: groove.id, metre: formatMetre(tune.metre), tempoBpm },
        summary: `Everybody knows it like this: the bars stay as they are, in ${words}.`,
        reason: [{ rule: 'GD4', text: `no re-barring; ${groove.name} is what this metre and tempo usually get` }],
        suits: AS_WRITTEN_SUITS,
        energy: 0,
        distance: 0,
        difficulty: 0.1,
      },
    ],
  }
}

function offerGroove(groove: Groove, context: OfferContext): Offers {
  const { tune, bars, wish } = context
  const hints = GROOVE_HINTS[groove.id]
  const metre = mainMetre(bars) ?? tune.metre
  const tuneTempoBpm = tempoOf(tune)
  const tempoBpm = tempoFor(groove, metre, tuneTempoBpm)
  if (!hints) return { absent: `${groove.name} is not offered for whole tunes.` }
  const written = writtenRequest(tune.metre, tuneTempoBpm)
  const isWritten = written.groove.id === groove.id && written.tempoBpm === tempoBpm
  const scene = { facts: factsOf(tune), metre, tuneTempoBpm, isWritten }
  const offers: Offer[] = []
  let obstacle: RebarObstacle | undefined
  for (const version of versionsOf(groove, metre, tempoBpm, wish.more ?? 0)) {
    if (isWritten && version.words === '') continue
    const { made, mapIds } = clashFree(bars, { groove, ...version })
    if ('why' in made) obstacle ??= made
    else offers.push(offerOf(groove, hints, made, scene, mapIds ? { ...version, mapIds } : version))
  }
  if (offers.length > 0) return { offers }
  if (!obstacle) return { absent: `${groove.name} is what the tune has as written.` }
  return { absent: absentWords(groove, obstacle, bars, tune) }
}

interface Scene {
  readonly facts: TuneFacts
  readonly metre: Metre
  readonly tuneTempoBpm: number | undefined
  /** Whether the groove at its usual tempo is what the tune has as written. */
  readonly isWritten: boolean
}

function offerOf(groove: Groove, hints: GrooveHints, made: Rebarred, scene: Scene, version: Version): Offer {
  const { tempoBpm, mapIds, groups } = version
  const ranking = rank(hints, scene.facts)
  const used = [...new Set(made.steps.map(({ mapId }) => plainMapId(mapId)))].filter((id) => id !== 'same')
  const isRebarred = used.length > 0
  const tuneMetre = formatMetre(scene.metre)
  const metre = groove.metre === 'any' || !isRebarred ? tuneMetre : formatMetre(groove.metre)
  const alone = made.steps.filter(({ mapId }) => mapId === 'same').length
  const count = countOfGroove(groove, scene.metre)
  const params: Option['params'] = {
    groove: groove.id,
    metre,
    tempoBpm,
    ...(mapIds ? { maps: mapIds } : {}),
    ...(groups ? { groups: groups.join('+') } : {}),
  }
  const title = [
    groove.name,
    count === 'half' ? 'cut time' : '',
    isRebarred && count !== 'half' && !groove.name.includes(metre) ? metre : '',
    version.words,
    tempoWord(tempoBpm, count),
  ]
  return {
    recipe: groove.id,
    title: title.filter((part) => part !== '').join(', '),
    params,
    summary: summaryOf(ranking, hints, isRebarred ? wayWords(waysOf(made), tuneMetre, metre) : undefined),
    family: scene.isWritten && !isRebarred ? AS_WRITTEN : hints.kind,
    reason: reasonOf({ groove, ranking, used, alone: isRebarred ? alone : 0, tuneMetre, tempoBpm, count }),
    suits: Math.round(suitsOf(ranking, isRebarred ? waysOf(made) : [], scene, tempoBpm) * version.share * 1000) / 1000,
    energy: energyOf(groove, hints, tempoBpm),
    distance: distanceOf(groove, used),
    difficulty: hints.difficulty,
  }
}

/** What the groove does to the energy, a little more at the quick end of its tempi and a little less at the slow one. */
function energyOf({ tempo }: Groove, { energy }: GrooveHints, tempoBpm: number): number {
  const quicker = (tempoBpm - tempo.default) / (tempo.high - tempo.low)
  return Math.max(-1, Math.min(1, energy + TEMPO_LIFTS * quicker))
}

/** Energy between a groove's slowest and its quickest tempo (judgement). */
const TEMPO_LIFTS = 0.3

/** Other bars, and a tempo far from the tune's own, ask for a better reason. */
function suitsOf(
  ranking: Ranking,
  ways: readonly { from: number; to: number }[],
  scene: Scene,
  tempoBpm: number,
): number {
  const joins = ways.some(({ from, to }) => from > to)
  const times = scene.tuneTempoBpm === undefined ? 1 : tempoBpm / scene.tuneTempoBpm
  const isFar = times > 1.35 || times < 0.7
  return ranking.suits * (joins ? 0.85 : ways.length > 0 ? 0.9 : 1) * (isFar ? 0.9 : 1)
}

function summaryOf(ranking: Ranking, hints: GrooveHints, way: string | undefined): string {
  const against = ranking.con ? `, though ${ranking.con}` : ''
  const bars = way ? `; ${way}` : ''
  const sentence = `${ranking.pro}: ${hints.gives}${bars}${against}.`
  return sentence.charAt(0).toUpperCase() + sentence.slice(1)
}

interface Reasoned {
  readonly groove: Groove
  readonly ranking: Ranking
  readonly used: readonly string[]
  /** Bars that stay alone in the tune's metre. */
  readonly alone: number
  readonly tuneMetre: string
  readonly tempoBpm: number
  readonly count: Count
}

function reasonOf({ groove, ranking, used, alone, tuneMetre, tempoBpm, count }: Reasoned): readonly RuleStep[] {
  const { low, high } = groove.tempo
  return [
    { rule: 'GD6', text: ranking.pro },
    ...(ranking.con ? [{ rule: 'GD6', text: `against it: ${ranking.con}` }] : []),
    ...used.map((id) => ({ rule: 'RB1', text: mapWords(id) })),
    ...(alone > 0
      ? [{ rule: 'RB2', text: `${alone} ${alone === 1 ? 'bar stands' : 'bars stand'} alone in ${tuneMetre}` }]
      : []),
    {
      rule: 'GD5',
      text: `${groove.name} is played at ${tempoWord(low, count)} to ${tempoNumber(high, count)}; here ${tempoNumber(tempoBpm, count)}`,
    },
  ]
}

/** How far it is from the tune as written: same bars least, joined bars most. */
function distanceOf(groove: Groove, used: readonly string[]): number {
  if (used.length === 0) return groove.feel === 'swing' ? 0.15 : 0.25
  if (used.includes(LONG_METRE)) return 0.35
  return used.some((id) => /(^|\+)(47b?|74|35b?|37[bc]?)$/.test(id)) ? 0.65 : 0.5
}

/** Re-bars and sets metre, groups, feel and tempo; what cannot be done leaves the bars as they are and says so. */
function applyGroove(bars: readonly ArrangedBar[], chosen: Chosen, { tune }: ApplyContext): Applied {
  const { params, id } = chosen.option
  const isWritten = chosen.option.recipe === AS_WRITTEN
  const request = isWritten ? readWritten(params, bars) : readRequest(params, bars)
  if (typeof request === 'string') return { bars, issues: [issue('GD3', 'error', PATH, request)] }
  const complaints = request.complaints.map((text) => issue('GD3', 'warning', PATH, text))
  const made = toGrooveMetre(bars, request)
  if ('why' in made)
    return { bars, issues: [...complaints, issue('GD3', 'error', PATH, absentWords(request.groove, made, bars, tune))] }
  const placed = made.steps.flatMap(({ mapId, to }) => Array.from({ length: to }, () => mapId))
  const dressed = made.bars.map((bar, index): ArrangedBar => {
    const { tempoEndBpm, ...rest } = bar
    const rule = placed[index] === 'same' ? 'GD2' : 'RB1'
    return {
      ...rest,
      tempoBpm: request.tempoBpm,
      ...(tempoEndBpm === undefined
        ? {}
        : { tempoEndBpm: Math.round((tempoEndBpm * request.tempoBpm * 1000) / bar.tempoBpm) / 1000 }),
      feel: request.groove.feel,
      provenance: isWritten ? bar.provenance : stamped(bar.provenance, 'groove', id, rule),
    }
  })
  return { bars: dressed, issues: [...complaints, ...placeIssue(chosen)] }
}

function placeIssue(chosen: Chosen): readonly Issue[] {
  const at = chosen.at ?? chosen.option.at
  return at ? [issue('GD3', 'note', PATH, 'A groove acts on the whole arrangement; the place named is not used.')] : []
}

function absentWords(
  groove: Groove,
  obstacle: { readonly barIndex?: number; readonly why: string },
  bars: readonly ArrangedBar[],
  tune: Tune,
): string {
  if (obstacle.barIndex === undefined) {
    const metre = mainMetre(bars)
    return `${groove.name} needs ${groove.metre === 'any' ? 'bars' : formatMetre(groove.metre)}, and no re-barring leads there from ${metre ? formatMetre(metre) : 'these bars'}.`
  }
  const bar = bars[obstacle.barIndex]
  const number = (bar && barNumber(bar, tune)) ?? obstacle.barIndex + 1
  return `${ofTheTune(`Bar ${number}`)} can't go to ${groove.metre === 'any' ? 'it' : formatMetre(groove.metre)}: ${obstacle.why}. Longer notes there, or a groove in the tune's own metre, would work.`
}

const waysOf = ({ steps }: Rebarred) =>
  steps.filter(({ mapId }) => mapId !== 'same').map(({ from, to }) => ({ from: from.length, to }))
