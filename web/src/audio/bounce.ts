/** A schedule to a sound file, faster than it plays: the same mixer and players on an offline context, fed in short windows. */
import type { Arrangement, PlayEvent } from '@chartloft/shared-theory'
import { limit } from './ceiling.js'
import { AUDIO } from './limits.js'
import { Mixer, type PartLevel } from './mixer.js'
import { OPUS_RATE } from './ogg.js'
import { opusFile } from './opus.js'
import { Scheduler } from './scheduler.js'
import { loadSounds } from './sound-library.js'
import { soundsOf } from './sounds-of.js'
import { wavFile } from './wav.js'

export interface BounceRequest {
  readonly band: Pick<Arrangement, 'lineup' | 'groove' | 'bars'>
  readonly events: readonly PlayEvent[]
  /** Place in the schedule; all of it when absent. */
  readonly fromMs?: number
  readonly toMs?: number
  readonly levels?: readonly (PartLevel & { readonly id: string })[]
  readonly withRoom?: boolean
  readonly rate?: number
  readonly masterDb?: number
  /** Share done, 0 to 1. */
  readonly onProgress?: (share: number) => void
  /** Ends the work; what was asked for rejects with its reason. */
  readonly signal?: AbortSignal
}

export interface Rendered {
  readonly channels: readonly Float32Array[]
  readonly rate: number
}

const RATE = 44_100
/** Notes are handed over in windows this long: an hour of waiting nodes would slow down every block. */
const WINDOW_SECONDS = 1
/** The last note and the room die away in this time; then there is silence. */
const TAIL_SECONDS = 2.5
const FADE_SECONDS = 0.4

/** The mix in floating point, under the ceiling, with silence at its end. */
export async function render(request: BounceRequest): Promise<Rendered> {
  const mixed = await mix(request)
  limit(mixed.channels, mixed.rate)
  return mixed
}

/** The mix as a file has it: a few players alone as loud as a whole band, and neither squeezed. */
export async function renderFile(request: BounceRequest): Promise<Rendered> {
  const mixed = await mix(request)
  let peak = 0
  for (const channel of mixed.channels) for (const sample of channel) peak = Math.max(peak, Math.abs(sample))
  const wanted = 10 ** ((AUDIO.ceilingDb + AUDIO.fileOverDb) / 20) / Math.max(peak, 1e-9)
  const gain = Math.min(10 ** (AUDIO.fileUpDb / 20), wanted)
  for (const channel of mixed.channels)
    for (let index = 0; index < channel.length; index++) channel[index] = (channel[index] as number) * gain
  limit(mixed.channels, mixed.rate)
  return mixed
}

async function mix(request: BounceRequest): Promise<Rendered> {
  const {
    band,
    events,
    fromMs = 0,
    levels = [],
    withRoom = true,
    rate = RATE,
    masterDb = 0,
    onProgress,
    signal,
  } = request
  const lastMs = events.reduce((end, event) => Math.max(end, event.startMs + event.durationMs), 0)
  const toMs = request.toMs ?? lastMs
  const seconds = Math.max(0, toMs - fromMs) / 1000
  const sounds = soundsOf(band)
  await loadSounds([...sounds.values()].map(({ name }) => name))
  signal?.throwIfAborted()
  const frames = Math.ceil((seconds + TAIL_SECONDS) * rate)
  const context = new OfflineAudioContext(2, frames, rate)
  const mixer = new Mixer(context, { withRoom, isLimited: false })
  mixer.setLineup(band.lineup, sounds)
  mixer.setMaster(masterDb)
  for (const part of levels) mixer.setPart(part.id, part)
  const scheduler = new Scheduler(
    events.filter(({ startMs }) => startMs < toMs),
    fromMs,
  )
  const feed = (untilSeconds: number): void => {
    for (const { event, startsSeconds, durationSeconds } of scheduler.due(untilSeconds)) {
      const part = mixer.part(event.partId)
      const { midi, velocity, swells } = event
      part?.play(context, part.bus, {
        midi,
        velocity,
        startsAt: startsSeconds,
        durationSeconds,
        ...(swells ? { swells } : {}),
      })
    }
  }
  feed(WINDOW_SECONDS * 2)
  const done = new Promise<AudioBuffer>((resolve, reject) => {
    for (let at = WINDOW_SECONDS; at < seconds; at += WINDOW_SECONDS) {
      void context.suspend(at).then(() => {
        onProgress?.(at / (seconds + TAIL_SECONDS))
        // Never resumed: the browser lets the context go.
        if (signal?.aborted) return reject(signal.reason as Error)
        feed(at + WINDOW_SECONDS * 2)
        return context.resume()
      })
    }
    context.startRendering().then(resolve, reject)
  })
  const buffer = await done
  signal?.throwIfAborted()
  const channels = Array.from({ length: buffer.numberOfChannels }, (_, index) => buffer.getChannelData(index))
  fadeOut(channels, rate)
  onProgress?.(1)
  return { channels, rate }
}

export type FileKind = 'wav' | 'ogg'

/** The mix as a WAV file, or as Ogg Opus where `canEncodeOpus`. */
export async function bounce(request: BounceRequest, kind: FileKind = 'wav'): Promise<Blob> {
  const { channels, rate } = await renderFile(kind === 'ogg' ? { ...request, rate: OPUS_RATE } : request)
  if (kind === 'ogg') return new Blob([await opusFile(channels, request.signal)], { type: 'audio/ogg' })
  return new Blob([wavFile(channels, rate)], { type: 'audio/wav' })
}

function fadeOut(channels: readonly Float32Array[], rate: number): void {
  const length = channels[0]?.length ?? 0
  const fade = Math.min(length, Math.round(FADE_SECONDS * rate))
  for (const channel of channels)
    for (let index = 0; index < fade; index++)
      channel[length - fade + index] = (channel[length - fade + index] as number) * (1 - (index + 1) / fade) ** 2
}
