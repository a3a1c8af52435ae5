/** From the tones of a chord to its names: one MusicXML kind with degrees, and one suffix of text. */
import type { MusicXmlDegree, MusicXmlKind } from '../contract/index.js'
import {
  FIFTHS,
  NINTHS,
  SEVENTHS,
  T,
  THIRDS,
  TONES,
  type Tone,
  type ToneSet,
  listTones,
  tonesOfDegree,
} from './chord-tones.js'
import { KIND_TONES, type NamedKind } from './kinds.js'

/** A chord without its root: everything its names are computed from. */
export interface Content {
  readonly tones: ToneSet
  readonly omitted: ToneSet
  readonly named?: NamedKind | undefined
}
export type SuffixStyle = 'plain' | 'symbols'
export interface ChordName {
  readonly kind: MusicXmlKind
  readonly degrees: readonly MusicXmlDegree[]
  readonly suffix: string
}

/** The headline a symbol opens with ('m', 'maj9', '13sus' …), what it says by itself, and the kind that goes with it. */
interface Headline {
  readonly kind: MusicXmlKind
  readonly text: string
  readonly tones: ToneSet
}

/**
 * One way to hold each content: a second or fourth beside a third is a ninth or eleventh, a sixth beside a seventh is a thirteenth, a
 * fourth or second without a third is a sus, and an ordinary chord that has no fifth has left it out.
 */
export function normalContent(content: Content): Content {
  if (content.named) return { ...content, omitted: KIND_TONES[content.named] & ~content.tones }
  let { tones, omitted } = content
  omitted &= ~(tones | T.second | T.fourth)
  if (tones & THIRDS) {
    if (tones & T.second) tones = (tones & ~T.second) | T.ninth
    if (tones & T.fourth) tones = (tones & ~T.fourth) | T.eleventh
  } else if (tones & (T.second | T.fourth)) {
    omitted &= ~THIRDS
    if (tones & T.fourth) tones &= ~T.eleventh
    if (tones & T.second) tones &= ~T.ninth
  }
  if (tones & T.augmentedFourth) tones = (tones & ~T.augmentedFourth) | T.sharpEleventh
  if (tones & T.augmentedSixth) tones = (tones & ~T.augmentedSixth) | T.seventh
  if ((tones | omitted) & (T.seventh | T.majorSeventh)) {
    if (tones & T.sixth) tones = (tones & ~T.sixth) | T.thirteenth
    if (tones & T.flatSixth) tones = (tones & ~T.flatSixth) | T.flatThirteenth
  }
  if (!((tones | omitted) & FIFTHS)) omitted |= T.fifth
  return { tones, omitted: omitted === 0 ? 0 : sayableOmissions(tones, omitted) }
}

/** Only what the headline would have brought is left out of it: an omitted degree that sounds otherwise, or never belonged, says nothing. */
function sayableOmissions(tones: ToneSet, raw: ToneSet): ToneSet {
  let omitted = raw
  for (const { degree } of listTones(raw)) if (tones & tonesOfDegree(degree)) omitted &= ~tonesOfDegree(degree)
  if (omitted & (T.flatFifth | T.sharpFifth)) {
    const head = headlineOf({ tones, omitted }, 'plain').tones & FIFTHS
    omitted = (omitted & ~FIFTHS) | head
  }
  for (;;) {
    const head = headlineOf({ tones, omitted }, 'plain')
    const stray = omitted & ~(head.tones & KIND_TONES[head.kind])
    if (stray === 0) return omitted
    omitted &= ~stray
  }
}

/** Kind, degrees and suffix of a normal content. */
export function nameContent(content: Content, style: SuffixStyle = 'plain'): ChordName {
  const head = headlineOf(content, style)
  return {
    kind: head.kind,
    degrees: degreesFrom(KIND_TONES[head.kind], content),
    suffix: head.text + changesText(head, content, style),
  }
}

/** ♭5 ♯5 ♭9 ♯9 on a dominant, natural fifth and ninth gone. Source: common practice. */
export const ALTERED: ToneSet = T.root | T.third | T.flatFifth | T.sharpFifth | T.seventh | T.flatNinth | T.sharpNinth

function headlineOf({ tones, omitted, named }: Content, style: SuffixStyle): Headline {
  if (named) return { kind: named, text: `(${named})`, tones: KIND_TONES[named] }
  const full = tones | omitted
  const plain = style === 'plain'
  const has = (set: ToneSet): boolean => (full & set) !== 0
  const fifths = full & FIFTHS
  const minor = !has(T.third) && has(T.minorThird)
  if (tones === ALTERED && omitted === 0) return { kind: 'dominant', text: '7alt', tones: ALTERED }

  const seventh = has(T.seventh) ? T.seventh : has(T.majorSeventh) ? T.majorSeventh : 0
  if (minor && fifths === T.flatFifth) {
    if (has(T.diminishedSeventh) && !seventh)
      return { kind: 'diminished-seventh', text: plain ? 'dim7' : '°7', tones: KIND_TONES['diminished-seventh'] }
    if (!has(SEVENTHS) && !has(T.sixth))
      return { kind: 'diminished', text: plain ? 'dim' : '°', tones: KIND_TONES.diminished }
    if (seventh === T.seventh && numberOf(full, minor) === 7) {
      const kind = 'half-diminished'
      return plain ? headline(kind, 'm7', 'minor-seventh') : headline(kind, 'ø7', kind)
    }
  }
  if (has(T.third) && fifths === T.sharpFifth && !seventh && !has(T.sixth))
    return { kind: 'augmented', text: plain ? 'aug' : '+', tones: KIND_TONES.augmented }
  if (!has(THIRDS)) return thirdless(full, seventh, style)
  return tertian(full, minor, seventh, plain)
}

const headline = (kind: MusicXmlKind, text: string, as: MusicXmlKind): Headline => ({
  kind,
  text,
  tones: KIND_TONES[as],
})

function tertian(full: ToneSet, minor: boolean, seventh: ToneSet, plain: boolean): Headline {
  const m = minor ? 'm' : ''
  if (!seventh) {
    if (!(full & T.sixth)) return headline(minor ? 'minor' : 'major', m, minor ? 'minor' : 'major')
    const kind = minor ? 'minor-sixth' : 'major-sixth'
    const ninth = full & T.ninth
    return { kind, text: ninth ? `${m}6/9` : `${m}6`, tones: KIND_TONES[kind] | ninth }
  }
  const number = numberOf(full, minor)
  if (seventh === T.majorSeventh) {
    const word = plain ? (minor ? 'Maj' : 'maj') : '∆'
    const figure = !plain && number === 7 ? '' : `${number}`
    if (!minor) return headline(MAJOR_KINDS[number], word + figure, MAJOR_KINDS[number])
    const tones = (KIND_TONES[MINOR_KINDS[number]] & ~T.seventh) | T.majorSeventh
    return { kind: 'major-minor', text: m + word + figure, tones }
  }
  if (minor) return headline(MINOR_KINDS[number], `m${number}`, MINOR_KINDS[number])
  const augmented = number === 7 && (full & FIFTHS) === T.sharpFifth
  return headline(augmented ? 'augmented-seventh' : DOMINANT_KINDS[number], `${number}`, DOMINANT_KINDS[number])
}

function thirdless(full: ToneSet, seventh: ToneSet, style: SuffixStyle): Headline {
  const suspension = full & (T.second | T.fourth)
  const major = seventh === T.majorSeventh ? (style === 'plain' ? 'maj' : '∆') : ''
  if (!suspension) {
    if (seventh && numberOf(full, true) >= 11 && full & T.eleventh) {
      const kind = seventh === T.seventh ? 'dominant-11th' : 'major-11th'
      return headline(kind, `${major}11`, kind)
    }
    return headline('power', '5', 'power')
  }
  const word = suspension === T.fourth ? 'sus' : suspension === T.second ? 'sus2' : 'sus2sus4'
  const kind = suspension & T.fourth ? 'suspended-fourth' : 'suspended-second'
  const base = T.root | T.fifth | suspension
  if (!seventh) {
    if (!(full & T.sixth)) return { kind, text: word, tones: base }
    const ninth = full & T.ninth
    return { kind, text: `${ninth ? '6/9' : '6'}${word}`, tones: base | T.sixth | ninth }
  }
  const number = full & T.thirteenth && full & NINTHS ? 13 : full & T.ninth ? 9 : 7
  const extensions = (number >= 9 ? T.ninth : 0) | (number === 13 ? T.thirteenth : 0)
  return { kind, text: `${major}${number}${word}`, tones: base | seventh | extensions }
}

type ChordNumber = 7 | 9 | 11 | 13
const DOMINANT_KINDS = { 7: 'dominant', 9: 'dominant-ninth', 11: 'dominant-11th', 13: 'dominant-13th' } as const
const MAJOR_KINDS = { 7: 'major-seventh', 9: 'major-ninth', 11: 'major-11th', 13: 'major-13th' } as const
const MINOR_KINDS = { 7: 'minor-seventh', 9: 'minor-ninth', 11: 'minor-11th', 13: 'minor-13th' } as const

/** The highest figure whose tones are all there: a 13 needs some ninth (in minor also some eleventh), an 11 needs some ninth. */
function numberOf(full: ToneSet, elevenths: boolean): ChordNumber {
  const anyNinth = (full & NINTHS) !== 0
  const anyEleventh = (full & (T.eleventh | T.sharpEleventh)) !== 0
  const third = (full & THIRDS) !== 0
  if (full & T.thirteenth && anyNinth && third && (!elevenths || anyEleventh)) return 13
  if (full & T.eleventh && anyNinth && elevenths) return 11
  return full & T.ninth ? 9 : 7
}

/** MusicXML degrees that turn one set into another, in order of value. */
function degreesFrom(base: ToneSet, { tones, omitted }: Content): readonly MusicXmlDegree[] {
  if (base === tones && omitted === 0) return NO_DEGREES
  const degrees: MusicXmlDegree[] = []
  let lastDegree = 0
  for (const { degree } of listTones((base ^ tones) | omitted)) {
    if (degree === lastDegree) continue
    lastDegree = degree
    const here = tonesOfDegree(degree)
    const gone = tonesIn(base & ~tones & here)
    const come = tonesIn(tones & ~base & here)
    const replaced = Math.min(gone.length, come.length)
    for (let index = 0; index < replaced; index++) {
      const alter = (come[index] as Tone).alter - (gone[index] as Tone).alter
      degrees.push({ value: degree, alter, type: 'alter' })
    }
    for (const { alter } of come.slice(replaced)) {
      degrees.push({ value: degree, alter: degree === 7 ? alter + 1 : alter, type: 'add' })
    }
    if (replaced === 0 && gone.length > 0) degrees.push({ value: degree, alter: 0, type: 'subtract' })
  }
  return degrees
}
const tonesIn = (set: ToneSet): readonly Tone[] => (set === 0 ? NO_TONES : listTones(set))
const NO_TONES: readonly Tone[] = []
const NO_DEGREES: readonly MusicXmlDegree[] = []

/** What follows the headline: alterations that replace, tones added beside, tones left out. */
function changesText(head: Headline, content: Content, style: SuffixStyle): string {
  const { tones, omitted } = content
  if (head.tones === tones && omitted === 0) return ''
  const hasSeventh = (head.tones & (T.seventh | T.majorSeventh)) !== 0
  const separator = style === 'plain' ? '' : ','
  let replaced = ''
  let added = ''
  let leftOut = ''
  for (let rest = tones & ~head.tones; rest !== 0; rest &= rest - 1) {
    const tone = TONES[31 - Math.clz32(rest & -rest)] as Tone
    const sameDegree = head.tones & tonesOfDegree(tone.degree)
    const stands = (sameDegree & tones) !== 0
    const replaces = sameDegree !== 0 && !stands && (sameDegree & omitted) === 0
    const tension = tone.degree >= 9 && tone.alter !== 0 && hasSeventh && sameDegree === 0
    if (!content.named && (replaces || tension)) replaced += (replaced === '' ? '' : separator) + signed(tone, style)
    else added += bracketed(`add${addedName(tone, style)}`, style)
  }
  for (const { degree } of tonesIn(omitted)) leftOut += `(no${degree})`
  const isBare = head.text === '' || content.named !== undefined
  const changes = replaced === '' || (style === 'plain' && !isBare) ? replaced : `(${replaced})`
  return changes + added + leftOut
}

const bracketed = (text: string, style: SuffixStyle): string => (style === 'plain' ? text : `(${text})`)
const signed = (tone: Tone, style: SuffixStyle): string => accidental(tone.alter, style) + tone.degree

/** 'add7' alone would be anybody's guess, so sevenths say which one they are. */
function addedName(tone: Tone, style: SuffixStyle): string {
  return tone.degree === 7 && tone.alter === 0 ? 'maj7' : signed(tone, style)
}

function accidental(alter: number, style: SuffixStyle): string {
  if (style === 'plain') return alter < 0 ? 'b'.repeat(-alter) : '#'.repeat(alter)
  return alter === -2 ? '𝄫' : alter < 0 ? '♭' : alter === 2 ? '𝄪' : alter > 0 ? '♯' : ''
}
