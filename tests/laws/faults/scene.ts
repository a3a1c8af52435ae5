/** The clean music faults are put into: arrangements of many kinds, each with its plan and what it looked like before a lift. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  type Chosen,
  type DecisionKind,
  type FoldedScore,
  type Issue,
  LINEUPS,
  type PartSpec,
  type Plan,
  type Tune,
  compile,
  defaultPlan,
  fold,
  proposeOptions,
  readTune,
  validate,
} from '@chartloft/shared-theory'
import { drawn, madeTune } from '../../fixtures/made-tunes.js'
import { MORE_TUNES } from '../../fixtures/more-tunes.js'

export type Random = (bound: number) => number

export interface Scene {
  readonly name: string
  readonly plan: Plan
  readonly music: Arrangement
  /** The same plan without its lift: what is "left behind". */
  readonly flat?: Arrangement
  /** Index of the first lifted bar, and how far the lift goes. */
  readonly lift?: { readonly index: number; readonly semitones: number; readonly preparation: string }
  readonly folded: FoldedScore
  /** What the checks say of the music as it is. */
  readonly known: ReadonlySet<string>
}

export const finger = ({ code, path, message }: Issue): string => `${code} ${path} ${message}`

const SINGER: PartSpec = { id: 'voice', instrument: 'voice-alto', name: 'Voice', role: 'lead' }
const GUITAR: PartSpec = { id: 'guitar', instrument: 'guitar', name: 'Guitar', role: 'chords' }
const lineup = (name: string): readonly PartSpec[] => LINEUPS[name] as readonly PartSpec[]
const asHorns = (parts: readonly PartSpec[]): readonly PartSpec[] =>
  parts.map((part) => (part.role === 'lead' ? { ...part, role: 'horn' } : part))
const BANDS: readonly (readonly PartSpec[])[] = [
  lineup('septet'),
  lineup('quintet'),
  lineup('quartet-voice'),
  [SINGER, ...asHorns(lineup('septet'))],
  [...lineup('quartet-trumpet'), GUITAR],
  lineup('quartet-lead'),
]

export function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
}

/** The five demo tunes, three others by hand, and made ones with pickups and other metres. */
const tunes = (made: number): readonly Tune[] => [
  ...DEMO_TUNES.map(({ abc }) => tuneOf(abc)),
  ...MORE_TUNES.map((abc) => tuneOf(abc)),
  ...Array.from({ length: made }, (_, index) => madeTune(index + 3)),
]

/** Scenes from a seed: tune by tune, bands in turn, options drawn for every decision; most are lifted. */
export function scenesFrom(seed: number, count: number): readonly Scene[] {
  const random = drawn(seed)
  const all = tunes(7)
  return Array.from({ length: count }, (_, index) => {
    const tune = all[index % all.length] as Tune
    return sceneOf(
      tune,
      BANDS[(index + Math.floor(index / all.length)) % BANDS.length] as readonly PartSpec[],
      random,
      index,
    )
  })
}

function sceneOf(tune: Tune, band: readonly PartSpec[], random: Random, index: number): Scene {
  const plain = defaultPlan(tune)
  const withBackgrounds = plain.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, backgrounds: true } : pass))
  // Short forms keep the many rounds quick: two passes of a long tune, three of a short one.
  const roadmap =
    tune.bars.length > 20 ? withBackgrounds.filter(({ kind }) => kind !== 'solo' || index % 6 === 0) : withBackgrounds
  let plan: Plan = { ...plain, roadmap, lineup: band }
  const kinds: readonly (readonly [DecisionKind, number])[] = [
    ['groove', 2],
    ['lift', 5],
    ['opening', 3],
    ['ending', 3],
    ['harmony', 1],
  ]
  for (const [kind, ofSix] of kinds) {
    if (random(6) >= ofSix) continue
    const options = proposeOptions(tune, kind, plan).filter(({ recipe, params }) => {
      return kind !== 'lift' || (recipe !== 'none' && params['semitones'] !== 0)
    })
    const option = options[random(Math.min(options.length, 12))]
    if (option) plan = { ...plan, chosen: [...plan.chosen, { kind, option, ...(option.at ? { at: option.at } : {}) }] }
  }
  return dressed(plan)
}

export function dressed(plan: Plan): Scene {
  const { arrangement: music } = compile(plan)
  const folded = fold(music)
  const lifted = plan.chosen.find(({ kind }) => kind === 'lift')
  const known = new Set(validate(music, { plan, folded }).map(finger))
  const label = plan.chosen.map(({ option }) => `${option.kind} ${option.id}`).join(', ')
  const name = `${plan.tune.title} for ${plan.lineup.length}${label ? ` (${label})` : ''}`
  const base: Scene = { name, plan, music, folded, known }
  return lifted ? { ...base, ...behind(plan, lifted, music) } : base
}

function behind(plan: Plan, lifted: Chosen, music: Arrangement): Pick<Scene, 'flat' | 'lift'> {
  const flat = compile({ ...plan, chosen: plan.chosen.filter((chosen) => chosen !== lifted) }).arrangement
  const index = music.bars.findIndex((bar, at) => bar.key.fifths !== flat.bars[at]?.key.fifths)
  const { semitones, preparation } = lifted.option.params
  if (index < 1 || flat.bars.length !== music.bars.length) return {}
  return { flat, lift: { index, semitones: Number(semitones), preparation: String(preparation) } }
}

/** A scene's music with one bar another. */
export const withBar = ({ music }: Scene, index: number, bar: ArrangedBar): Arrangement => ({
  ...music,
  bars: music.bars.map((own, place) => (place === index ? bar : own)),
})
