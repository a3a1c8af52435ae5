/** What every instrument gives the scheduler: one sounding note that can be stopped early. */
export interface Voice {
  /** Context time when it is silent by itself. */
  readonly endsAt: number
  /** Fades out from the given context time; calling twice is harmless. */
  stop(at: number): void
}

export interface NoteToPlay {
  readonly midi: number
  readonly velocity: number
  /** Context times in seconds. */
  readonly startsAt: number
  readonly durationSeconds: number
  /** A held melody note that grows to its middle and falls. */
  readonly swells?: true
}

/** Plays one note of an instrument into a node. */
export type PlayNote = (context: BaseAudioContext, out: AudioNode, note: NoteToPlay) => Voice

/** Hertz of a MIDI number at A4 = 440. */
export function frequencyOf(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12)
}

/** Steepness of loudness over velocity: General MIDI players take 2; softer strokes are darker besides, which makes up the rest. At 1.2 a
 *  ghost note was 6 dB below a plain one, and the top three levels of energy lay within 2 dB. */
const STEEPNESS = 1.4

/** Level of a velocity, 0 to 1. */
export function levelOf(velocity: number): number {
  return (velocity / 127) ** STEEPNESS
}
