/**
 * Listening, together or alone: answers play requests, follows the shared transport, keeps the audio and the page at the same bar.
 * Start, stop, place, loop, tempo and option are shared; my part, my levels and my device are mine.
 */
import type { ArrangedBar, Arrangement, Plan } from '@chartloft/shared-theory'
import type { TransportFrom } from '@chartloft/shared-theory/board'
import { AUDIO, bounce, type CountIn, type FileKind, loudnessFrom, matchDb, Player } from '../audio/index.js'
import type { NoteStore } from '../offline/own-notes.js'
import { Cell, until } from '../state/cell.js'
import type { PlayRequest, Room } from '../state/room.js'
import type { Playable } from '../state/theory-protocol.js'
import { words } from '../words.js'
import { clicksOf, countInOf } from './clicks.js'
import { leadsAfter, rememberedLatency, rememberLatency } from './device.js'
import { heardParts } from './mix.js'
import { MixDesk } from './mix-desk.js'
import { msOfTick, placeAt, samePlace } from './timeline.js'

/** How far ahead of the server's clock a shared start is set: time for the message to reach everybody. */
const START_AHEAD_MS = 600
/** How long a page waits for the plan a transport names before it says that it hears another version. */
const PLAN_WAIT_MS = 4000
/** Further than that from the others one hears it: the page comes in anew. */
const DRIFT_MS = 60
/** How long the clip light stays on after the last time. */
const OVER_SHOWN_MS = 2000
export const TEMPO = { least: 0.4, most: 1.2, step: 0.05 } as const

export interface LoopBars {
  readonly fromTick: number
  readonly toTick: number
  readonly label: string
}
/** A plan made ready at a tempo, with the bars it was made from. */
interface Ready {
  readonly plan: Plan
  readonly tempoScale: number
  readonly playable: Playable
  readonly bars: readonly ArrangedBar[]
  readonly band: Pick<Arrangement, 'lineup' | 'groove' | 'bars'>
}
/** `stopped`, `waiting` for the agreed start, `playing`; `asleep`: others play and this browser waits for a click. */
export type Stage = 'stopped' | 'waiting' | 'playing' | 'asleep'

export class Listening {
  readonly stage = new Cell<Stage>('stopped')
  readonly together = new Cell(true)
  readonly tempoScale = new Cell(1)
  readonly loop = new Cell<LoopBars | undefined>(undefined)
  readonly countInBars = new Cell(0)
  /** Clicks along with the music. */
  readonly click = new Cell(false)
  /** Whether the mix has just been too loud for the limiter to pass unheard. */
  readonly isOver = new Cell(false)
  readonly mix: MixDesk
  readonly masterDb = new Cell<number>(AUDIO.startLevelDb)
  /** Milliseconds into the piece, once a frame while playing. */
  readonly positionMs = new Cell(0)
  readonly totalMs = new Cell(0)
  /** How much later than it should this device lets sound out. */
  readonly deviceMs: Cell<number>
  readonly player = new Player()
  readonly #room: Room
  readonly #leave: (() => void)[] = []
  #ready: Ready | undefined
  #answered: PlayRequest | undefined
  #transport: TransportFrom | undefined
  /** What was started last on this page, shared or alone. */
  #begun: TransportFrom | undefined
  /** The version that sounded last in answer to a decision, and the level it was matched to. */
  #compared: { readonly ready: Ready; readonly matchedDb: number } | undefined
  #stopAtMs: number | undefined
  #frame = 0
  #overUntilMs = 0
  #fromTick = 0
  /** Counts starts and stops: of several asked for while the music is still worked out, the last one counts. */
  #turn = 0
  /** The turn of a request that is being answered. */
  #answering = -1

  /** Counts plans asked for and loaded: of two that overlap the later one stands. */
  #asked = 0
  #loaded = 0
  readonly #storage: NoteStore

  constructor(room: Room, myPart: string | undefined, storage?: NoteStore) {
    this.#room = room
    this.#storage = storage
    this.deviceMs = new Cell(rememberedLatency(storage))
    this.mix = new MixDesk(myPart)
    this.#leave.push(
      room.playRequest.watch((request) => request && void this.#answer(request)),
      room.stopRequest.watch(() => this.stop()),
      room.connection.transport.watch((transport) => transport && void this.#follow(transport)),
      room.settled.watch((plan) => void this.#planChanged(plan)),
      this.mix.watch(() => this.#applyMix()),
      this.masterDb.watch((level) => this.player.mixer.setMaster(level)),
      this.click.watch((isOn) => (this.player.clicks = isOn)),
    )
    document.addEventListener('visibilitychange', this.#onVisible)
    const { playRequest, connection } = room
    if (playRequest.value) void this.#answer(playRequest.value)
    else if (connection.transport.value?.playing) void this.#follow(connection.transport.value)
  }

  close(): void {
    for (const leave of this.#leave) leave()
    document.removeEventListener('visibilitychange', this.#onVisible)
    cancelAnimationFrame(this.#frame)
    this.player.close()
  }

  /** Play from where listening stopped, or stop. A click: the browser lets sound out from here on. */
  async toggle(): Promise<void> {
    const joins = this.stage.value === 'asleep'
    await this.player.wake()
    // Who presses to join may have come in meanwhile, and is not to be stopped by that press.
    if (joins) return this.stage.value === 'asleep' && this.#transport ? this.#follow(this.#transport) : undefined
    if (this.stage.value !== 'stopped') return this.stop()
    const loop = this.loop.value
    return this.#start(loop ? loop.fromTick : this.#fromTick)
  }

  stop(): void {
    const wasShared = this.together.value && this.#transport?.playing
    this.#turn++
    this.#halt()
    if (wasShared && this.#transport) this.#share({ ...this.#transport, playing: false })
  }

  toStart(): void {
    this.#fromTick = 0
    this.positionMs.set(0)
    if (this.#isOn) void this.#start(0)
    else this.#tell(0)
  }

  setDevice(ms: number): void {
    this.deviceMs.set(ms)
    rememberLatency(this.#storage, ms)
  }

  /** Clicks on this device alone, what is made up for now included; returns when each should be heard, by `performance.now()`. */
  async clicks(inMs: number, count: number, beatMs: number): Promise<readonly number[]> {
    if (this.#isOn) this.stop()
    await this.player.wake()
    const first = performance.now() + inMs
    const times = Array.from({ length: count }, (_, index) => first + index * beatMs)
    this.player.click(times.map((at) => at - this.deviceMs.value))
    return times
  }

  setTogether(isTogether: boolean): void {
    this.together.set(isTogether)
    const shared = this.#room.connection.transport.value
    if (isTogether && shared?.playing) void this.#follow(shared)
  }

  setTempo(scale: number): void {
    const next = Math.round(Math.min(TEMPO.most, Math.max(TEMPO.least, scale)) * 100) / 100
    if (next === this.tempoScale.value) return
    this.tempoScale.set(next)
    if (this.#isOn) void this.#start(this.#tickNow())
  }

  setLoop(loop: LoopBars | undefined): void {
    this.loop.set(loop)
    if (!this.#isOn) return
    const now = this.#tickNow()
    const isInside = loop === undefined || (now >= loop.fromTick && now < loop.toTick)
    void this.#start(isInside ? now : loop.fromTick)
  }

  async #answer(request: PlayRequest): Promise<void> {
    if (request === this.#answered) return
    this.#answered = request
    const turn = ++this.#turn
    this.#answering = turn
    await this.player.wake()
    const before = this.#isChangeOver(request) ? this.#ready : undefined
    const tick = this.#tickNow()
    if (request.optionId) await this.#untilTried(request.optionId)
    const fromTick = before ? await this.#placeIn(before, tick, request) : request.fromTick
    if (turn === this.#turn) await this.#start(fromTick, request)
  }

  /** Another option of the decision that is being heard: one compares at the same bar. */
  #isChangeOver({ slotKey, optionId }: PlayRequest): boolean {
    const heard = this.#begun
    return this.#isOn && slotKey !== undefined && heard?.slot === slotKey && heard.optionId !== optionId
  }

  /** The bar of the new version that stands where the old one sounds; outside of what is to be heard, its beginning. */
  async #placeIn(before: Ready, tick: number, { fromTick, toTick }: PlayRequest): Promise<number> {
    const ready = await this.#prepare(this.tempoScale.value)
    if (!ready) return fromTick
    const { barIndex } = placeAt(before.playable, before.bars, msOfTick(before.playable, tick))
    const same = ready.playable.barStartTicks[samePlace(before.bars, ready.bars, barIndex)] ?? fromTick
    return same >= fromTick && same < (toTick ?? Infinity) ? same : fromTick
  }

  /** The option asked for must be in the plan before its bars are played. */
  async #untilTried(optionId: string): Promise<void> {
    const isIn = () => this.#room.plan.value?.chosen.some(({ option }) => option.id === optionId) ?? false
    await until(this.#room.plan, isIn, PLAN_WAIT_MS)
  }

  /** Sounding, or waiting for the agreed start. */
  get #isOn(): boolean {
    return this.stage.value === 'playing' || this.stage.value === 'waiting'
  }

  async #start(fromTick: number, request?: PlayRequest): Promise<void> {
    const turn = ++this.#turn
    const tempoScale = this.tempoScale.value
    const ready = await this.#prepare(tempoScale)
    if (!ready || turn !== this.#turn) return
    const { playable, bars } = ready
    const start = Math.min(fromTick, playable.barStartTicks.at(-1) ?? 0)
    const loop = this.loop.value
    const isLooped = loop && start >= loop.fromTick && start < loop.toTick
    const countMs = this.#countInMs(bars, playable, start)
    const { clock } = this.#room.connection
    const shared: TransportFrom = {
      playing: true,
      startsAt: clock.serverNow() + START_AHEAD_MS + countMs,
      fromTick: start,
      tempoScale,
      planHash: playable.planHash,
      ...(isLooped ? { loop: [loop.fromTick, loop.toTick] as const } : {}),
      ...(request?.slotKey ? { slot: request.slotKey } : {}),
      ...(request?.optionId ? { optionId: request.optionId } : {}),
      by: { userId: this.#room.session.value.userId, name: this.#room.me.name },
    }
    this.#stopAtMs = request?.toTick === undefined ? undefined : msOfTick(playable, request.toTick)
    // Alone, or without a line to the server: the same start on this page only.
    if (!this.together.value || !this.#share(shared)) this.#begin(shared, ready)
  }

  #share({ by: _by, ...transport }: TransportFrom): boolean {
    return this.#room.connection.sendTransport(transport)
  }

  /** What the server says plays, and when it began. */
  async #follow(transport: TransportFrom): Promise<void> {
    this.#transport = transport
    if (!this.together.value) return
    if (!transport.playing) {
      if (this.stage.value !== 'stopped') this.#halt()
      return
    }
    this.tempoScale.set(transport.tempoScale)
    if (transport.by.userId !== this.#room.session.value.userId) this.#stopAtMs = undefined
    const woken = this.player.wake()
    await Promise.race([woken, pause(250)])
    if (!this.player.isAwake) {
      this.stage.set('asleep')
      // A device may only be slow to wake, and a press anywhere may wake it: this page then comes in by itself.
      void woken.then(() => {
        if (this.stage.value === 'asleep' && transport === this.#transport) return this.#follow(transport)
      })
      return
    }
    const isSamePlan = () => this.#room.form.value?.planHash === transport.planHash
    if (!(await until(this.#room.form, isSamePlan, PLAN_WAIT_MS))) this.#room.news.set(words.player.otherVersion)
    const ready = await this.#prepare(transport.tempoScale)
    // Meanwhile this page may have left the others, or they may have gone on.
    if (ready && transport === this.#transport && this.together.value) this.#begin(transport, ready)
  }

  #begin(transport: TransportFrom, ready: Ready): void {
    const { playable, bars } = ready
    const { clock } = this.#room.connection
    const loop = transport.loop
    const countIn = this.#countIn(bars, playable, transport.fromTick)
    this.totalMs.set(playable.totalMs)
    this.player.play(
      {
        atPerformanceMs: clock.localTimeOf(transport.startsAt) - this.deviceMs.value,
        fromMs: msOfTick(playable, transport.fromTick),
        ...(loop ? { loop: { fromMs: msOfTick(playable, loop[0]), toMs: msOfTick(playable, loop[1]) } } : {}),
        ...(countIn ? { countIn } : {}),
      },
      () => this.#ended(),
      () => this.#stopInTime(),
    )
    // reason: a device that cannot measure plays on unmatched.
    this.#matchLevel(transport, ready).catch(() => undefined)
    this.#begun = transport
    this.stage.set('waiting')
    this.#fromTick = transport.fromTick
    cancelAnimationFrame(this.#frame)
    this.#frame = requestAnimationFrame(() => this.#draw())
  }

  /** Another answer to the decision that was heard is brought to its loudness, measured over the same bars; everything else plays as it is. */
  async #matchLevel(transport: TransportFrom, ready: Ready): Promise<void> {
    const before = this.#compared
    const isOther = this.#begun?.slot === transport.slot && this.#begun?.optionId !== transport.optionId
    if (transport.slot === undefined) {
      this.#compared = undefined
      this.player.mixer.setMatch(0)
      return
    }
    if (!before || !isOther) {
      this.#compared = { ready, matchedDb: before && !isOther ? before.matchedDb : 0 }
      this.player.mixer.setMatch(this.#compared.matchedDb)
      return
    }
    const levels = heardParts(ready.band.lineup, this.mix.value)
    const loudness = ({ band, playable }: Ready) =>
      loudnessFrom({ band, events: playable.events, fromMs: msOfTick(playable, transport.fromTick), levels })
    const [first, second] = await Promise.all([loudness(before.ready), loudness(ready)])
    if (this.#begun !== transport) return
    const matchedDb = before.matchedDb + matchDb(first, second)
    this.#compared = { ready, matchedDb }
    this.player.mixer.setMatch(matchedDb)
  }

  /** What I hear as a file, at the tempo set; undefined while there is no tune. */
  async bounce(
    onProgress: (share: number) => void,
    signal: AbortSignal,
    kind: FileKind = 'wav',
  ): Promise<Blob | undefined> {
    const ready = await this.#prepare(this.tempoScale.value)
    if (!ready) return undefined
    const { band, playable } = ready
    const levels = heardParts(band.lineup, this.mix.value)
    return bounce({ band, events: playable.events, levels, onProgress, signal }, kind)
  }

  #draw(): void {
    const ms = this.#heardMs()
    const ready = this.#ready
    if (!this.player.playing || !ready) return
    this.#lookAtLevel()
    if (ms !== undefined) {
      this.stage.set('playing')
      this.positionMs.set(ms)
      this.#tell(ms)
    }
    this.#frame = requestAnimationFrame(() => this.#draw())
  }

  #lookAtLevel(): void {
    const now = performance.now()
    if (this.player.mixer.isOver()) this.#overUntilMs = now + OVER_SHOWN_MS
    const isOver = now < this.#overUntilMs
    if (isOver !== this.isOver.value) this.isOver.set(isOver)
  }

  /** What is heard now: a device that sounds late is that far behind what was handed to it. */
  #heardMs(): number | undefined {
    const ms = this.player.positionMs()
    if (ms === undefined || !this.#ready) return undefined
    const { playable } = this.#ready
    const loop = this.#begun?.loop
    const heard = ms - this.deviceMs.value
    if (!loop) return Math.max(0, heard)
    const [from, to] = [msOfTick(playable, loop[0]), msOfTick(playable, loop[1])]
    return heard < from ? heard + to - from : heard
  }

  /** The end of listening in place comes on time where nothing is drawn, too. */
  #stopInTime(): void {
    const ms = this.player.positionMs()
    if (this.#stopAtMs !== undefined && ms !== undefined && ms >= this.#stopAtMs) this.stop()
  }

  /** A page that slept, with its device or in the background, comes in again where the others are. */
  readonly #onVisible = (): void => {
    const transport = this.#transport
    if (document.visibilityState !== 'visible' || !transport?.playing || !this.together.value || !this.#ready) return
    if (!this.player.isAwake || this.#awayMs(transport, this.#ready) > DRIFT_MS) void this.#follow(transport)
  }

  /** How far this page is from where it should be; a loop is taken as being in place. */
  #awayMs(transport: TransportFrom, { playable }: Ready): number {
    const ms = this.player.positionMs()
    if (ms === undefined || transport.loop) return 0
    const elapsed = this.#room.connection.clock.serverNow() - transport.startsAt + this.deviceMs.value
    return Math.abs(msOfTick(playable, transport.fromTick) + elapsed - ms)
  }

  /** Whether this page takes the others along where the music changes: whoever started it, or once they have left the first of those here. */
  #leads(): boolean {
    if (!this.together.value) return true
    const leader = this.#transport?.by.userId
    const { session, people } = this.#room
    const me = session.value.userId
    return (
      leader === me ||
      leadsAfter(
        leader,
        me,
        people.value.map(({ userId }) => userId),
      )
    )
  }

  /** Tells the page which beat sounds, only when it changes. */
  #tell(ms: number): void {
    const ready = this.#ready
    if (!ready) return
    const { barIndex, beat } = placeAt(ready.playable, ready.bars, ms)
    const isPlaying = this.player.playing
    const known = this.#room.sounding.value
    if (known?.barIndex === barIndex && known.beat === beat && known.isPlaying === isPlaying) return
    this.#room.sounding.set({ barIndex, beat, isPlaying })
  }

  #halt(): void {
    const ms = this.player.positionMs()
    this.player.stop()
    cancelAnimationFrame(this.#frame)
    this.stage.set('stopped')
    this.isOver.set(false)
    this.#stopAtMs = undefined
    if (this.#ready && ms !== undefined) {
      this.#fromTick =
        this.#ready.playable.barStartTicks[placeAt(this.#ready.playable, this.#ready.bars, ms).barIndex] ?? 0
      this.#tell(ms)
    }
    const known = this.#room.sounding.value
    if (known?.isPlaying) this.#room.sounding.set({ ...known, isPlaying: false })
  }

  #ended(): void {
    this.#halt()
    this.#fromTick = 0
  }

  #tickNow(): number {
    const ms = this.player.positionMs()
    if (!this.#ready || ms === undefined) return this.#fromTick
    const { playable, bars } = this.#ready
    return playable.barStartTicks[placeAt(playable, bars, ms).barIndex] ?? 0
  }

  /** Another option or a lock while music plays: whoever leads goes on at the same place of the new version, and takes the others along. */
  async #planChanged(plan: Plan | undefined): Promise<void> {
    const before = this.#ready
    // A request being answered brings its own start.
    if (!before || !plan || plan === before.plan || !this.#isOn || this.#answering === this.#turn) return
    if (!this.#leads()) return
    const { playable, bars } = before
    const { barIndex } = placeAt(playable, bars, msOfTick(playable, this.#tickNow()))
    const ready = await this.#prepare(this.tempoScale.value)
    if (!ready || !this.#isOn || ready.playable.planHash === playable.planHash) return
    await this.#start(ready.playable.barStartTicks[samePlace(bars, ready.bars, barIndex)] ?? 0)
  }

  /** The newest plan, ready to sound. It waits for nothing the page shows of it: a changed chord is heard as soon as it is worked out. */
  async #prepare(tempoScale: number): Promise<Ready | undefined> {
    const plan = this.#room.plan.value
    if (!plan) return undefined
    if (this.#ready?.plan === plan && this.#ready.tempoScale === tempoScale) return this.#ready
    const asked = ++this.#asked
    try {
      const { band, ...playable } = await this.#room.theory.ask('playable', plan, tempoScale)
      const held = this.#ready
      const isHeld = held?.playable.planHash === playable.planHash && held.tempoScale === tempoScale
      if (!isHeld) await this.player.setBand(band)
      // What was asked for later may have come first.
      if (asked < this.#loaded) return this.#ready
      this.#loaded = asked
      // Rows of the ledger that change no music make another plan of the same.
      if (isHeld) return (this.#ready = { ...held, plan })
      this.#ready = { plan, tempoScale, playable, bars: band.bars, band }
      this.player.load([...playable.events, ...clicksOf(playable, band.bars)])
      this.#applyMix()
    } catch (error) {
      this.#room.say(error)
      return undefined
    }
    return this.#ready
  }

  #applyMix(): void {
    for (const part of heardParts(this.#room.plan.value?.lineup ?? [], this.mix.value))
      this.player.mixer.setPart(part.id, part)
  }

  #countInMs(bars: readonly ArrangedBar[], playable: Playable, fromTick: number): number {
    const countIn = this.#countIn(bars, playable, fromTick)
    return countIn?.lengthMs ?? 0
  }

  #countIn(bars: readonly ArrangedBar[], playable: Playable, fromTick: number): CountIn | undefined {
    const bar = bars[placeAt(playable, bars, msOfTick(playable, fromTick)).barIndex]
    return countInOf(bar, this.countInBars.value, this.tempoScale.value)
  }
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))
