/** A section of the tune that the running order does not play, as bars in the key, metre, groove and tempo of a place in the music. */
import type { ArrangedBar, ArrangedNote, Plan, Section, Tune, TuneBar } from '../contract/index.js'
import { chord as parsed } from '../chords/index.js'
import { rebarOrWhy } from '../rhythm/index.js'
import { soundingChords } from '../tune/index.js'
import { defaultGroups, mod, pitchClass, sameMetre, tonicOf } from '../units/index.js'
import { filled, wholeBar } from './bars.js'
import { movedBar } from './lift/move.js'

export interface SectionAsked {
  readonly tune: Tune
  readonly plan: Plan
  readonly section: Section
  /** The bar whose key, metre, groups, groove and tempo the section takes. */
  readonly like: ArrangedBar
  /** What it is called there: 'opening' or 'ending'. */
  readonly name: 'opening' | 'ending'
}

/** The section's bars with their melody, all full but for a pickup that leads into it; a sentence where its metre leads nowhere. */
export function sectionBars(asked: SectionAsked): readonly ArrangedBar[] | string {
  const { tune, plan, section, like } = asked
  const start = section.startBar === 1 && tune.pickupTicks > 0 ? 0 : section.startBar
  const chords = soundingChords(tune)
  const written = tune.bars
    .slice(start, section.startBar + section.bars)
    .map((bar): ArrangedBar => writtenBar(bar, chords[bar.barIndex] ?? [], asked))
    .map((bar, index) => (index === 0 && start === 0 && tune.pickupTicks > 0 ? bar : wholeBar(bar)))
  const semitones = shiftOf(like, tune)
  const moved = semitones === 0 ? written : written.map((bar) => movedBar(bar, semitones))
  if (moved.every(({ metre }) => sameMetre(metre, like.metre))) return moved
  const maps = plan.chosen.findLast(({ kind }) => kind === 'groove')?.option.params['maps']
  const mapIds = Array.isArray(maps) ? maps.map(String) : undefined
  const answer = rebarOrWhy(moved, { metre: like.metre, groups: like.groups }, mapIds)
  if (!('why' in answer)) return answer.bars
  return `Section ${section.id} can't be played in ${like.metre.beats}/${like.metre.beatType}: ${answer.why}.`
}

function writtenBar(bar: TuneBar, chords: ArrangedBar['chords'], { like, name }: SectionAsked): ArrangedBar {
  const first = chords[0]
  const tiled = first?.startTick === 0 ? chords : [{ startTick: 0, durationTicks: 0, chord: parsed('N.C.') }, ...chords]
  return {
    barIndex: 0,
    sectionId: name,
    pass: name,
    metre: bar.metre,
    groups: sameMetre(bar.metre, like.metre) ? like.groups : defaultGroups(bar.metre),
    lengthTicks: bar.lengthTicks,
    key: bar.key,
    tempoBpm: like.tempoBpm,
    feel: like.feel,
    chords: filled(tiled, bar.lengthTicks),
    melody: bar.melody.map((note, index): ArrangedNote => ({ ...note, source: { bar: bar.barIndex, index } })),
    parts: {},
    provenance: { decision: 'tune', rule: '', tuneBar: bar.barIndex },
  }
}

/** Semitones from the tune to the music around `like`, the short way: by a note both have, else by their keys. */
function shiftOf(like: ArrangedBar, tune: Tune): number {
  for (const note of like.melody) {
    const own = note.source && tune.bars[note.source.bar]?.melody[note.source.index]
    if (own) return note.midi - own.midi
  }
  const from = tune.bars[like.provenance.tuneBar ?? 0]?.key ?? tune.key
  const up = mod(pitchClass(tonicOf(like.key.key)) - pitchClass(tonicOf(from.key)), 12)
  return up > 6 ? up - 12 : up
}
