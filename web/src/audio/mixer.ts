/** Channels, room, master level and limiter on native nodes: what is sent where and how loud. Levels are each listener's own. */
import { findInstrument, type PartSpec } from '@chartloft/shared-theory'
import { liveLimiter } from './ceiling.js'
import { drumPlayer } from './drums.js'
import { AUDIO } from './limits.js'
import { pitchedPlayer } from './pitched.js'
import { roomResponse } from './room.js'
import { recordedPlayer } from './sampled.js'
import { soundOf } from './sound-library.js'
import type { PartSound } from './sounds-of.js'
import type { PlayNote, Voice } from './voice.js'

export interface PartLevel {
  /** Decibels from the band's balance; −Infinity is silent. */
  readonly levelDb: number
  readonly muted: boolean
  /** −1 left to 1 right; where the players sit when absent. */
  readonly pan?: number
}

interface MixedPart {
  /** Instrument, role and sound: a part that changes one of them gets a new channel. */
  readonly key: string
  readonly bus: GainNode
  readonly level: GainNode
  readonly pan: AudioParam
  /** Where it sits by itself. */
  readonly seat: number
  readonly play: PlayNote
  dispose(): void
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
/** How loud each stands beside who leads, in decibels: whoever has the melody is in front. Common practice, then by measurement. */
const BALANCE_DB: { readonly [role in PartSpec['role']]: number } = {
  lead: 0,
  horn: -1,
  voice: 0,
  chords: -1,
  bass: 0,
  drums: -1,
}
/** What is struck or plucked dies away between its notes: where it leads it stands nearer, as a pianist's own trio mixes it. */
const LEADING_STRINGS_DB = 3
/** A singer who leads stands a little further in front than a horn: words are to be understood. */
const LEADING_SINGER_DB = 1
const STRUCK: ReadonlySet<string> = new Set(['keys', 'mallet', 'guitar'])

function balanceDb(role: PartSpec['role'], family: string): number {
  if (role !== 'lead') return BALANCE_DB[role]
  if (family === 'voice') return LEADING_SINGER_DB
  return STRUCK.has(family) ? LEADING_STRINGS_DB : BALANCE_DB.lead
}
/** How much of each goes into the room: little of the bass, so that it stays clear. */
const ROOM: { readonly [role in PartSpec['role']]: number } = {
  lead: 0.42,
  horn: 0.42,
  voice: 0.46,
  chords: 0.28,
  bass: 0.06,
  drums: 0.2,
}
/** Time constant of changed levels: no change clicks. */
const RAMP_SECONDS = 0.012

/** Two looks of a page that draws 30 times a second leave no gap. */
const OVER_FRAMES = 2048

const fromDb = (db: number): number => 10 ** (db / 20)
const CEILING = fromDb(AUDIO.ceilingDb)

export class Mixer {
  readonly context: BaseAudioContext
  readonly #master: GainNode
  readonly #match: GainNode
  readonly #gate: GainNode
  readonly #out: AudioNode
  readonly #room: ConvolverNode | undefined
  readonly #parts = new Map<string, MixedPart>()
  readonly #clickSound = drumPlayer()
  readonly #over: AnalyserNode
  readonly #overSamples = new Float32Array(OVER_FRAMES)
  #clickBus: GainNode | undefined

  /** `withRoom` false leaves the echo out, where two renderings are compared, and 'later' waits for `openRoom`; `isLimited` false is for what
   *  is limited afterwards. */
  constructor(
    context: BaseAudioContext,
    { withRoom = true, isLimited = true }: { readonly withRoom?: boolean | 'later'; readonly isLimited?: boolean } = {},
  ) {
    this.context = context
    this.#master = context.createGain()
    this.#master.gain.value = fromDb(AUDIO.startLevelDb)
    this.#match = context.createGain()
    this.#gate = context.createGain()
    this.#master.connect(this.#match).connect(this.#gate)
    this.#over = context.createAnalyser()
    this.#over.fftSize = OVER_FRAMES
    this.#gate.connect(this.#over)
    if (isLimited) {
      const limiter = liveLimiter(context)
      this.#gate.connect(limiter.input)
      this.#out = limiter.output
    } else this.#out = this.#gate
    this.#out.connect(context.destination)
    if (withRoom) {
      this.#room = context.createConvolver()
      this.#room.connect(this.#master)
      if (withRoom !== 'later') this.openRoom()
    }
  }

  /** Lets the room echo: browsers take some time over its response. */
  openRoom(): void {
    if (this.#room) this.#room.buffer = roomResponse(this.context)
  }

  /** One click of a count-in, on a channel of its own. */
  click(startsAt: number, isFirst: boolean): Voice {
    if (!this.#clickBus) {
      this.#clickBus = this.context.createGain()
      this.#clickBus.connect(this.#master)
    }
    const note = { midi: CLICK_KEY, velocity: isFirst ? 110 : 84, startsAt, durationSeconds: 0.05 }
    return this.#clickSound(this.context, this.#clickBus, note)
  }

  /** Makes a channel for every part, keeping those that stay as they are. */
  setLineup(lineup: readonly PartSpec[], sounds: ReadonlyMap<string, PartSound>): void {
    const wanted = new Map(lineup.map((spec) => [spec.id, keyOf(spec, sounds.get(spec.id))]))
    for (const [id, part] of this.#parts) {
      if (wanted.get(id) === part.key) continue
      part.dispose()
      this.#parts.delete(id)
    }
    for (const spec of lineup)
      if (!this.#parts.has(spec.id)) this.#parts.set(spec.id, this.#channel(spec, sounds.get(spec.id)))
  }

  part(id: string): { readonly bus: AudioNode; readonly play: PlayNote } | undefined {
    return this.#parts.get(id)
  }

  setPart(id: string, { levelDb, muted, pan }: PartLevel): void {
    const part = this.#parts.get(id)
    if (!part) return
    this.#ramp(part.level.gain, muted ? 0 : fromDb(levelDb))
    this.#ramp(part.pan, Math.max(-1, Math.min(1, pan ?? part.seat)))
  }

  /** Master level in decibels; 0 is full scale before the limiter. */
  setMaster(levelDb: number): void {
    this.#ramp(this.#master.gain, fromDb(Math.min(0, levelDb)))
  }

  /** Decibels that bring what is heard to the loudness of what it is compared with. */
  setMatch(db: number): void {
    this.#ramp(this.#match.gain, fromDb(db))
  }

  /** Lets nothing through any more, the room's echo included; fades, so that it does not click. */
  shut(): void {
    this.#ramp(this.#gate.gain, 0, AUDIO.stopSeconds / 5)
  }

  open(): void {
    this.#ramp(this.#gate.gain, 1, AUDIO.stopSeconds / 20)
  }

  /** Whether what goes into the limiter has just passed the ceiling: somebody should turn down. */
  isOver(): boolean {
    this.#over.getFloatTimeDomainData(this.#overSamples)
    return this.#overSamples.some((sample) => Math.abs(sample) > CEILING)
  }

  /** The limiter's output for tests and pictures. */
  analyser(): AnalyserNode {
    const analyser = this.context.createAnalyser()
    this.#out.connect(analyser)
    return analyser
  }

  #channel(spec: PartSpec, sound: PartSound | undefined): MixedPart {
    const bus = this.context.createGain()
    const family = findInstrument(spec.instrument)?.family ?? 'keys'
    bus.gain.value = fromDb(balanceDb(spec.role, family))
    const level = this.context.createGain()
    const panner = this.context.createStereoPanner()
    panner.pan.value = PAN[spec.role]
    bus.connect(level).connect(panner).connect(this.#master)
    const send = this.context.createGain()
    send.gain.value = ROOM[spec.role]
    if (this.#room) panner.connect(send).connect(this.#room)
    const fallback = family === 'drums' || spec.role === 'drums' ? drumPlayer() : pitchedPlayer(family)
    return {
      key: keyOf(spec, sound),
      bus,
      level,
      pan: panner.pan,
      seat: PAN[spec.role],
      play: sound ? recordedPlayer(() => soundOf(sound.name), fallback, sound.kit) : fallback,
      dispose() {
        for (const node of [bus, level, panner, send]) node.disconnect()
      },
    }
  }

  #ramp(param: AudioParam, to: number, seconds = RAMP_SECONDS): void {
    const now = this.context.currentTime
    // Where nothing sounds yet there is nothing to ramp.
    if (this.context.state !== 'running') {
      param.cancelScheduledValues(0)
      param.value = to
      return
    }
    const from = param.value
    param.cancelScheduledValues(now)
    param.setValueAtTime(from, now)
    param.setTargetAtTime(to, now, seconds)
  }
}

const keyOf = ({ instrument, role }: PartSpec, sound: PartSound | undefined): string =>
  `${instrument} ${role} ${sound?.name ?? ''} ${sound?.kit ?? ''}`
