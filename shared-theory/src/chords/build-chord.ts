/** Chords made from root, bass and content: spelled, named, in one form for one meaning. */
import type { Chord, MusicXmlDegree, MusicXmlKind, NoteName, Result } from '../contract/index.js'
import { fail, issue, ok, parseNoteName, transposeName } from '../units/index.js'
import { type ToneSet, listTones, spellTones, toneAt, toneSetOf, tonesOfDegree } from './chord-tones.js'
import { KIND_TONES, asNamedKind } from './kinds.js'
import { type Content, type SuffixStyle, nameContent, normalContent } from './name-chord.js'

/** 'N.C.': nobody plays a chord. */
export const NO_CHORD: Chord = {
  root: '',
  symbol: 'N.C.',
  notes: [],
  intervals: [],
  omitted: [],
  kind: 'none',
  degrees: [],
}
/** '%': the bar before once more. */
export const REPEAT_CHORD: Chord = { ...NO_CHORD, symbol: '%', kind: 'other' }

/** A chord from its root and what stands above it; a bass equal to the root is no slash bass. */
export function buildChord(root: NoteName, raw: Content, bass?: NoteName, over?: Chord): Chord {
  const content = normalContent(raw)
  const { kind, degrees, suffix } = nameContent(content)
  const { notes, intervals } = spellTones(root, content.tones)
  const slash = bass !== undefined && bass !== root ? bass : undefined
  const above = slash === undefined ? root + suffix : `${root}${suffix}/${slash}`
  const symbol = over ? `${above} over ${over.symbol}` : above
  const omitted = content.omitted === 0 ? [] : listTones(content.omitted).map(({ interval }) => interval)
  const chord: Chord = { root, symbol, notes, intervals, omitted, kind, degrees }
  if (slash !== undefined) return over ? { ...chord, bass: slash, over } : { ...chord, bass: slash }
  return over ? { ...chord, over } : chord
}

/** The content a chord was built from. */
export function contentOf(chord: Chord): Content {
  return { tones: toneSetOf(chord.intervals), omitted: toneSetOf(chord.omitted), named: asNamedKind(chord.kind) }
}

/**
 * The chord moved by an interval, spelling kept ('5P', '-2M'); what would need three accidentals takes its simplest name.
 * N.C. and % stay as they are.
 */
export function transposeChord(chord: Chord, interval: string): Chord {
  if (chord.root === '') return chord
  return buildChord(
    transposeName(chord.root, interval),
    contentOf(chord),
    chord.bass === undefined ? undefined : transposeName(chord.bass, interval),
    chord.over && transposeChord(chord.over, interval),
  )
}

/**
 * Text of a chord. `plain` is the canonical ASCII text (`chord.symbol`); `symbols` uses the signs of printed charts: ♭ ♯ ∆ ø °.
 * `parseChord` reads both back to the same chord.
 */
export function formatChord(chord: Chord, style: SuffixStyle = 'plain'): string {
  if (chord.root === '' || style === 'plain') return chord.symbol
  const { suffix } = nameContent(contentOf(chord), 'symbols')
  const bass = chord.bass === undefined ? '' : `/${printedName(chord.bass)}`
  const over = chord.over ? ` over ${formatChord(chord.over, 'symbols')}` : ''
  return printedName(chord.root) + suffix + bass + over
}

/** 'Bb' → 'B♭', 'F##' → 'F𝄪'. */
export function printedName(name: NoteName): string {
  const marks = name.slice(1)
  return name.charAt(0) + (PRINTED_MARKS[marks] ?? marks)
}
const PRINTED_MARKS: { readonly [marks: string]: string } = { b: '♭', bb: '𝄫', '#': '♯', '##': '𝄪' }

/** Degrees an octave up that say the same: an added 10 is a 3. */
const SIMPLE_DEGREES: { readonly [value: number]: number } = { 8: 1, 10: 3, 12: 5, 14: 7 }

/**
 * A chord from MusicXML's kind and degrees, in the one form `parseChord` gives too (minor-seventh with its fifth lowered is
 * half-diminished). Issues: an unknown root or bass, a degree no chord symbol can say; a degree that changes nothing is a warning.
 */
export function chordFromKind(source: {
  root: NoteName
  bass?: NoteName
  kind: MusicXmlKind
  degrees: readonly MusicXmlDegree[]
}): Result<Chord> {
  if (source.kind === 'none') return ok(NO_CHORD)
  if (source.kind === 'other' && source.root === '') return ok(REPEAT_CHORD)
  const base: ToneSet | undefined = Object.hasOwn(KIND_TONES, source.kind) ? KIND_TONES[source.kind] : undefined
  if (base === undefined)
    return fail(issue('CH6', 'error', 'kind', `'${source.kind}' is no MusicXML kind: use one of its 33 values`))
  for (const part of ['root', 'bass'] as const) {
    const name = source[part]
    if (name !== undefined && !parseNoteName(name))
      return fail(issue('CH6', 'error', part, `'${name}' is no note name: a letter A–G and up to two flats or sharps`))
  }
  const warnings = []
  let tones = base
  let omitted = 0
  for (const [index, degree] of source.degrees.entries()) {
    const value = SIMPLE_DEGREES[degree.value] ?? degree.value
    const path = `degrees/${index}`
    const here = tones & tonesOfDegree(value)
    if (degree.type === 'subtract') {
      if (here === 0)
        warnings.push(
          issue('CH6', 'warning', path, `there is no ${degree.value} in a ${source.kind} chord to take out`),
        )
      tones &= ~here
      omitted |= here & -here
      continue
    }
    const standing = listTones(here)[0]
    const isChange = degree.type === 'alter' && standing !== undefined
    const alter = isChange ? standing.alter + degree.alter : value === 7 ? degree.alter - 1 : degree.alter
    const tone = toneAt(value, alter)
    if (tone === 0) {
      const message = `degree ${degree.value} ${degree.type} ${degree.alter} has no name in a chord symbol: spell the note as another degree`
      return fail(issue('CH6', 'error', path, message))
    }
    if (isChange) tones &= ~(here & -here)
    tones |= tone
  }
  const named = asNamedKind(source.kind)
  return ok(buildChord(source.root, { tones, omitted, named }, source.bass), warnings)
}
