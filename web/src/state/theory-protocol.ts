/** What the page asks the music worker, and what it gets back: the calls' names, arguments and answers. */
import type {
  ArrangedBar,
  Arrangement,
  Chord,
  Comparison,
  DecisionKind,
  EngravedChart,
  ExcerptStep,
  FileContents,
  FormReading,
  Issue,
  KeyFit,
  Mode,
  Option,
  Plan,
  PlayEvent,
  ReadOptions,
  Result,
  SectionRef,
  Slot,
  Tune,
  TuneMend,
  Wish,
} from '@chartloft/shared-theory'
import type { Excerpt } from './excerpt.js'

/** What can be brought from outside. */
export type FileFormat = 'abc' | 'musicxml' | 'midi'

/** Form, chords and melody: what the board shows. */
export interface Form {
  readonly planHash: string
  readonly bars: readonly ArrangedBar[]
  readonly groove: string
  /** As printed: 'Medium swing'. */
  readonly grooveName: string
  readonly issues: readonly Issue[]
  /** Default places of the decisions asked per place. */
  readonly places: { readonly [kind in DecisionKind]?: SectionRef }
  /** Lowest and highest melody note of the whole piece: one pitch scale for every outline. */
  readonly range?: readonly [lowMidi: number, highMidi: number]
}

export interface TuneReading {
  readonly tune: Tune
  readonly form: FormReading
  readonly keys: readonly { readonly key: string; readonly confidence: number }[]
  readonly range?: { readonly lowMidi: number; readonly highMidi: number; readonly highBars: readonly number[] }
  readonly issues: readonly Issue[]
}

export interface DeskOption {
  readonly option: Option
  readonly excerpt: Excerpt
  /** A groove that changes the bars: the first bars of the tune as they are and as they become. */
  readonly rebarred?: readonly ExcerptStep[]
  /** Issues this choice brings that were not there without it. */
  readonly issues: readonly Issue[]
}

/** A plan made ready to sound: its notes, and where each bar begins in ticks and in milliseconds at this tempo. */
export interface Playable {
  readonly planHash: string
  readonly events: readonly PlayEvent[]
  readonly barStartTicks: readonly number[]
  readonly barStartMs: readonly number[]
  readonly totalMs: number
}

/** With it, who plays and the bars with their parts: what a mixer is set up by. */
export interface PlayableBand extends Playable {
  readonly band: Pick<Arrangement, 'lineup' | 'groove' | 'bars'>
}

export interface Calls {
  read(format: FileFormat, data: string | Uint8Array, options?: ReadOptions): Result<TuneReading>
  /** Tunes of an ABC file, lines of a MIDI file, parts of a MusicXML score. */
  contents(format: FileFormat, data: string | Uint8Array): Result<FileContents>
  mend(tune: Tune, mend: TuneMend): Result<TuneReading>
  /** Other bars with the same music in the same place of a section of that name. */
  twins(tune: Tune, bar: number): readonly number[]
  /** A bar's melody as letters, to be put right. */
  melodyText(tune: Tune, bar: number): string
  /** One staff with chord symbols, for our engraver. */
  sheet(tune: Tune): string
  hear(
    tune: Tune,
    how: { readonly isMelodyOnly: boolean },
  ): {
    readonly arrangement: Arrangement
    readonly events: readonly PlayEvent[]
    readonly barStartMs: readonly number[]
  }
  tuneFile(tune: Tune): string
  /** A key of a keyboard as the letter to type; `before` is the text up to there. */
  typedNote(midi: number, tonic: string, mode: Mode, before: string): string
  form(plan: Plan): Form
  options(
    plan: Plan,
    slot: Slot,
    wish?: Wish,
  ): {
    readonly options: readonly Option[]
    readonly absent: readonly { readonly recipe: string; readonly why: string }[]
  }
  excerpt(plan: Plan, slot: Slot, option: Option): DeskOption
  /** What the validator has against an option's hand edits that it had not against the option as proposed. */
  check(plan: Plan, slot: Slot, option: Option): readonly Issue[]
  /** What the second plan has that the first has not, for the whole and bar by bar. */
  compare(before: Plan, after: Plan): Comparison
  compile(plan: Plan): {
    readonly planHash: string
    readonly arrangement: Arrangement
    readonly issues: readonly Issue[]
  }
  schedule(
    plan: Plan,
    options?: { readonly tempoScale?: number; readonly parts?: readonly string[] },
  ): readonly PlayEvent[]
  playable(plan: Plan, tempoScale: number): PlayableBand
  scheduleArrangement(arrangement: Arrangement): readonly PlayEvent[]
  musicXml(
    plan: Plan,
    options?: {
      readonly part?: string
      readonly pitch?: 'written' | 'concert'
      readonly folded?: boolean
    },
  ): string
  /** For our engraver, not for a file. */
  chart(
    plan: Plan,
    options?: {
      readonly part?: string
      readonly pitch?: 'written' | 'concert'
      readonly folded?: boolean
      readonly barsALine?: number
    },
  ): EngravedChart
  midi(plan: Plan, options?: { readonly parts?: readonly string[] }): Uint8Array
  abc(plan: Plan, options?: { readonly part?: string }): string
  chord(text: string): Result<Chord>
  keys(plan: Plan, lowMidi: number, highMidi: number): readonly KeyFit[]
  hash(plan: Plan): string
}

export type Ask = {
  [K in keyof Calls]: { readonly id: number; readonly call: K; readonly args: Parameters<Calls[K]> }
}[keyof Calls]
export type Told =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly message: string }
