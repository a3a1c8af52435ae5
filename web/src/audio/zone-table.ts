/** What a recorded sound consists of: samples in one chained Ogg file, and zones that say which key and velocity plays which of them, and how. */

export interface SampleRow {
  /** Where its Ogg stream stands in the file. */
  readonly at: number
  readonly bytes: number
  /** Sample frames a second; the sample is decoded at this rate, so that loop points stay whole frames. */
  readonly rate: number
  readonly frames: number
  /** Seconds before the sound begins: playing starts there. */
  readonly leadSeconds: number
  /** First frame of the loop, and the frame after its last. */
  readonly loop?: readonly [fromFrame: number, toFrame: number]
}

/** Which strokes a drum kit uses; a zone without one belongs to all kits. */
export type Kit = 'sticks' | 'jazz' | 'brushes'

/** Levels fall evenly in decibels, as recorded sounds do. */
export interface ZoneEnvelope {
  readonly attackSeconds: number
  readonly holdSeconds: number
  readonly fallDbPerSecond: number
  /** Where the fall ends, in decibels below the peak. */
  readonly sustainDb: number
  readonly releaseDbPerSecond: number
  /** What is struck or plucked and held is brought up so much over so long, as a mixer's compressor would: recordings die away fast. */
  readonly ring?: { readonly db: number; readonly seconds: number }
}

export interface Zone {
  readonly keys: readonly [low: number, high: number]
  readonly velocities: readonly [low: number, high: number]
  /** Index of its sample. */
  readonly sample: number
  /** MIDI number, with its fraction, at which the sample at its own rate is in tune at A4 = 440. */
  readonly root: number
  readonly gainDb: number
  readonly envelope: ZoneEnvelope
  readonly isLooped?: true
  /** Low-pass corner; absent where nothing is cut. */
  readonly filterHertz?: number
  /** −1 left to 1 right of where the part stands. */
  readonly pan?: number
  /** Drum keys of the same class cut each other off. */
  readonly exclusive?: number
  readonly kit?: Kit
}

export interface ZoneTable {
  readonly name: string
  /** Address of the Ogg file. */
  readonly audio: string
  /** Brings the sound to the band's balance: measured at velocity 80 when the table was made. */
  readonly gainDb: number
  /** Depth of the vibrato a player adds to held notes, in cents. */
  readonly vibratoCents?: number
  readonly samples: readonly SampleRow[]
  readonly zones: readonly Zone[]
}

/** The zone of a key struck at a velocity; beyond the recorded keys the nearest one, and undefined only where a kit lacks the key. */
export function zoneFor(zones: readonly Zone[], midi: number, velocity: number): Zone | undefined {
  return zones.find(
    ({ keys, velocities }) =>
      midi >= keys[0] && midi <= keys[1] && velocity >= velocities[0] && velocity <= velocities[1],
  )
}

/** The zones of one kit. */
export function zonesOfKit(zones: readonly Zone[], kit: Kit | undefined): readonly Zone[] {
  return zones.filter((zone) => zone.kit === undefined || zone.kit === kit)
}
