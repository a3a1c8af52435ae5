/** Where each drum stands on the staff. Source: the usual drum key of published drum-set notation (kick in the first space, snare in
 *  the third, cymbals with crosses above, feet with stems down); hand percussion from memory. */

export interface DrumSign {
  readonly name: string
  /** Staff place as in the treble clef. */
  readonly step: string
  readonly octave: number
  readonly head?: 'x' | 'circle-x' | 'diamond' | 'triangle'
  /** 1 hands, 2 feet. */
  readonly voice: 1 | 2
}

const sign = (name: string, step: string, octave: number, head?: DrumSign['head'], voice: 1 | 2 = 1): DrumSign => ({
  name,
  step,
  octave,
  voice,
  ...(head ? { head } : {}),
})

/** By General MIDI 1 percussion key. */
const SIGNS: ReadonlyMap<number, DrumSign> = new Map([
  [36, sign('Kick', 'F', 4, undefined, 2)],
  [37, sign('Cross-stick', 'C', 5, 'x')],
  [38, sign('Snare', 'C', 5)],
  [39, sign('Clap', 'C', 5, 'triangle')],
  [40, sign('Brush sweep', 'C', 5, 'diamond')],
  [41, sign('Floor tom', 'A', 4)],
  [42, sign('Closed hi-hat', 'G', 5, 'x')],
  [44, sign('Foot hi-hat', 'D', 4, 'x', 2)],
  [45, sign('Low tom', 'B', 4)],
  [46, sign('Open hi-hat', 'G', 5, 'circle-x')],
  [47, sign('Mid tom', 'D', 5)],
  [49, sign('Crash', 'A', 5, 'x')],
  [50, sign('High tom', 'E', 5)],
  [51, sign('Ride', 'F', 5, 'x')],
  [53, sign('Ride bell', 'F', 5, 'diamond')],
  [54, sign('Tambourine', 'B', 5, 'triangle')],
  [56, sign('Cowbell', 'E', 5, 'triangle')],
  [62, sign('Conga slap', 'E', 5, 'x')],
  [63, sign('Conga open', 'E', 5)],
  [64, sign('Low conga', 'C', 5)],
  [65, sign('High timbale', 'D', 5)],
  [66, sign('Low timbale', 'B', 4)],
  [67, sign('High agogo', 'B', 5, 'triangle')],
  [68, sign('Low agogo', 'G', 5, 'triangle')],
  [69, sign('Cabasa', 'B', 5, 'x')],
  [70, sign('Shaker', 'B', 5, 'x')],
  [73, sign('Short guiro', 'B', 5, 'diamond')],
  [74, sign('Long guiro', 'B', 5, 'diamond')],
  [75, sign('Clave', 'B', 5, 'x')],
  [80, sign('Muted triangle', 'C', 6, 'triangle')],
  [81, sign('Open triangle', 'C', 6, 'diamond')],
])

/** Where others' rhythm stands: above the staff, plain heads. */
export const CUE_SIGN: DrumSign = sign('Cue', 'A', 5)

/** The sign of a percussion key; keys outside the table stand in the middle with a cross. */
export function drumSign(key: number): DrumSign {
  return SIGNS.get(key) ?? sign(`Percussion ${key}`, 'B', 4, 'x')
}
