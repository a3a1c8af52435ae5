/** The same music at several lengths, and what is done with it. */
import {
  type Arrangement,
  type DecisionKind,
  type Plan,
  type Tune,
  compile,
  compileForm,
  comparePlans,
  defaultPlan,
  fold,
  proposeOptions,
  scheduleEvents,
  validate,
  writeMidi,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { madeTune } from '../../fixtures/made-tunes.js'

/** Sixteen bars of 4/4, `times` times on end, each time with sections of its own. */
export function longTune(times: number): Tune {
  const one = madeTune(0)
  const bars = Array.from({ length: times }, () => one.bars)
    .flat()
    .map((bar, barIndex) => ({ ...bar, barIndex, writtenBar: barIndex }))
  const sections = Array.from({ length: times }, (_, time) =>
    one.sections.map((section) => ({
      ...section,
      id: `${section.letter}${time + 1}`,
      startBar: section.startBar + time * one.bars.length,
    })),
  ).flat()
  return { ...one, bars, sections }
}

export interface Song {
  readonly tune: Tune
  readonly plan: Plan
  readonly arrangement: Arrangement
}

export function songOf(times: number): Song {
  const tune = longTune(times)
  const plan = defaultPlan(tune)
  return { tune, plan, arrangement: compile(plan).arrangement }
}

const propose =
  (kind: DecisionKind) =>
  ({ tune, plan }: Song): void => {
    proposeOptions(tune, kind, plan)
  }

/** What is done with a whole song, by what it is called. */
export const DONE_WITH_A_SONG: { readonly [what: string]: (song: Song) => void } = {
  'compiling form, chords and melody': ({ plan }) => void compileForm(plan),
  'compiling every part': ({ plan }) => void compile(plan),
  'checking an arrangement': ({ arrangement }) => void validate(arrangement),
  'folding for the charts': ({ arrangement }) => void fold(arrangement),
  'events to play': ({ arrangement }) => void scheduleEvents(arrangement),
  'writing MusicXML': ({ arrangement }) => void writeMusicXml(arrangement),
  'writing MIDI': ({ arrangement }) => void writeMidi(arrangement),
  'comparing two versions': ({ plan }) => void comparePlans(plan, { ...plan, roadmap: plan.roadmap.slice(0, -1) }),
  'proposing grooves': propose('groove'),
  'proposing harmony': propose('harmony'),
  'proposing lifts': propose('lift'),
  'proposing endings': propose('ending'),
}
