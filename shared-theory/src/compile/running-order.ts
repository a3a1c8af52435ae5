/** The tune's bars in playing order: passes, repetitions, pickups, before any decision acts. */
import type {
  ArrangedBar,
  ArrangedNote,
  Issue,
  PassPlan,
  PlacedChord,
  Plan,
  Section,
  Tune,
  TuneBar,
} from '../contract/index.js'
import { movedBar, wholeBar, withLeadIn } from '../decisions/index.js'
import {
  LIMITS,
  barTicks,
  defaultGroups,
  issue,
  keySignature,
  keySignatureOf,
  mod,
  parseKey,
  pitchClass,
  tonicOf,
} from '../units/index.js'
import { tiledChords } from './tiled-chords.js'

export interface RunningOrder {
  readonly bars: readonly ArrangedBar[]
  readonly issues: readonly Issue[]
}

interface Frame {
  readonly tempoBpm: number
  readonly feel: string
}

/** Linear bars as written, in the key asked for; parts are empty. Solo passes carry chords and no melody. */
export function runningOrder(plan: Plan, frame: Frame): RunningOrder {
  const issues: Issue[] = []
  const { tune } = plan
  const chords = tiledChords(tune.bars)
  const bars: ArrangedBar[] = []
  plan.roadmap.forEach((pass, passIndex) => {
    const times = timesOf(pass, passIndex, issues)
    for (let time = 1; time <= times && bars.length <= LIMITS.arrangementBars; time++) {
      const passId = time === 1 ? pass.id : `${pass.id}#${time}`
      for (const section of sectionsOf(tune, pass, passIndex, issues)) {
        for (let index = section.startBar; index < section.startBar + section.bars; index++) {
          const bar = tune.bars[index]
          if (!bar) continue
          if (index === section.startBar) leadIn(bars, tune, chords, section, pass, passId, frame)
          bars.push(playedBar(bar, chords[index] as readonly PlacedChord[], { section, passId, pass, frame }))
        }
      }
    }
  })
  if (bars.length > LIMITS.arrangementBars) {
    const text = `The running order is longer than ${LIMITS.arrangementBars} bars; what comes after is not arranged. Play fewer choruses.`
    issues.push(issue('CO2', 'error', 'roadmap', text))
    bars.length = LIMITS.arrangementBars
  }
  if (bars.length === 0)
    issues.push(
      issue('CO3', 'error', 'roadmap', 'The running order has no bars. Add a pass with at least one section.'),
    )
  return { bars: inKey(wholeBars(bars), plan, issues), issues }
}

function timesOf(pass: PassPlan, passIndex: number, issues: Issue[]): number {
  const times = pass.times ?? 1
  if (Number.isInteger(times) && times >= 1 && times <= LIMITS.passTimes) return times
  const text = `Pass '${pass.id}' is to be played ${String(times)} times; between 1 and ${LIMITS.passTimes} works. It is played once.`
  if (!issues.some((known) => known.message === text))
    issues.push(issue('CO4', 'error', `roadmap/${passIndex}/times`, text))
  return 1
}

function sectionsOf(tune: Tune, pass: PassPlan, passIndex: number, issues: Issue[]): readonly Section[] {
  return pass.sections.flatMap((id, place) => {
    const section = tune.sections.find((known) => known.id === id)
    if (section) return [section]
    const text = `Pass '${pass.id}' names section '${id}', which the tune doesn't have (it has ${tune.sections.map((known) => known.id).join(', ')}).`
    if (!issues.some((known) => known.message === text))
      issues.push(issue('CO5', 'error', `roadmap/${passIndex}/sections/${place}`, text))
    return []
  })
}

interface Played {
  readonly section: Section
  readonly passId: string
  readonly pass: PassPlan
  readonly frame: Frame
}

function playedBar(
  bar: TuneBar,
  chords: readonly PlacedChord[],
  { section, passId, pass, frame }: Played,
): ArrangedBar {
  const isFirstOfOpen = pass.open === true && bar.barIndex === section.startBar && section.id === pass.sections[0]
  return {
    barIndex: 0,
    sectionId: section.id,
    pass: passId,
    metre: bar.metre,
    groups: defaultGroups(bar.metre),
    lengthTicks: bar.lengthTicks,
    key: bar.key,
    tempoBpm: frame.tempoBpm,
    feel: frame.feel,
    chords,
    melody:
      pass.kind === 'solo'
        ? []
        : bar.melody.map((note, index): ArrangedNote => ({ ...note, source: { bar: bar.barIndex, index } })),
    parts: {},
    ...(isFirstOfOpen ? { mark: 'on cue' } : {}),
    provenance: { decision: 'tune', rule: 'CO1', tuneBar: bar.barIndex },
  }
}

/** The pickup before the section it leads into: a short bar at the very start, later the end of the bar before. */
function leadIn(
  bars: ArrangedBar[],
  tune: Tune,
  chords: readonly (readonly PlacedChord[])[],
  section: Section,
  pass: PassPlan,
  passId: string,
  frame: Frame,
): void {
  const pickup = tune.bars[0]
  if (tune.pickupTicks <= 0 || section.startBar !== 1 || !pickup) return
  const before = bars[bars.length - 1]
  if (!before) {
    bars.push(playedBar(pickup, chords[0] as readonly PlacedChord[], { section, passId, pass, frame }))
    return
  }
  if (pass.kind === 'solo') return
  bars[bars.length - 1] = withLeadIn(before, pickup)
}

/** Bars in the middle are full: a short closing bar that another pass follows takes its missing beats back. */
function wholeBars(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const hasPickup = bars[0] !== undefined && bars[0].lengthTicks < barTicks(bars[0].metre)
  return bars.map((bar, index) => {
    if (index === 0 && hasPickup) return bar
    return index === bars.length - 1 && hasPickup ? bar : wholeBar(bar)
  })
}

/** The whole tune in the sounding key asked for, the short way up or down. */
function inKey(bars: readonly ArrangedBar[], plan: Plan, issues: Issue[]): readonly ArrangedBar[] {
  const asked = plan.key
  if (asked === undefined || asked === plan.tune.key.key) return bars
  const parsed = parseKey(asked)
  if (!parsed || !keySignature(parsed.tonic, parsed.mode) || parsed.mode !== parseKey(plan.tune.key.key)?.mode) {
    const text = `'${asked}' is no key for a tune in ${plan.tune.key.key}; give a tonic and the same mode, such as 'Bb ${parseKey(plan.tune.key.key)?.mode ?? 'major'}'.`
    issues.push(issue('CO6', 'error', 'key', text))
    return bars
  }
  const up = mod(pitchClass(parsed.tonic) - pitchClass(tonicOf(plan.tune.key.key)), 12)
  const semitones = up > 6 ? up - 12 : up
  // At six accidentals each the asked spelling wins.
  const wanted = keySignatureOf(asked)
  const prefer = wanted.fifths > 0 ? 'sharps' : 'flats'
  const moved = bars.map((bar) => movedBar(bar, semitones, { prefer }))
  return moved.map((bar) =>
    bar.key.key !== asked && bar.key.fifths + 12 === wanted.fifths ? { ...bar, key: wanted } : bar,
  )
}
