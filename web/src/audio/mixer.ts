/** Channels, master level and limiter, on Tone's graph: what is sent where and how loud. Levels are each listener's own. */
import type { PartSpec } from '@chartloft/shared-theory'
import { findInstrument } from '@chartloft/shared-theory'
import { Channel, Context, Gain, Limiter, Meter, Reverb, Volume, connect, setContext } from 'tone'
import { drumPlayer } from './drums.js'
import { AUDIO } from './limits.js'
import { pitchedPlayer } from './pitched.js'
import type { PlayNote, Voice } from './voice.js'

export interface PartLevel {
  /** Decibels from the band's balance; −Infinity is silent. */
  readonly levelDb: number
  readonly muted: boolean
}

interface MixedPart {
  readonly channel: Channel
  readonly bus: GainNode
  readonly play: PlayNote
}

/** Side stick: the sound of a count-in. */
const CLICK_KEY = 37

/** Where the players sit, left to right. */
const PAN: { readonly [role in PartSpec['role']]: number } = {
  lead: 0,
  horn: 0.25,
  voice: 0,
  chords: -0.3,
  bass: 0.05,
  drums: 0.12,
}

export class Mixer {
  readonly context: BaseAudioContext
  readonly #master: Volume
  readonly #limiter: Limiter
  readonly #gate: Gain
  readonly #meter: Meter
  readonly #room: Reverb | undefined
  readonly #parts = new Map<string, MixedPart>()
  readonly #clickSound = drumPlayer()
  #clickBus: GainNode | undefined

  /** `withRoom` adds a short reverberation; left out where two renderings are compared. */
  constructor(context: BaseAudioContext, { withRoom = true } = {}) {
    this.context = context
    const graph = new Context(context as AudioContext)
    graph.lookAhead = 0
    setContext(graph)
    this.#limiter = new Limiter(AUDIO.ceilingDb).toDestination()
    this.#meter = new Meter({ smoothing: 0.7 })
    this.#master = new Volume(AUDIO.startLevelDb)
    this.#gate = new Gain(1)
    this.#master.connect(this.#gate)
    this.#gate.connect(this.#limiter)
    this.#limiter.connect(this.#meter)
    if (withRoom) {
      this.#room = new Reverb({ decay: 1.1, wet: 0.12 })
      this.#room.connect(this.#master)
    }
  }

  /** One click of a count-in, on a channel of its own. */
  click(startsAt: number, isFirst: boolean): Voice {
    if (!this.#clickBus) {
      this.#clickBus = this.context.createGain()
      connect(this.#clickBus, this.#master)
    }
    const note = { midi: CLICK_KEY, velocity: isFirst ? 110 : 84, startsAt, durationSeconds: 0.05 }
    return this.#clickSound(this.context, this.#clickBus, note)
  }

  /** Makes a channel for every part, keeping those that stay as they are. */
  setLineup(lineup: readonly PartSpec[]): void {
    for (const [id, part] of this.#parts) {
      if (lineup.some((spec) => spec.id === id)) continue
      part.channel.dispose()
      part.bus.disconnect()
      this.#parts.delete(id)
    }
    for (const spec of lineup) {
      if (this.#parts.has(spec.id)) continue
      const channel = new Channel({ pan: PAN[spec.role] })
      channel.connect(this.#room ?? this.#master)
      const bus = this.context.createGain()
      connect(bus, channel)
      const family = findInstrument(spec.instrument)?.family ?? 'keys'
      this.#parts.set(spec.id, { channel, bus, play: family === 'drums' ? drumPlayer() : pitchedPlayer(family) })
    }
  }

  part(id: string): { readonly bus: GainNode; readonly play: PlayNote } | undefined {
    return this.#parts.get(id)
  }

  /** Ramped, so that no change clicks. */
  setPart(id: string, { levelDb, muted }: PartLevel): void {
    const part = this.#parts.get(id)
    if (!part) return
    part.channel.volume.rampTo(levelDb, 0.03)
    part.channel.mute = muted
  }

  /** Master level in decibels; 0 is full scale before the limiter. */
  setMaster(levelDb: number): void {
    this.#master.volume.rampTo(Math.min(0, levelDb), 0.03)
  }

  /** Lets nothing through any more, the room's echo included; fades, so that it does not click. */
  shut(): void {
    this.#gate.gain.rampTo(0, AUDIO.stopSeconds)
  }

  open(): void {
    this.#gate.gain.rampTo(1, AUDIO.stopSeconds / 4)
  }

  /** What leaves the limiter now, in dBFS. */
  level(): number {
    const value: number | number[] = this.#meter.getValue()
    return Array.isArray(value) ? Math.max(...value) : value
  }

  /** The limiter's output for tests and pictures. */
  analyser(): AnalyserNode {
    const analyser = this.context.createAnalyser()
    this.#limiter.connect(analyser as unknown as Parameters<Limiter['connect']>[0])
    return analyser
  }
}
