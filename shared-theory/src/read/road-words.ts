/** Words and signs that say where the playing goes on, as they are written in every format: 'D.S. al Coda', '!dacoda!', 'Fine'. */
import type { RoadMarks } from './written.js'

/** By letters only, in lower case. Source: common practice; ABC standard 2.1, section 4.14. */
const ROAD_WORDS: { readonly [letters: string]: RoadMarks } = {
  segno: { segno: true },
  coda: { coda: true },
  tocoda: { toCoda: true },
  dacoda: { toCoda: true },
  fine: { fine: true },
  dc: { jump: 'start' },
  dacapo: { jump: 'start' },
  dcalfine: { jump: 'start' },
  dcalcoda: { jump: 'start' },
  dacapoalfine: { jump: 'start' },
  dacapoalcoda: { jump: 'start' },
  ds: { jump: 'segno' },
  dalsegno: { jump: 'segno' },
  dsalfine: { jump: 'segno' },
  dsalcoda: { jump: 'segno' },
  dalsegnoalfine: { jump: 'segno' },
  dalsegnoalcoda: { jump: 'segno' },
}

/** What a text means for the road map, undefined where it is other text. */
export function readRoadWords(text: string): RoadMarks | undefined {
  if (text.length > 40) return undefined
  return ROAD_WORDS[text.toLowerCase().replace(/[\s.:_\-']/g, '')]
}
