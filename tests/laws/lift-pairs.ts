/** What is measured of a lift from one key to another: offered, arrived, moved, spelled, checked. */
import {
  type Chosen,
  type Issue,
  type Option,
  type Plan,
  type Tune,
  compile,
  defaultPlan,
  explainAbsent,
  keyAway,
  keySignatureOf,
  pitchClass,
  proposeOptions,
  tonicOf,
  validate,
} from '@chartloft/shared-theory'
import { type PairRecipe, keyPairTune, nameOfPair } from '../fixtures/key-pair-tunes.js'

export const choose = (option: Option): Chosen => ({
  kind: option.kind,
  option,
  ...(option.at ? { at: option.at } : {}),
})

/** One chorus, so that the lift stands between the two sections and nowhere else. */
export function onePass(tune: Tune): Plan {
  const plan = defaultPlan(tune)
  return { ...plan, roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: tune.sections.map(({ id }) => id) }] }
}

const PREPARED = (option: Option): boolean => option.recipe !== 'none' && option.recipe !== 'direct'
const lineOf = ({ code, path, message }: Issue): string => `${code} ${path} ${message}`

export interface PairFinding {
  readonly name: string
  /** Preparations offered, `direct` not counted. */
  readonly prepared: readonly string[]
  /** Most chords any of them puts between the keys; a chord of the old key kept before them not counted. */
  readonly mostChords: number
  readonly faults: readonly string[]
}

/** Every option of the pair's distance, compiled with the band and checked; `perKind` of each preparation. */
export function measurePair(recipe: PairRecipe, perKind = 1): PairFinding {
  const tune = keyPairTune(recipe)
  const plan = onePass(tune)
  const at = { passId: 'chorus-1', sectionId: 'B1' }
  const options = proposeOptions(tune, 'lift', plan, at, { semitones: recipe.lift }).filter(
    ({ params }) => params['semitones'] === recipe.lift,
  )
  const before = compile(plan)
  const known = new Set([...before.issues, ...validate(before.arrangement, { plan })].map(lineOf))
  const faults: string[] = []
  const tried = new Map<string, number>()
  let mostChords = 0
  for (const option of options) {
    const count = (tried.get(option.recipe) ?? 0) + 1
    tried.set(option.recipe, count)
    if (count > perKind) continue
    const lifted = { ...plan, chosen: [choose(option)] }
    const { arrangement, issues } = compile(lifted)
    const found = [...issues, ...validate(arrangement, { plan: lifted })].filter(
      (issue) => (issue.severity === 'error' || issue.code === 'VA4') && !known.has(lineOf(issue)),
    )
    faults.push(...found.map((issue) => `${option.id}: ${lineOf(issue)}`))
    faults.push(
      ...movedFaults(recipe, tune, arrangement.bars, option.params['spelling'] === 'sharps').map(
        (fault) => `${option.id}: ${fault}`,
      ),
    )
    // Squeezed, a preparation stands behind a chord of the old key; what leads comes after it.
    const chords = arrangement.bars[3]?.chords ?? []
    const isSqueezed = option.reason.some(({ rule }) => rule === 'LI6')
    if (option.recipe !== 'direct') mostChords = Math.max(mostChords, chords.length - (isSqueezed ? 1 : 0))
    if (!option.reason.some(({ rule, text }) => rule === 'LI2' && /accidentals|sharp|flat/.test(text)))
      faults.push(`${option.id}: the reason does not say how the key is spelled`)
  }
  const prepared = options.filter(PREPARED).map(({ id }) => id)
  return { name: nameOfPair(recipe), prepared, mostChords, faults }
}

/** Keys, chords and melody: A as it was, B in the key asked for. */
function movedFaults(
  { from, to, lift }: PairRecipe,
  tune: Tune,
  bars: ReturnType<typeof compile>['arrangement']['bars'],
  isInSharps: boolean,
): readonly string[] {
  const faults: string[] = []
  for (const [index, bar] of bars.entries()) {
    const own = tune.bars[index]
    if (!own) return ['bars were added']
    const shift = index < 4 ? 0 : lift
    const isThere =
      isInSharps && index >= 4
        ? bar.key.fifths === 6 && sounds(bar.key.key) === sounds(to)
        : bar.key.key === (index < 4 ? from : to)
    if (!isThere) faults.push(`bar ${index + 1} is in ${bar.key.key}`)
    if (Math.abs(bar.key.fifths) > 6) faults.push(`bar ${index + 1} has ${bar.key.fifths} accidentals`)
    if (bar.melody.some(({ midi }, place) => midi !== (own.melody[place]?.midi ?? 0) + shift))
      faults.push(`the melody of bar ${index + 1} did not move by ${shift}`)
    if (index === 3) continue
    const isMoved = bar.chords.every(
      ({ chord }, place) =>
        (pitchClass(chord.root) - pitchClass(own.chords[place]?.chord.root ?? '') - shift + 24) % 12 === 0,
    )
    if (!isMoved) faults.push(`the chords of bar ${index + 1} did not move by ${shift}`)
  }
  return faults
}

const sounds = (key: string): string => `${pitchClass(tonicOf(key))} ${key.split(' ')[1]}`

export interface SameModeFinding {
  readonly name: string
  readonly prepared: number
  /** Preparations that are neither offered nor refused in words. */
  readonly unexplained: readonly string[]
  readonly faults: readonly string[]
}

const ALL_KINDS = [
  'direct',
  'sus-dominant',
  'dominant',
  'two-five',
  'tritone',
  'pivot',
  'common-tone',
  'chromatic-line',
] as const

/** One tune in one key, B lifted by so many half steps: every preparation is offered, or refused for a reason in words. */
export function measureSameMode(recipe: PairRecipe): SameModeFinding {
  const tune = keyPairTune(recipe)
  const plan = onePass(tune)
  const at = { passId: 'chorus-1', sectionId: 'B1' }
  const wish = { semitones: recipe.lift }
  const options = proposeOptions(tune, 'lift', plan, at, wish)
  const absent = new Map(explainAbsent(tune, 'lift', plan, at, wish).map(({ recipe: kind, why }) => [kind, why]))
  const offered = new Set(options.map((option) => option.recipe))
  const unexplained = ALL_KINDS.filter((kind) => !offered.has(kind) && !/\S.*\.$/.test(absent.get(kind) ?? ''))
  const wanted = keyAway(keySignatureOf(recipe.from), recipe.lift)
  const faults = options
    .filter(({ recipe: kind }) => kind !== 'none')
    .filter(({ reason }) => !reason[0]?.text.includes(shown(tonicOf(wanted.key))))
    .map(({ id }) => `${id} does not name ${wanted.key}`)
  return { name: nameOfPair(recipe), prepared: options.filter(PREPARED).length, unexplained, faults }
}

const shown = (tonic: string): string => tonic.replace('b', '♭').replace('#', '♯')
