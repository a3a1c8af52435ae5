/** A <harmony> element as a chord: root, bass, kind and degrees. Source: MusicXML 4.0. */
import { chordFromKind, parseChord } from '../../chords/index.js'
import type { Chord, MusicXmlDegree, MusicXmlKind, NoteName, Result } from '../../contract/index.js'
import { fail, issue, noteName } from '../../units/index.js'
import { type XmlElement, childOf, childrenOf, numberOf, textOf } from './xml.js'

/** The chord, or an issue in words without a place; the caller adds it. Chords stacked in one element stand over each other. */
export function readHarmony(element: XmlElement): Result<Chord> {
  const second = element.children.findLastIndex(({ name }) => name === 'root')
  const first = element.children.findIndex(({ name }) => name === 'root')
  if (second <= first) return readOneChord(element)
  const upper = readOneChord({ ...element, children: element.children.slice(0, second) })
  const lower = readOneChord({ ...element, children: element.children.slice(second) })
  if (!upper.ok || !lower.ok) return upper.ok ? lower : upper
  return parseChord(`${upper.value.symbol} over ${lower.value.symbol}`)
}

function readOneChord(element: XmlElement): Result<Chord> {
  const kindElement = childOf(element, 'kind')
  const kind = (kindElement?.text.trim() || 'major') as MusicXmlKind
  if (kind === 'none') return parseChord('N.C.')
  const root = noteIn(childOf(element, 'root'), 'root')
  if (!root) return fail(issue('RD5', 'warning', '', 'it has no root (functions and numerals are not read)'))
  const bass = noteIn(childOf(element, 'bass'), 'bass')
  const degrees = childrenOf(element, 'degree').map((degree): MusicXmlDegree => ({
    value: numberOf(degree, 'degree-value') ?? 0,
    alter: numberOf(degree, 'degree-alter') ?? 0,
    type: degreeType(textOf(degree, 'degree-type')),
  }))
  const lowest = bass ?? invertedBass(root, kind, numberOf(element, 'inversion') ?? 0)
  const byKind = chordFromKind({ root, ...(lowest && lowest !== root ? { bass: lowest } : {}), kind, degrees })
  if (byKind.ok && kind !== 'other') return byKind
  const suffix = kindElement?.attributes['text']
  const byText =
    suffix === undefined ? byKind : parseChord(`${root}${suffix}${bass && bass !== root ? `/${bass}` : ''}`)
  return byText.ok ? byText : byKind
}

/** An inversion without a bass: 1 has the third below, 2 the fifth, 3 the seventh. */
function invertedBass(root: NoteName, kind: MusicXmlKind, inversion: number): NoteName | undefined {
  if (inversion < 1) return undefined
  const plain = chordFromKind({ root, kind, degrees: [] })
  return plain.ok ? plain.value.notes[inversion] : undefined
}

function degreeType(text: string): MusicXmlDegree['type'] {
  return text === 'alter' || text === 'subtract' ? text : 'add'
}

function noteIn(element: XmlElement | undefined, prefix: 'root' | 'bass'): NoteName | undefined {
  const step = 'CDEFGAB'.indexOf(textOf(element, `${prefix}-step`).toUpperCase() || '-')
  const alter = Math.round(numberOf(element, `${prefix}-alter`) ?? 0)
  return step < 0 || Math.abs(alter) > 2 ? undefined : noteName({ step, alter })
}
