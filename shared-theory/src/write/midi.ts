/** The arrangement as a Standard MIDI File, type 1: a track for tempo, metre, key and sections, then one a part. */
import type { Arrangement } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { arrangementShape } from '../tune/index.js'
import { chunk, number, track } from './midi/bytes.js'
import { conductorEvents } from './midi/conductor.js'
import { partEvents, partTracks } from './midi/part-track.js'
import { scheduleEvents, tempoMap } from './schedule.js'

/** Bytes of the file, 5040 ticks a quarter. `parts` keeps only those PartSpec ids; `feel` 'played' (default) writes swing and lay-back
 *  as they sound, 'notated' as they are printed. The tempo track gives every bar the length the schedule gives it. */
export function writeMidi(
  given: Arrangement,
  options: { readonly parts?: readonly string[]; readonly feel?: 'played' | 'notated' } = {},
): Uint8Array {
  const arrangement = arrangementShape(given)
  const { parts, feel = 'played' } = options
  const map = tempoMap(arrangement)
  const events = scheduleEvents(arrangement, parts ? { parts } : {})
  const wanted = partTracks(arrangement.lineup).filter(({ spec }) => !parts || parts.includes(spec.id))
  const tracks = [
    track(conductorEvents(arrangement, map), map.totalTicks),
    ...wanted.map((part) => {
      const own = events.filter(({ partId }) => partId === part.spec.id)
      return track(partEvents(part, arrangement, own, feel, map.barStartTicks), map.totalTicks)
    }),
  ]
  const head = chunk('MThd', [...number(1, 2), ...number(tracks.length, 2), ...number(TICKS_PER_QUARTER, 2)])
  const size = tracks.reduce((sum, bytes) => sum + bytes.length, head.length)
  const file = new Uint8Array(size)
  let at = 0
  for (const bytes of [head, ...tracks]) {
    file.set(bytes, at)
    at += bytes.length
  }
  return file
}
