/** The form with its evidence: letters, cadences, what is the same as what and where it differs. */
import type { FormReading, PlacedChord, Section, Tune } from '../contract/index.js'
import { cadenceOf } from './cadence.js'
import { layoutOf } from './layout.js'
import { movedFrom } from './moved-section.js'
import { patternOf } from './section-names.js'
import { sectionDifferences } from './section-differences.js'
import { tilesTune } from './sections.js'
import { soundingChords } from './sounding.js'
import { readableTune } from './tune-shape.js'

/** Sections that somebody named are believed this much even where nothing repeats. */
const NAMED_CONFIDENCE = 0.95

/** Reads the form of a tune: its own sections where they tile it, else what melody and chords repeat. Total; confidence 0…1. */
export function findForm(given: Tune): FormReading {
  const tune = readableTune(given)
  const layout = layoutOf(tune)
  const isNamed = tilesTune(tune)
  const sections = isNamed ? tune.sections : layout.sections
  const agrees = sameSections(sections, layout.sections)
  const chords = soundingChords(tune)
  const evidence = agrees ? layout.evidence : ['sections as they are named in the tune']
  const barNumber = (bar: number): number => bar + 1 - (tune.pickupTicks > 0 ? 1 : 0)
  return {
    pattern: patternOf(sections),
    confidence: agrees ? layout.confidence : NAMED_CONFIDENCE,
    sections: sections.map((section, at) => {
      const next = chords[sections[at + 1]?.startBar ?? sections[0]?.startBar ?? 0]?.[0]?.chord
      const { cadence, evidence: closing } = cadenceOf(tune, section, chords, next)
      const same = firstLike(tune, chords, sections, at)
      const place = `bars ${barNumber(section.startBar)}–${barNumber(section.startBar + section.bars - 1)}`
      const likeness = same
        ? same.differences.length === 0
          ? [`${place}: same as ${same.sectionId}`]
          : [`${place}: same as ${same.sectionId} but for ${same.differences.join('; ')}`]
        : [`${place}: ${movedFrom(tune, sections, at) ?? 'new melody or chords'}`]
      return {
        ...section,
        cadence,
        ...(same ? { sameAs: same } : {}),
        evidence: [...(at === 0 ? evidence : []), ...likeness, closing],
      }
    }),
  }
}

function firstLike(
  tune: Tune,
  chords: readonly (readonly PlacedChord[])[],
  sections: readonly Section[],
  at: number,
): { sectionId: string; differences: readonly string[] } | undefined {
  const section = sections[at] as Section
  const first = sections.slice(0, at).find((other) => other.letter === section.letter && other.role === section.role)
  if (!first) return undefined
  const differences = sectionDifferences(tune, chords, first, section)
  // More than half the bars different: the same letter, but nobody would call it the same.
  if (differences.length * 2 > section.bars) return undefined
  return { sectionId: first.id, differences }
}

function sameSections(a: readonly Section[], b: readonly Section[]): boolean {
  return (
    a.length === b.length &&
    a.every((section, at) => {
      const other = b[at]
      return other !== undefined && other.startBar === section.startBar && other.letter === section.letter
    })
  )
}
