/** Chord qualities the optimiser may put on a root, and what each costs under a melody in a key. Lower is better; integers only.
 *  The weights are judgement; the worked examples and the tables of notes pin them. */
import type { Chord, KeySignature, NoteName } from '../contract/index.js'
import { type ChordQuality, qualityOf } from '../chords/index.js'
import {
  isMinorKey,
  mod,
  nameInKey,
  noteName,
  parseInterval,
  parseNoteName,
  pitchClass,
  scaleOf,
  simplifyNoteName,
  tonicOf,
  transposeName,
} from '../units/index.js'
import type { LineNote } from './line-notes.js'
import { dominantSuffix } from './name.js'
import { type Fit, degreeName, fitDegree } from './table.js'

export interface Quality {
  readonly id: string
  readonly family: ChordQuality
  /** Semitones above the root. */
  readonly tones: readonly number[]
  /** Staff steps above the root, for each tone: what spelling needs. */
  readonly steps: readonly number[]
  /** How far from plain it is, before anything else is weighed. */
  readonly base: number
}

const q = (
  id: string,
  family: ChordQuality,
  tones: readonly number[],
  steps: readonly number[],
  base: number,
): Quality => ({
  id,
  family,
  tones,
  steps,
  base,
})
const SEVENTH = [0, 2, 4, 6]

export const QUALITIES: readonly Quality[] = [
  q('maj7', 'major', [0, 4, 7, 11], SEVENTH, 0),
  q('6', 'major', [0, 4, 7, 9], [0, 2, 4, 5], 1),
  q('7', 'dominant', [0, 4, 7, 10], SEVENTH, 1),
  q('7sus4', 'sus', [0, 5, 7, 10], [0, 3, 4, 6], 3),
  q('m7', 'minor', [0, 3, 7, 10], SEVENTH, 0),
  q('m6', 'minor-sixth', [0, 3, 7, 9], [0, 2, 4, 5], 2),
  q('m(maj7)', 'minor-sixth', [0, 3, 7, 11], SEVENTH, 4),
  q('m7b5', 'half-diminished', [0, 3, 6, 10], SEVENTH, 1),
  q('dim7', 'diminished', [0, 3, 6, 9], SEVENTH, 3),
  q('maj7#5', 'augmented', [0, 4, 8, 11], SEVENTH, 5),
  q('', 'major', [0, 4, 7], [0, 2, 4], 3),
]
export const findQuality = (id: string): Quality | undefined => QUALITIES.find((quality) => quality.id === id)

/** One chord the optimiser weighs: a quality on a root, or a chord that is already there. */
export interface Candidate {
  readonly root: NoteName
  readonly rootPc: number
  readonly family: ChordQuality
  readonly tones: readonly number[]
  readonly quality?: Quality
  readonly bass?: NoteName
}

export function candidateOf(chord: Chord): Candidate | undefined {
  if (chord.root === '') return undefined
  const lower = chord.over ?? chord
  return {
    root: lower.root,
    rootPc: pitchClass(lower.root),
    family: qualityOf(chord),
    tones: lower.intervals.map((interval) => mod(parseInterval(interval)?.semitones ?? 0, 12)),
  }
}

/** Pitch classes a key calls its own: its scale, in minor also the raised seventh. */
export function keyPitchClasses(key: KeySignature): ReadonlySet<number> {
  const own = scaleOf(key.key).map(pitchClass)
  return new Set(isMinorKey(key.key) ? [...own, mod(pitchClass(tonicOf(key.key)) + 11, 12)] : own)
}

/** A root as a chart in this key names it: ♭2 ♭3 ♯4 ♭6 ♭7 between the scale notes, and no C♭ F♭ B♯ E♯ unless the key has it. */
export function rootInKey(pc: number, key: KeySignature): NoteName {
  const name = nameInKey(mod(pc, 12), key)
  return scaleOf(key.key).includes(name) ? name : simplifyNoteName(name)
}

/** Worst fit of the notes that do not pass, with the note that causes it. */
export function worstFit(candidate: Candidate, notes: readonly LineNote[]): { fit: Fit; note?: LineNote } {
  let worst: { fit: Fit; note?: LineNote } = { fit: 'ok' }
  for (const note of notes) {
    if (note.isPassing) continue
    const fit = fitUnder(candidate, note.pc)
    if (fit === 'hard') return { fit, note }
    if (fit === 'soft' && worst.fit === 'ok') worst = { fit, note }
  }
  return worst
}

function fitUnder(candidate: Candidate, pc: number): Fit {
  const degree = mod(pc - candidate.rootPc, 12)
  if (candidate.tones.includes(degree)) return 'ok'
  if (candidate.bass !== undefined && pitchClass(candidate.bass) === pc) return 'ok'
  return fitDegree(candidate.family, degree)
}

const HARD_COST = 100

export interface SlotContext {
  readonly key: KeySignature
  readonly keyPcs: ReadonlySet<number>
  readonly tonicPc: number
  readonly beatTicks: number
  /** What stood here in the tune. */
  readonly was?: Chord
  /** Points for keeping the quality that stood here. */
  readonly keep: number
}

/** What a candidate costs under its own melody, whatever comes before and after. */
export function melodyCost(candidate: Candidate, notes: readonly LineNote[], context: SlotContext): number {
  let cost = candidate.quality?.base ?? 0
  for (const note of notes) {
    const degree = mod(note.pc - candidate.rootPc, 12)
    const fit = fitUnder(candidate, note.pc)
    const beats = Math.ceil((note.endTick - note.startTick) / context.beatTicks)
    if (fit === 'hard') cost += note.isPassing ? 2 : HARD_COST
    else if (fit === 'soft')
      cost += note.isPassing ? 0 : 3 + 3 * beats + (note.isStrong ? 2 : 0) + (beats >= 2 ? 10 : 0)
    else if (!candidate.tones.includes(degree)) cost += note.isPassing ? 0 : 1
    // A held tonic over the seventh a half step below it rubs: the sixth takes its place. And a melody on the seventh is no sixth chord.
    if (candidate.quality?.id === 'maj7' && degree === 0 && note.heldTicks >= 2 * context.beatTicks) cost += 5
    if ((candidate.quality?.id === '6' || candidate.quality?.id === 'm6') && degree === 11) cost += 5
  }
  for (const tone of candidate.tones) if (!context.keyPcs.has(mod(candidate.rootPc + tone, 12))) cost += 2
  const isTonic = candidate.rootPc === context.tonicPc
  if (isTonic && candidate.quality?.id === '6') cost -= 1
  if (isTonic && !tonicFamilies(context.key).includes(candidate.family)) cost += 3
  if (context.was && qualityOf(context.was) === candidate.family) cost -= context.keep
  return cost
}

const tonicFamilies = (key: KeySignature): readonly ChordQuality[] =>
  isMinorKey(key.key) ? ['minor', 'minor-sixth'] : ['major']

/** Moves every player knows, by degree above the tonic: what they lead from and to earns points. Source: common practice. */
const IDIOMS: readonly {
  readonly from: readonly [degree: number, family: ChordQuality]
  readonly to: readonly [degree: number, family: ChordQuality]
  readonly points: number
  readonly text: string
}[] = [
  { from: [6, 'half-diminished'], to: [5, 'minor-sixth'], points: 5, text: '♯iv goes to iv by a half step' },
  { from: [5, 'minor-sixth'], to: [0, 'major'], points: 5, text: 'the minor iv falls home: ♭6 goes to 5' },
  { from: [5, 'minor-sixth'], to: [0, 'minor'], points: 2, text: 'iv goes home' },
  { from: [10, 'dominant'], to: [0, 'major'], points: 4, text: '♭VII7 goes up a whole step to I' },
  { from: [1, 'major'], to: [0, 'major'], points: 3, text: '♭II falls a half step to I' },
  { from: [8, 'major'], to: [10, 'dominant'], points: 2, text: '♭VI goes up a whole step to ♭VII' },
]

/** What a root's step costs by semitones upwards: fifths and half steps are free, standing still is dearest. Only free lines feel it. */
const ROOT_MOTION: readonly number[] = [5, 0, 1, 2, 2, 0, 3, 2, 2, 2, 1, 0]

/** What going from one chord to the next costs: function first, then how far the guide tones move. */
export function moveCost(from: Candidate, to: Candidate, tonicPc: number): number {
  const up = mod(to.rootPc - from.rootPc, 12)
  return (
    (ROOT_MOTION[up] as number) +
    functionCost(from, to, up) +
    (guideMotion(from, to) >> 1) -
    (idiomOf(from, to, tonicPc)?.points ?? 0)
  )
}

/** Why a move is a good one, where it is. */
export function moveReason(from: Candidate, to: Candidate, tonicPc: number): string | undefined {
  const up = mod(to.rootPc - from.rootPc, 12)
  const goal = show(to.root)
  const idiom = idiomOf(from, to, tonicPc)
  if (idiom) return idiom.text
  if (from.family === 'dominant' && up === 5) return `the root falls a fifth to ${goal}, so a dominant`
  if (from.family === 'dominant' && up === 11) return `a dominant a half step above ${goal}`
  if (from.family === 'sus' && up === 5) return `V sus of ${goal}`
  if (from.family === 'sus' && up === 0 && to.family === 'dominant') return 'the sus opens into its dominant'
  if (isTwo(from) && up === 5 && isFive(to)) return `ii before ${goal}7`
  if (from.family === 'diminished' && (up === 1 || up === 11)) {
    return `a passing diminished chord, a half step from ${goal}`
  }
  if (up === 11) return 'the root falls a half step'
  return undefined
}

const isFive = ({ family }: Candidate): boolean => family === 'dominant' || family === 'sus'
const isTwo = ({ family }: Candidate): boolean => family === 'minor' || family === 'half-diminished'

function idiomOf(from: Candidate, to: Candidate, tonicPc: number): (typeof IDIOMS)[number] | undefined {
  const a = mod(from.rootPc - tonicPc, 12)
  const b = mod(to.rootPc - tonicPc, 12)
  return IDIOMS.find(
    (row) => row.from[0] === a && row.to[0] === b && row.from[1] === from.family && row.to[1] === to.family,
  )
}

function functionCost(from: Candidate, to: Candidate, up: number): number {
  switch (from.family) {
    case 'dominant':
      // A chain of dominants is stronger than one alone.
      return up === 5 ? (to.family === 'dominant' ? -8 : -6) : up === 11 ? -4 : up === 0 ? 1 : 4
    case 'sus':
      return up === 5 ? -4 : up === 0 && to.family === 'dominant' ? -3 : 3
    case 'half-diminished':
      return up === 5 && isFive(to) ? -3 : up === 11 ? 0 : 2
    case 'minor':
      return up === 5 && isFive(to) ? -3 : 0
    case 'diminished':
      return up === 1 || up === 11 ? -2 : up === 0 ? 0 : 8
    case 'major':
      return up === 5 || up === 11 ? -1 : 0
    case 'minor-sixth':
    case 'augmented':
    case 'open':
    case 'none':
      break
  }
  return 0
}

/** Semitones the third and seventh (or what stands for them) move, paired the shorter way. */
function guideMotion(from: Candidate, to: Candidate): number {
  if (from.tones.length < 3 || to.tones.length < 3) return 0
  const [a, b] = guideTones(from)
  const [c, d] = guideTones(to)
  return Math.min(near(a, c) + near(b, d), near(a, d) + near(b, c))
}
const guideTones = ({ tones, rootPc }: Candidate): readonly [number, number] => [
  rootPc + (tones[1] ?? 0),
  rootPc + (tones[3] ?? 0),
]
const near = (a: number, b: number): number => Math.min(mod(a - b, 12), mod(b - a, 12))

/** How a candidate is written for the notes that sound over it: the dominant's tensions named, the root spelled without double flats. */
export function writtenName(candidate: Candidate, notes: readonly LineNote[]): string {
  const quality = candidate.quality
  if (!quality) return candidate.root
  const degrees = new Set(
    notes
      .map((note) => mod(note.pc - candidate.rootPc, 12))
      .filter((degree) => fitDegree(candidate.family, degree) === 'ok'),
  )
  const bass = candidate.bass === undefined ? '' : `/${candidate.bass}`
  return `${spelledRoot(candidate.root, quality, notes)}${suffixOf(quality, degrees)}${bass}`
}

function suffixOf(quality: Quality, degrees: ReadonlySet<number>): string {
  if (quality.family === 'dominant') return dominantSuffix(degrees, true)
  if (quality.id === 'maj7' && degrees.has(6)) return 'maj7#11'
  if (quality.id === '7sus4' && degrees.has(1)) return '7sus4(b9)'
  return quality.id
}

/** F♯m∆ rather than G♭m∆ with its B𝄫, D♭∆ rather than C♯∆ with its E♯ and B♯; under a melody on the root the melody's own name;
 *  a °7 keeps the name its line gives it. */
function spelledRoot(root: NoteName, quality: Quality, notes: readonly LineNote[]): NoteName {
  const other = enharmonic(root)
  if (other === undefined || quality.family === 'diminished') return root
  if (notes.some(({ name }) => name === other)) return other
  if (quality.family === 'major' && /^[CDGA]#$/.test(root)) return other
  return doubles(root, quality) > doubles(other, quality) ? other : root
}
const doubles = (root: NoteName, quality: Quality): number =>
  quality.tones.filter((semitones, index) => {
    const name = transposeName(root, { steps: quality.steps[index] as number, semitones })
    // A name that had to be respelled has no accidental worse than single, but its letter betrays it.
    return Math.abs(parseNoteName(name)?.alter ?? 0) > 1 || !isLetterKept(root, name, quality.steps[index] as number)
  }).length
const isLetterKept = (root: NoteName, name: NoteName, steps: number): boolean =>
  mod((parseNoteName(name)?.step ?? 0) - (parseNoteName(root)?.step ?? 0), 7) === steps
function enharmonic(root: NoteName): NoteName | undefined {
  const spelled = parseNoteName(root)
  if (!spelled || spelled.alter === 0) return undefined
  const step = mod(spelled.step + (spelled.alter > 0 ? 1 : -1), 7)
  return [-1, 0, 1].map((alter) => noteName({ step, alter })).find((name) => pitchClass(name) === pitchClass(root))
}

/** The melody's degrees over a chord, in words: 'A is 7, F is 5'. Each note once, passing notes left out. */
export function degreesInWords(candidate: Candidate, notes: readonly LineNote[]): string {
  const seen = new Map<number, string>()
  for (const note of notes) {
    if (note.isPassing || seen.has(note.pc)) continue
    const degree = degreeName(candidate.family, note.pc - candidate.rootPc)
    seen.set(note.pc, `${show(note.name)} is ${degree}`)
  }
  return [...seen.values()].join(', ')
}

/** A note name with real accidentals: 'Bb' → 'B♭'. */
export const show = (name: string): string => name.replaceAll('#', '♯').replaceAll('b', '♭')
