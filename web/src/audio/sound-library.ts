/** Recorded sounds by name: fetched and decoded once, when a board first uses them. What cannot be had is left to the fallback. */
import { SOUNDS } from 'virtual:sounds'
import type { RecordedSound } from './sampled.js'
import type { SampleRow, ZoneTable } from './zone-table.js'

const loaded = new Map<string, RecordedSound>()
const loading = new Map<string, Promise<void>>()

/** The sound if it is here already. */
export function soundOf(name: string): RecordedSound | undefined {
  return loaded.get(name)
}

/** Resolves when every sound is here or has failed; one that failed is tried again the next time. */
export async function loadSounds(names: Iterable<string>): Promise<void> {
  await Promise.all([...new Set(names)].map((name) => load(name)))
}

function load(name: string): Promise<void> {
  const address = SOUNDS[name]
  if (loaded.has(name) || address === undefined) return Promise.resolve()
  let work = loading.get(name)
  if (!work) {
    work = fetchSound(address)
      .then((sound) => void loaded.set(name, sound))
      // reason: no network and no cached file is an ordinary state of a page; the fallback sounds, and the next play tries again.
      .catch(() => undefined)
      .finally(() => loading.delete(name))
    loading.set(name, work)
  }
  return work
}

async function fetchSound(address: string): Promise<RecordedSound> {
  const table = (await (await fetched(address)).json()) as ZoneTable
  const file = await (await fetched(table.audio)).arrayBuffer()
  const buffers = await Promise.all(table.samples.map((row) => decoded(file.slice(row.at, row.at + row.bytes), row)))
  if (buffers.every((buffer) => buffer === undefined)) throw new Error(`no sample of ${address} could be decoded`)
  return { table, buffers }
}

async function fetched(address: string): Promise<Response> {
  // Without a network only what is kept can come, and a browser complains about every request that fails.
  const isKept = navigator.onLine || (await globalThis.caches?.match(address, { ignoreVary: true })) !== undefined
  if (!isKept) throw new Error(`${address} is not kept`)
  const answer = await fetch(address)
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`)
  return answer
}

/** Decoded at the sample's own rate: resampled, its loop would not close on whole frames any more. */
async function decoded(ogg: ArrayBuffer, row: SampleRow): Promise<AudioBuffer | undefined> {
  try {
    const buffer = await new OfflineAudioContext(1, 1, row.rate).decodeAudioData(ogg)
    return row.loop && buffer.length < row.loop[1] ? completed(buffer, row.frames, row.loop) : buffer
  } catch {
    return undefined
  }
}

/** Browsers drop up to 128 frames at the end of a short stream; inside a loop they are what stood one round before. */
function completed(buffer: AudioBuffer, frames: number, [from, to]: readonly [number, number]): AudioBuffer {
  const samples = new Float32Array(frames)
  samples.set(buffer.getChannelData(0))
  for (let index = buffer.length; index < frames; index++) samples[index] = samples[index - (to - from)] ?? 0
  const whole = new AudioBuffer({ length: frames, numberOfChannels: 1, sampleRate: buffer.sampleRate })
  whole.copyToChannel(samples, 0)
  return whole
}
