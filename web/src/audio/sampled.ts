/** Plays a recorded sound on native nodes: a sample at a speed, an envelope, a low-pass, and for held notes a little vibrato. */
import { levelAt, type NoteShape, scheduleShape, silentAfter } from './envelope.js'
import { AUDIO } from './limits.js'
import { type NoteToPlay, type PlayNote, type Voice, levelOf } from './voice.js'
import { type Kit, type Zone, type ZoneTable, zoneFor, zonesOfKit } from './zone-table.js'

export interface RecordedSound {
  readonly table: ZoneTable
  /** By place in the table; undefined where a sample could not be decoded. */
  readonly buffers: readonly (AudioBuffer | undefined)[]
}

/** Vibrato waits until a note is held. */
const VIBRATO_DELAY_SECONDS = 0.28
const VIBRATO_HERTZ = 5.2
/** A held note's level at shares of its length, as in the MIDI files. Source: from memory. */
const SWELL: readonly (readonly [share: number, level: number])[] = [
  [0, 0.9],
  [0.5, 1],
  [1, 0.75],
]
/** Flat where nothing is boosted at the corner, in decibels as the browser's filter counts. */
const FLAT_Q_DB = -3.01

/** Plays through the sound where it is there and has the key, else through `fallback`: there is never silence. */
export function recordedPlayer(sound: () => RecordedSound | undefined, fallback: PlayNote, kit?: Kit): PlayNote {
  const cutting = new Map<number, Voice>()
  let known: RecordedSound | undefined
  let zones: readonly Zone[] = []
  return (context, out, note) => {
    const recorded = sound()
    if (!recorded) return fallback(context, out, note)
    if (recorded !== known) {
      known = recorded
      zones = zonesOfKit(recorded.table.zones, kit)
    }
    const zone = zoneFor(zones, note.midi, note.velocity)
    const buffer = zone && recorded.buffers[zone.sample]
    if (!zone || !buffer) return fallback(context, out, note)
    if (zone.exclusive !== undefined) cutting.get(zone.exclusive)?.stop(note.startsAt)
    const voice = playZone(context, out, note, recorded.table, zone, buffer)
    if (zone.exclusive !== undefined) cutting.set(zone.exclusive, voice)
    return voice
  }
}

function playZone(
  context: BaseAudioContext,
  out: AudioNode,
  note: NoteToPlay,
  table: ZoneTable,
  zone: Zone,
  buffer: AudioBuffer,
): Voice {
  const start = note.startsAt
  const row = table.samples[zone.sample]
  const lead = row?.leadSeconds ?? 0
  const source = context.createBufferSource()
  source.buffer = buffer
  const speed = 2 ** ((note.midi - zone.root) / 12)
  source.playbackRate.value = speed
  const releaseSeconds = Math.max(note.durationSeconds, zone.envelope.attackSeconds + 0.01)
  const shape: NoteShape = { envelope: zone.envelope, releaseSeconds }
  let endsAt = start + silentAfter(shape)
  if (zone.isLooped && row?.loop) {
    source.loop = true
    source.loopStart = row.loop[0] / row.rate
    source.loopEnd = row.loop[1] / row.rate
  } else {
    endsAt = Math.min(endsAt, start + (buffer.duration - lead) / speed)
  }
  const peak = levelOf(note.velocity) * 10 ** ((table.gainDb + zone.gainDb) / 20)
  const envelope = context.createGain()
  scheduleShape(envelope.gain, shape, start, peak)
  const nodes: AudioNode[] = [envelope]
  let last: AudioNode = source
  if (zone.filterHertz !== undefined) {
    const filter = context.createBiquadFilter()
    filter.type = 'lowpass'
    filter.Q.value = FLAT_Q_DB
    filter.frequency.value = zone.filterHertz
    last = last.connect(filter)
    nodes.push(filter)
  }
  last = last.connect(envelope)
  if (note.swells) {
    const swell = context.createGain()
    for (const [share, level] of SWELL) {
      const at = start + share * note.durationSeconds
      if (share === 0) swell.gain.setValueAtTime(level, at)
      else swell.gain.linearRampToValueAtTime(level, at)
    }
    last = last.connect(swell)
    nodes.push(swell)
  }
  if (zone.pan) {
    const panner = context.createStereoPanner()
    panner.pan.value = zone.pan
    last = last.connect(panner)
    nodes.push(panner)
  }
  last.connect(out)
  const vibrato = vibratoOf(context, source, note, table)
  source.start(start, lead)
  source.stop(endsAt)
  vibrato?.stop(endsAt)
  source.onended = () => {
    for (const node of nodes) node.disconnect()
  }
  return {
    endsAt,
    stop(at) {
      // The level is known: the fade begins exactly there, however the note was falling.
      envelope.gain.cancelScheduledValues(at)
      envelope.gain.setValueAtTime(levelAt(shape, at - start) * peak, at)
      envelope.gain.setTargetAtTime(0, at, AUDIO.cutSeconds)
      const silent = at + AUDIO.cutSeconds * 7
      if (silent < endsAt) {
        source.stop(silent)
        vibrato?.stop(silent)
      }
    },
  }
}

function vibratoOf(
  context: BaseAudioContext,
  source: AudioBufferSourceNode,
  note: NoteToPlay,
  { vibratoCents }: ZoneTable,
): OscillatorNode | undefined {
  if (vibratoCents === undefined || note.durationSeconds < VIBRATO_DELAY_SECONDS * 2) return undefined
  const from = note.startsAt + VIBRATO_DELAY_SECONDS
  const vibrato = context.createOscillator()
  vibrato.frequency.value = VIBRATO_HERTZ
  const depth = context.createGain()
  depth.gain.setValueAtTime(0, note.startsAt)
  depth.gain.setValueAtTime(0, from)
  depth.gain.linearRampToValueAtTime(vibratoCents, from + VIBRATO_DELAY_SECONDS)
  vibrato.connect(depth).connect(source.detune)
  vibrato.start(from)
  vibrato.onended = () => depth.disconnect()
  return vibrato
}
