/** Plays a schedule at a time of the server's clock, through the mixer: start, stop, place, loop, another option in the same place. */
import type { Arrangement, PlayEvent } from '@chartloft/shared-theory'
import { AudioClock, type Stamp } from './audio-clock.js'
import { CLICK, CLICK_VELOCITY, type CountIn } from './click.js'
import { breath } from './breath.js'
import { AUDIO } from './limits.js'
import { Mixer } from './mixer.js'
import { type Loop, Scheduler } from './scheduler.js'
import { loadSounds } from './sound-library.js'
import { soundsOf } from './sounds-of.js'
import type { Voice } from './voice.js'

export interface PlayRequest {
  /** Milliseconds of `performance.now()` when the first sound leaves; the past means: enter in place, now. */
  readonly atPerformanceMs: number
  /** Place in the schedule, in its milliseconds. */
  readonly fromMs: number
  readonly loop?: Loop
  /** Clicks before the first sound. */
  readonly countIn?: CountIn
}

/** Started notes, for tests that measure when the same note sounds on two pages. */
export interface StartedNote {
  readonly partId: string
  readonly midi: number
  readonly barIndex: number
  /** Place in the schedule, in its milliseconds: names the note on every page. */
  readonly scheduleMs: number
  /** `performance.now()` plus time origin: comparable between pages of one machine. */
  readonly epochMs: number
}

export class Player {
  readonly mixer: Mixer
  /** Whether the clicks of the schedule sound. */
  clicks = false
  readonly #context: AudioContext
  readonly #ticker: Worker
  #events: readonly PlayEvent[] = []
  #scheduler: Scheduler | undefined
  #loop: Loop | undefined
  readonly #clock = new AudioClock()
  /** Context time at which second 0 of the scheduler sounds. */
  #origin = 0
  /** The same by `performance.now()`: what the band agreed on. The origin follows it where the audio device loses a block or runs fast or slow. */
  #originMs = 0
  /** How far (s) what plays has been moved since its start to follow the device. */
  followedSeconds = 0
  #hasHandedOver = false
  #voices: Voice[] = []
  #onEnd: (() => void) | undefined
  #onTick: (() => void) | undefined
  /** The last notes handed to the audio clock, newest last, at most 256. */
  readonly started: StartedNote[] = []

  /** Made with room for taps in between: opening the device alone takes a slow phone a tenth of a second. */
  static async inSlices(): Promise<Player> {
    await breath()
    const context = deviceContext()
    await breath()
    return new Player(context)
  }

  constructor(context: AudioContext = deviceContext()) {
    this.#context = context
    this.mixer = new Mixer(context, { withRoom: 'later' })
    void breath().then(() => this.mixer.openRoom())
    this.#ticker = new Worker(new URL('./tick-worker.ts', import.meta.url), { type: 'module' })
    this.#ticker.onmessage = () => {
      this.#look()
      this.#tick()
    }
    context.addEventListener('statechange', () => this.#clock.forget())
  }

  /** Must be called from a click or key press once: browsers keep silent until then. Resolves once it is known where audio lies on the page's clock. */
  async wake(): Promise<void> {
    if (this.#context.state !== 'running') await this.#context.resume()
    const end = performance.now() + AUDIO.clockWaitMs
    while (!this.#clock.isSteady && performance.now() < end) {
      await new Promise((resolve) => setTimeout(resolve, 5))
      this.#look()
    }
  }

  /** Whether the browser lets sound out: it does not before the first click or key press. */
  get isAwake(): boolean {
    return this.#context.state === 'running'
  }

  get playing(): boolean {
    return this.#scheduler !== undefined
  }

  /** Place in the schedule that is heard now, in milliseconds; undefined while stopped or before the start. */
  positionMs(): number | undefined {
    if (!this.#scheduler) return undefined
    const seconds = this.#context.currentTime - this.#origin
    return seconds < 0 ? undefined : this.#scheduler.positionMs(seconds)
  }

  /** Who plays, on which sounds. Resolves when the sounds are here, or have kept one waiting long enough: from then on one may play. */
  async setBand(arrangement: Pick<Arrangement, 'lineup' | 'groove' | 'bars'>): Promise<void> {
    const sounds = soundsOf(arrangement)
    this.mixer.setLineup(arrangement.lineup, sounds)
    const loading = loadSounds([...sounds.values()].map(({ name }) => name))
    await Promise.race([loading, new Promise((resolve) => setTimeout(resolve, AUDIO.soundsWaitMs))])
  }

  /** Another schedule from now on; if it plays, the place is kept. */
  load(events: readonly PlayEvent[]): void {
    this.#events = events
    if (!this.#scheduler) return
    const now = this.#context.currentTime
    const place = this.positionMs()
    if (place === undefined) {
      const waiting = this.#origin - now
      this.#begin(this.#scheduler.positionMs(0), now + waiting, this.#loop)
      return
    }
    this.#silence(now)
    this.#begin(place, now, this.#loop)
  }

  /** `onTick` is called while it plays, also where the page is not looked at and draws nothing. */
  play({ atPerformanceMs, fromMs, loop, countIn }: PlayRequest, onEnd?: () => void, onTick?: () => void): void {
    const now = this.#context.currentTime
    this.#silence(now)
    this.mixer.open()
    this.#onEnd = onEnd
    this.#onTick = onTick
    const startsAt = this.#contextTimeAt(atPerformanceMs)
    const late = now - startsAt
    if (late <= 0) {
      if (countIn) this.#clicks(startsAt, countIn)
      this.#begin(fromMs, startsAt, loop)
      return
    }
    // Entering late: the place everybody else is at by now.
    const place = new Scheduler(this.#events, fromMs, loop).positionMs(late + 0.05)
    this.#begin(place, now + 0.05, loop)
  }

  /** Plain clicks, for finding how late a device sounds; `performance.now()` times at which they should be heard. */
  click(timesMs: readonly number[]): void {
    this.mixer.open()
    for (const [index, at] of timesMs.entries())
      this.#voices.push(this.mixer.click(this.#contextTimeAt(at), index % 4 === 0))
  }

  stop(): void {
    this.#scheduler = undefined
    this.#silence(this.#context.currentTime)
    this.mixer.shut()
  }

  /** How many voices hold a node now. */
  soundingVoices(): number {
    const now = this.#context.currentTime
    this.#voices = this.#voices.filter((voice) => voice.endsAt > now)
    return this.#voices.length
  }

  close(): void {
    this.#ticker.terminate()
    void this.#context.close()
  }

  #begin(fromMs: number, origin: number, loop: Loop | undefined): void {
    this.#origin = origin
    this.#originMs = this.#performanceAt(origin)
    this.followedSeconds = 0
    this.#hasHandedOver = false
    this.#loop = loop
    this.#scheduler = new Scheduler(this.#events, fromMs, loop)
    this.#tick()
  }

  #clicks(startsAt: number, { lengthMs, beatMs, beatsABar }: CountIn): void {
    for (let beat = 0; beat * beatMs < lengthMs - 1; beat++) {
      const at = startsAt - (lengthMs - beat * beatMs) / 1000
      if (at < this.#context.currentTime) continue
      this.#voices.push(this.mixer.click(at, beat % beatsABar === 0))
    }
  }

  /** Looks where audio lies on the page's clock now. What plays follows too slowly to be heard; what has not begun, at once. */
  #look(): void {
    this.#clock.take(this.#stamp())
    if (!this.#scheduler || !this.#clock.isSteady) return
    const away = this.#contextTimeAt(this.#originMs) - this.#origin
    const most = this.#hasHandedOver ? AUDIO.followSeconds : Infinity
    const step = Math.max(-most, Math.min(most, away))
    this.#origin += step
    this.followedSeconds += step
  }

  #tick(): void {
    const scheduler = this.#scheduler
    if (!scheduler) return
    const now = this.#context.currentTime
    for (const { event, startsSeconds, durationSeconds } of scheduler.due(
      now - this.#origin + AUDIO.lookAheadSeconds,
    )) {
      const startsAt = this.#origin + startsSeconds
      if (startsAt < now - AUDIO.lateSeconds) continue
      if (event.partId === CLICK) {
        if (!this.clicks) continue
        this.#makeRoom(now)
        this.#voices.push(this.mixer.click(Math.max(startsAt, now), event.velocity > CLICK_VELOCITY))
        continue
      }
      const part = this.mixer.part(event.partId)
      if (!part) continue
      this.#makeRoom(now)
      this.#hasHandedOver = true
      this.#voices.push(
        part.play(this.#context, part.bus, {
          midi: event.midi,
          velocity: event.velocity,
          startsAt: Math.max(startsAt, now),
          durationSeconds,
          ...(event.swells ? { swells: true as const } : {}),
        }),
      )
      this.started.push({
        partId: event.partId,
        midi: event.midi,
        barIndex: event.barIndex,
        scheduleMs: event.startMs,
        epochMs: performance.timeOrigin + startsAt * 1000 + offsetOf(this.#stamp()),
      })
      if (this.started.length > 256) this.started.splice(0, 64)
    }
    this.#onTick?.()
    if (!this.#loop && now - this.#origin > (scheduler.endMs - scheduler.positionMs(0)) / 1000 + 0.5) {
      this.#scheduler = undefined
      this.#onEnd?.()
    }
  }

  #makeRoom(now: number): void {
    if (this.#voices.length < AUDIO.voices) return
    this.#voices = this.#voices.filter((voice) => voice.endsAt > now)
    while (this.#voices.length >= AUDIO.voices) this.#voices.shift()?.stop(now)
  }

  #silence(now: number): void {
    for (const voice of this.#voices) voice.stop(now)
    this.#voices = []
  }

  /** The audio clock's time at a `performance.now()` time, as it will be heard. */
  #contextTimeAt(performanceMs: number): number {
    return (performanceMs - this.#offsetMs()) / 1000
  }

  #performanceAt(contextTime: number): number {
    return contextTime * 1000 + this.#offsetMs()
  }

  #offsetMs(): number {
    return this.#clock.offsetMs ?? offsetOf(this.#stamp())
  }

  #stamp(): Stamp {
    const stamp = this.#context.getOutputTimestamp?.()
    // Before the first block leaves, browsers report zeros.
    if (stamp?.contextTime && stamp.performanceTime)
      return { contextTime: stamp.contextTime, performanceTime: stamp.performanceTime }
    return { contextTime: this.#context.currentTime, performanceTime: performance.now() }
  }
}

const deviceContext = (): AudioContext => new AudioContext({ latencyHint: 'interactive' })

const offsetOf = ({ contextTime, performanceTime }: Stamp): number => performanceTime - contextTime * 1000
