/** How loud a note of a zone is at any moment, worked out ahead: so that it can be scheduled at once and stopped anywhere without a jump. */
import type { ZoneEnvelope } from './zone-table.js'

/** A note this far below its peak is over. */
export const SILENT_DB = 72

export interface NoteShape {
  readonly envelope: ZoneEnvelope
  /** Seconds after the start when the key is let go. */
  readonly releaseSeconds: number
}

/** Decibels below the peak while the key is held; less than nothing where it rings. Before the start is not asked for. */
function heldDb(
  { attackSeconds, holdSeconds, fallDbPerSecond, sustainDb, ring }: ZoneEnvelope,
  seconds: number,
): number {
  const falling = Math.max(0, seconds - attackSeconds - holdSeconds)
  const up = ring ? ring.db * Math.min(1, Math.max(0, seconds - attackSeconds) / ring.seconds) : 0
  return Math.min(sustainDb, falling * fallDbPerSecond) - up
}

/** Level, 1 at the end of the attack, so many seconds after the start. */
export function levelAt({ envelope, releaseSeconds }: NoteShape, seconds: number): number {
  if (seconds <= 0) return 0
  const held = Math.min(seconds, releaseSeconds)
  const rise = envelope.attackSeconds > 0 ? Math.min(1, held / envelope.attackSeconds) : 1
  const fallenDb = heldDb(envelope, held) + Math.max(0, seconds - releaseSeconds) * envelope.releaseDbPerSecond
  return rise * 10 ** (-fallenDb / 20)
}

/** Seconds after the start when nothing is to be heard any more. */
export function silentAfter({ envelope, releaseSeconds }: NoteShape): number {
  const left = Math.max(0, SILENT_DB - heldDb(envelope, releaseSeconds))
  return releaseSeconds + left / envelope.releaseDbPerSecond
}

/** Writes the whole shape onto a gain, from `start` of its context on, times `peak`. */
export function scheduleShape(gain: AudioParam, shape: NoteShape, start: number, peak: number): void {
  const { envelope, releaseSeconds } = shape
  const { attackSeconds, holdSeconds, fallDbPerSecond, sustainDb, ring } = envelope
  const atLevel = (seconds: number) => Math.max(levelAt(shape, seconds), 1e-5) * peak
  const release = start + releaseSeconds
  // Silent from the beginning: a note stopped before it starts must not open at full level.
  gain.value = 0
  gain.setValueAtTime(0, start)
  gain.linearRampToValueAtTime(
    atLevel(Math.min(attackSeconds, releaseSeconds)),
    start + Math.min(attackSeconds, releaseSeconds),
  )
  // Between its corners the level moves evenly in decibels: one ramp to each of them that comes before the release.
  const fallsFrom = attackSeconds + holdSeconds
  const corners = [
    ...(ring ? [attackSeconds + ring.seconds] : []),
    ...(fallDbPerSecond > 0 ? [fallsFrom, fallsFrom + sustainDb / fallDbPerSecond] : []),
  ]
  const held = corners.filter((seconds) => seconds > attackSeconds && seconds < releaseSeconds).sort((x, y) => x - y)
  const moves = ring !== undefined || (fallDbPerSecond > 0 && releaseSeconds > fallsFrom)
  for (const seconds of moves && releaseSeconds > attackSeconds ? [...held, releaseSeconds] : [])
    gain.exponentialRampToValueAtTime(atLevel(seconds), start + seconds)
  gain.setValueAtTime(atLevel(releaseSeconds), release)
  gain.exponentialRampToValueAtTime(atLevel(silentAfter(shape)), start + silentAfter(shape))
}
