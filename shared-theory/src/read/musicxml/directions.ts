/** What stands over and between the bars: road map, rehearsal marks, tempo, endings. Source: MusicXML 4.0. */
import { readRoadWords } from '../road-words.js'
import type { RoadMarks } from '../written.js'
import { type XmlElement, childOf, childrenOf, textOf } from './xml.js'

export interface DirectionFacts {
  /** A metronome mark without a number: one note value equals another. */
  readonly hasUnreadTempo?: true
  readonly marks: RoadMarks
  readonly rehearsal?: string
  /** A word that names a section where no rehearsal mark does. */
  readonly sectionWord?: string
  readonly tempoBpm?: number
}

/** Words over a bar that name a section. Source: common practice. */
export const SECTION_WORDS = /^(verse|chorus|refrain|bridge|intro|outro)\s*\d{0,2}$/i
const BEAT_UNITS: { readonly [name: string]: number } = { whole: 4, half: 2, quarter: 1, eighth: 0.5, '16th': 0.25 }

export function readDirection(element: XmlElement): DirectionFacts {
  const sound = childOf(element, 'sound')
  let facts: DirectionFacts = { marks: {} }
  for (const type of childrenOf(element, 'direction-type'))
    for (const child of type.children) facts = merge(facts, readMark(child, sound?.attributes['tocoda'] !== undefined))
  return sound ? merge(facts, readSound(sound)) : facts
}

/** The sound element says for players what signs and words say for readers. */
export function readSound({ attributes }: XmlElement): DirectionFacts {
  const tempo = Number(attributes['tempo'] ?? Number.NaN)
  const marks: RoadMarks = {
    ...(attributes['segno'] === undefined ? {} : { segno: true }),
    ...(attributes['coda'] === undefined ? {} : { coda: true }),
    ...(attributes['tocoda'] === undefined ? {} : { toCoda: true }),
    ...(attributes['fine'] === undefined ? {} : { fine: true }),
    ...(attributes['dacapo'] === 'yes' ? { jump: 'start' } : {}),
    ...(attributes['dalsegno'] === undefined ? {} : { jump: 'segno' }),
  }
  return { marks, ...(tempo > 0 ? { tempoBpm: toThousandth(tempo) } : {}) }
}

export function readBarline(element: XmlElement): { readonly marks: RoadMarks; readonly endsEnding: boolean } {
  const ending = childOf(element, 'ending')?.attributes
  const repeat = childOf(element, 'repeat')?.attributes
  const times = Number(repeat?.['times'] ?? 2)
  const marks: RoadMarks = {
    ...(ending?.['type'] === 'start' ? { ending: endingNumbers(ending['number'] ?? '') } : {}),
    ...(repeat?.['direction'] === 'forward' ? { repeatStart: true } : {}),
    ...(repeat?.['direction'] === 'backward'
      ? { repeatEnd: Number.isInteger(times) && times > 1 && times < 100 ? times : 2 }
      : {}),
    ...(childOf(element, 'segno') ? { segno: true } : {}),
    ...(childOf(element, 'coda') ? { coda: true } : {}),
  }
  return { marks, endsEnding: ending?.['type'] === 'stop' || ending?.['type'] === 'discontinue' }
}

function readMark(element: XmlElement, isLeaving: boolean): DirectionFacts {
  const text = element.text.trim()
  switch (element.name) {
    case 'segno':
      return { marks: { segno: true } }
    case 'coda':
      return { marks: isLeaving ? { toCoda: true } : { coda: true } }
    case 'rehearsal':
      return { marks: {}, ...(text ? { rehearsal: text } : {}) }
    case 'metronome':
      return { marks: {}, ...readMetronome(element) }
    case 'words': {
      const marks = readRoadWords(text)
      if (marks) return { marks: isLeaving && marks.coda ? { toCoda: true } : marks }
      return { marks: {}, ...(SECTION_WORDS.test(text) ? { sectionWord: text } : {}) }
    }
    default:
      return { marks: {} }
  }
}

function readMetronome(element: XmlElement): Pick<DirectionFacts, 'tempoBpm' | 'hasUnreadTempo'> {
  const beat = BEAT_UNITS[textOf(element, 'beat-unit')]
  const perMinute = Number(/\d+(?:\.\d+)?/.exec(textOf(element, 'per-minute'))?.[0] ?? Number.NaN)
  const dots = childrenOf(element, 'beat-unit-dot').length
  return beat && perMinute ? { tempoBpm: toThousandth(beat * (2 - 0.5 ** dots) * perMinute) } : { hasUnreadTempo: true }
}

/** '1, 2' → the numbers; a text alone counts as the first ending. */
function endingNumbers(text: string): readonly number[] {
  const numbers = text
    .split(/[,\s]+/)
    .map(Number)
    .filter((one) => Number.isInteger(one) && one > 0 && one < 100)
  return numbers.length > 0 ? numbers : [1]
}

function merge(a: DirectionFacts, b: DirectionFacts): DirectionFacts {
  return { ...a, ...b, marks: { ...a.marks, ...b.marks } }
}

function toThousandth(tempo: number): number {
  return Math.round(tempo * 1000) / 1000
}
