/** The usual tempo of the dances that R: names (ABC standard 2.1, section 3.1.18: the kind of tune, free text). */
import type { Metre } from '../../contract/index.js'

interface Dance {
  readonly name: string
  /** Beat it is counted in, as ABC writes it, and how many quarters that is. */
  readonly beat: string
  readonly quarters: number
  readonly perMinute: number
}

/** As played for dancers, moderate; the first that matches. Source: from memory. */
const DANCES: readonly (readonly [words: RegExp, dance: Dance, metre?: RegExp])[] = [
  [/slip[\s-]*jig/i, { name: 'slip jig', beat: '3/8', quarters: 1.5, perMinute: 118 }],
  [/slide|single[\s-]*jig/i, { name: 'slide', beat: '3/8', quarters: 1.5, perMinute: 126 }],
  [/jig/i, { name: 'jig', beat: '3/8', quarters: 1.5, perMinute: 116 }, /8$/],
  [/horn[\s-]*pipe/i, { name: 'hornpipe', beat: '1/2', quarters: 2, perMinute: 76 }, /[24]$/],
  [/strathspey/i, { name: 'strathspey', beat: '1/4', quarters: 1, perMinute: 124 }, /[24]$/],
  [/reel/i, { name: 'reel', beat: '1/2', quarters: 2, perMinute: 104 }, /[24]$/],
  [/polka/i, { name: 'polka', beat: '1/4', quarters: 1, perMinute: 124 }, /[24]$/],
  [/mazurka/i, { name: 'mazurka', beat: '1/4', quarters: 1, perMinute: 138 }, /^3\/4$/],
  [/waltz/i, { name: 'waltz', beat: '1/4', quarters: 1, perMinute: 138 }, /^3\/4$/],
  [/march/i, { name: 'march', beat: '3/8', quarters: 1.5, perMinute: 112 }, /8$/],
  [/march/i, { name: 'march', beat: '1/4', quarters: 1, perMinute: 112 }, /[24]$/],
]

/** The dance a text names, where the metre is one it is danced in, with its quarters a minute; undefined for slow airs and what is unknown. */
export function danceTempo(text: string, metre: Metre | 'free'): (Dance & { readonly tempoBpm: number }) | undefined {
  if (metre === 'free' || /slow|air\b|lament/i.test(text)) return undefined
  const written = `${metre.beats}/${metre.beatType}`
  const dance = DANCES.find(([words, , metres]) => words.test(text) && (metres ?? /8$/).test(written))?.[1]
  return dance && { ...dance, tempoBpm: dance.quarters * dance.perMinute }
}
