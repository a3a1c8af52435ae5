/** What the words of a suffix mean together: tones, omissions, and where they contradict each other. */
import type { NoteName } from '../contract/index.js'
import { FIFTHS, T, THIRDS, type ToneSet, listTones, toneAt, tonesOfDegree } from './chord-tones.js'
import { KIND_TONES, type NamedKind } from './kinds.js'
import { ALTERED, type Content } from './name-chord.js'
import type { Trouble } from './text-cursor.js'

export interface Suffix extends Content {
  readonly bass?: NoteName
  readonly remarks: readonly Trouble[]
}
export type Quality = 'major' | 'minor' | 'diminished' | 'augmented' | 'half-diminished'
/** A degree with its alteration, and where the text names it. */
export interface Alteration {
  readonly at: number
  readonly degree: number
  readonly alter: number
}
export interface SuffixWords {
  readonly quality: Quality
  readonly majorSeventh: boolean
  /** 0 where none is written; 69 for 6/9. */
  readonly figure: number
  readonly suspension: ToneSet
  readonly isAltered: boolean
  readonly named: NamedKind | undefined
  readonly bass: NoteName | undefined
  readonly alterations: readonly Alteration[]
  readonly additions: readonly Alteration[]
  readonly omissions: readonly Alteration[]
  readonly remarks: readonly Trouble[]
}

/** The content of the words, or the first contradiction among them. */
export function meaningOf(words: SuffixWords): Suffix | Trouble {
  const remarks: Trouble[] = [...words.remarks]
  if (words.suspension && (words.quality === 'diminished' || words.quality === 'half-diminished'))
    return { at: 0, message: 'a diminished chord has no suspension: name the notes another way' }
  if (words.suspension && words.quality === 'minor')
    remarks.push({ at: 0, message: 'a suspension takes the place of the minor third: the m says nothing' })
  if (words.suspension && words.figure === 5)
    return { at: 0, message: "a power chord has no third to suspend: write 'sus4' or 'sus2'" }
  const base = baseTones(words)
  const altered = withAlterations(words, base, words.isAltered ? ALTERED : base)
  if (typeof altered !== 'number') return altered
  let tones = altered
  let omitted = 0
  for (const { at, degree } of words.omissions) {
    const there = tones & tonesOfDegree(degree)
    const isThirdless = words.suspension !== 0 || words.figure === 11 || words.figure === 5
    if (there === 0 && degree === 3 && isThirdless)
      remarks.push({ at, message: 'this chord has no third to leave out' })
    else if (there === 0 && degree === 11 && words.figure === 13)
      remarks.push({ at, message: 'a 13 over a third is read without its 11 anyway' })
    else if (there === 0) return { at, message: `there is no ${degree} in this chord to leave out` }
    tones &= ~there
    omitted |= there & -there
  }
  for (const { degree, alter } of words.additions) tones |= toneAt(degree, alter)
  const content = { tones, omitted, named: words.named, remarks }
  return words.bass === undefined ? content : { ...content, bass: words.bass }
}

function baseTones(words: SuffixWords): ToneSet {
  if (words.named) return KIND_TONES[words.named]
  const { figure, quality } = words
  if (figure === 5) return KIND_TONES.power
  const hasMinorThird = quality !== 'major' && quality !== 'augmented'
  let tones: ToneSet = T.root | (hasMinorThird ? T.minorThird : T.third)
  tones |=
    quality === 'augmented'
      ? T.sharpFifth
      : quality === 'diminished' || quality === 'half-diminished'
        ? T.flatFifth
        : T.fifth
  if (figure === 2) tones |= T.ninth
  if (figure === 6 || figure === 69) tones |= T.sixth | (figure === 69 ? T.ninth : 0)
  if ((figure === 0 && quality === 'half-diminished') || (figure >= 7 && figure !== 69)) tones |= seventhTone(words)
  if (figure === 9 || figure === 11 || figure === 13) tones |= T.ninth
  if (figure === 11) tones = hasMinorThird || words.suspension ? tones | T.eleventh : (tones & ~T.third) | T.eleventh
  if (figure === 13) tones |= T.thirteenth | (hasMinorThird && !words.suspension ? T.eleventh : 0)
  if (words.suspension) tones = (tones & ~THIRDS) | words.suspension
  return tones
}

function seventhTone(words: SuffixWords): ToneSet {
  if (words.majorSeventh) return T.majorSeventh
  return words.quality === 'diminished' ? T.diminishedSeventh : T.seventh
}

/** An alteration takes the place of the natural tone the figure brought along; beside its own figure it contradicts. */
function withAlterations(words: SuffixWords, base: ToneSet, from: ToneSet): ToneSet | Trouble {
  let tones = from
  const hasSeventhOrSixth =
    (base & (T.seventh | T.majorSeventh | T.diminishedSeventh | T.sixth)) !== 0 || words.isAltered
  for (const { at, degree, alter } of words.alterations) {
    const isTension = degree >= 9 && !(degree === 11 && alter === 1)
    if (isTension && !hasSeventhOrSixth) {
      const name = `${alter < 0 ? 'b' : '#'}${degree}`
      return { at, message: `${name} without a seventh is read two ways: write '7${name}' or 'add${name}'` }
    }
    if (degree >= 9 && words.majorSeventh && words.figure === 0) {
      const name = `${alter < 0 ? 'b' : '#'}${degree}`
      return { at, message: `${name} after 'maj' is read two ways: write 'maj7${name}' or 'add${name}'` }
    }
    const natural = base & tonesOfDegree(degree)
    const tone = toneAt(degree, alter)
    const isOwnFigure = degree === words.figure || (degree === 9 && words.figure === 69)
    const isOtherFifth = degree === 5 && natural !== 0 && natural !== T.fifth && natural !== tone
    if ((isOwnFigure && degree !== 5) || isOtherFifth || (degree === 5 && words.figure === 5)) {
      const has = listTones(natural)[0]?.interval ?? `${degree}`
      return { at, message: `this chord already has its ${degree} (${has}): leave one of the two out` }
    }
    tones = (tones & ~(natural & ~tone & (degree === 5 ? FIFTHS : -1))) | tone
  }
  for (const { degree, alter } of words.alterations) tones |= toneAt(degree, alter)
  return tones
}
