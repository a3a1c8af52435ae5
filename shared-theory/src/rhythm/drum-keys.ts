/** Drum rows and their keys on the percussion channel.
 *  Source: General MIDI System Level 1 percussion map (MIDI Manufacturers Association); brush keys as in the GM2 brush kit. */

export interface DrumKey {
  readonly midi: number
  /** Name in the map. */
  readonly name: string
  /** Right only in a brush kit (GM2, program 40 counted from 0); a plain kit plays the `plainMidi` key, or nothing. */
  readonly brush?: { readonly plainMidi?: number }
}

const key = (midi: number, name: string): DrumKey => ({ midi, name })

export const DRUM_KEYS: { readonly [row: string]: DrumKey } = {
  kick: key(36, 'Bass Drum 1'),
  xstick: key(37, 'Side Stick'),
  snare: key(38, 'Acoustic Snare'),
  handclap: key(39, 'Hand Clap'),
  tomfloor: key(41, 'Low Floor Tom'),
  hat: key(42, 'Closed Hi-Hat'),
  hatfoot: key(44, 'Pedal Hi-Hat'),
  tomlow: key(45, 'Low Tom'),
  hatopen: key(46, 'Open Hi-Hat'),
  tommid: key(47, 'Low-Mid Tom'),
  crash: key(49, 'Crash Cymbal 1'),
  tomhigh: key(50, 'High Tom'),
  ride: key(51, 'Ride Cymbal 1'),
  bell: key(53, 'Ride Bell'),
  tambourine: key(54, 'Tambourine'),
  cowbell: key(56, 'Cowbell'),
  congaslap: key(62, 'Mute Hi Conga'),
  congaopen: key(63, 'Open Hi Conga'),
  congalow: key(64, 'Low Conga'),
  timbalehigh: key(65, 'High Timbale'),
  timbalelow: key(66, 'Low Timbale'),
  agogohigh: key(67, 'High Agogo'),
  agogolow: key(68, 'Low Agogo'),
  cabasa: key(69, 'Cabasa'),
  shaker: key(70, 'Maracas'),
  guiro: key(73, 'Short Guiro'),
  guirolong: key(74, 'Long Guiro'),
  clave: key(75, 'Claves'),
  triangle: key(80, 'Mute Triangle'),
  triangleopen: key(81, 'Open Triangle'),
  btap: { midi: 38, name: 'Brush Tap', brush: { plainMidi: 38 } },
  bslap: { midi: 39, name: 'Brush Slap', brush: { plainMidi: 38 } },
  bsweep: { midi: 40, name: 'Brush Swirl', brush: {} },
}

/** Keys that cut each other off. */
export const EXCLUSIVE_DRUM_KEYS: readonly (readonly number[])[] = [
  [42, 44, 46],
  [73, 74],
  [80, 81],
]

/** Rows whose `-` lengthens the note; all others sound one step. */
export const SUSTAINED_DRUM_ROWS: ReadonlySet<string> = new Set(['bsweep', 'crash', 'snare', 'ride'])
