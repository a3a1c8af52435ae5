/** What hand edits promise, tried on plans, edits and later changes nobody chose: each edit is to be seen in the arrangement or named in an
 *  issue. Used by the law and, with a larger sample, by the bench. */
import {
  type ArrangedBar,
  type Arrangement,
  type BarRef,
  type Chosen,
  type DecisionKind,
  type HandEdit,
  type Issue,
  type Option,
  type Plan,
  type Tune,
  LINEUPS,
  compile,
  compileForm,
  defaultPlan,
  nameOfBar,
  parseChord,
  pitchClass,
  pitchInKey,
  proposeOptions,
  sameMetre,
  tonicOf,
  transposeChord,
} from '@chartloft/shared-theory'
import { drawn, madeTune } from '../fixtures/made-tunes.js'
import { oddRecipe, tuneFrom } from '../fixtures/odd-tunes.js'
import { writtenTunes } from './fold-laws.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const SYMBOLS = ['Cm7', 'F#7#9', 'Bb13', 'Ebmaj7', 'Dm7b5', 'G7sus', 'Abm6', 'N.C.', 'A/C#']
type Draw = (bound: number) => number

const picked = <T>(list: readonly T[], draw: Draw): T | undefined => list[draw(Math.max(1, list.length))]
const chosen = (option: Option): Chosen => ({ kind: option.kind, option, ...(option.at ? { at: option.at } : {}) })

/** One edit of some kind in a bar as it stands, seen in its key and metre. */
export function editIn(bars: readonly ArrangedBar[], plan: Plan, draw: Draw): HandEdit | undefined {
  const index = draw(bars.length)
  const bar = bars[index]
  const at = nameOfBar(bars, index)
  if (!bar || !at || (index === 0 && bar.lengthTicks * bar.metre.beatType < bar.metre.beats * 20160)) return undefined
  const beat = (4 * 5040) / bar.metre.beatType
  const startTick = draw(2) ? (bar.chords[draw(bar.chords.length)]?.startTick ?? 0) : draw(bar.metre.beats) * beat
  const seen = { at, metre: bar.metre, key: bar.key.key }
  switch (draw(7)) {
    case 0:
    case 1:
    case 2:
      return { kind: 'chord', ...seen, startTick, symbol: picked(SYMBOLS, draw) as string }
    case 3: {
      const notes = Array.from({ length: draw(4) }, (_, place) => {
        const midi = 58 + draw(20)
        return { startTick: place * beat, durationTicks: beat, midi, name: pitchInKey(midi, bar.key) }
      })
      return { kind: 'melody', ...seen, notes: notes.slice(0, bar.metre.beats) }
    }
    case 4:
    case 5: {
      const part = picked(plan.lineup, draw)
      const chord = bar.chords.findLast((placed) => placed.startTick <= startTick)?.chord
      return {
        kind: 'voicing',
        ...seen,
        ...(chord && draw(2) ? { over: chord.symbol } : {}),
        startTick,
        partId: part?.id ?? 'nobody',
        midi: [48 + draw(5), 55 + draw(5), 62 + draw(5)],
      }
    }
    default: {
      if (draw(2)) return { kind: 'bars', at: draw(2) ? 'opening' : 'ending', bars: draw(10) }
      return { kind: 'bars', at: { passId: bar.pass, sectionId: bar.sectionId }, bars: 1 + draw(12) }
    }
  }
}

type Change = readonly [what: string, change: (plan: Plan, draw: Draw) => Plan]

const retuned = (plan: Plan, tune: Tune): Plan => ({ ...plan, tune })
const otherChoice =
  (kind: DecisionKind) =>
  (plan: Plan, draw: Draw): Plan => {
    const rest = plan.chosen.filter((choice) => choice.kind !== kind)
    const option = picked(proposeOptions(plan.tune, kind, plan), draw)
    // What was made on the option stays with it.
    const carried = plan.chosen.find((choice) => choice.kind === kind)?.option.handEdits
    if (!option || draw(5) === 0) return { ...plan, chosen: rest, edits: [...plan.edits, ...(carried ?? [])] }
    return { ...plan, chosen: [...rest, chosen(carried ? { ...option, handEdits: carried } : option)] }
  }

/** A section of the tune a bar longer or shorter. */
function resizedSection({ tune }: Plan, draw: Draw): Tune {
  const place = draw(tune.sections.length)
  const section = tune.sections[place]
  const last = section && tune.bars[section.startBar + section.bars - 1]
  if (!section || !last) return tune
  const by = section.bars > 1 && draw(2) ? -1 : 1
  const end = section.startBar + section.bars
  const bars =
    by > 0
      ? [...tune.bars.slice(0, end), last, ...tune.bars.slice(end)]
      : [...tune.bars.slice(0, end - 1), ...tune.bars.slice(end)]
  return {
    ...tune,
    bars: bars.map((bar, barIndex) => ({ ...bar, barIndex })),
    sections: tune.sections.map((one, index) => ({
      ...one,
      ...(index > place ? { startBar: one.startBar + by } : {}),
      ...(index === place ? { bars: one.bars + by } : {}),
    })),
  }
}

const CHANGES: readonly Change[] = [
  ['nothing', (plan) => plan],
  [
    'a bar of the tune is empty',
    (plan, draw) => {
      const at = draw(plan.tune.bars.length)
      const bars = plan.tune.bars.map((bar, index) => (index === at ? { ...bar, melody: [], chords: [] } : bar))
      return retuned(plan, { ...plan.tune, bars })
    },
  ],
  [
    'another chord in every bar of the tune',
    (plan) => {
      const bars = plan.tune.bars.map((bar) => ({
        ...bar,
        chords: bar.chords.map((placed) => ({ ...placed, chord: transposeChord(placed.chord, '4P') })),
      }))
      return retuned(plan, { ...plan.tune, bars })
    },
  ],
  ['a section longer or shorter', (plan, draw) => retuned(plan, resizedSection(plan, draw))],
  [
    'another key for the band',
    (plan, draw) => {
      const isMinor = plan.tune.key.key.endsWith('minor')
      const tonic = picked(isMinor ? ['C', 'D', 'F#', 'G', 'Bb'] : ['C', 'D', 'Eb', 'F#', 'Gb', 'A', 'B'], draw)
      return { ...plan, key: `${tonic} ${isMinor ? 'minor' : 'major'}` }
    },
  ],
  ...KINDS.map((kind): Change => [`another ${kind}`, otherChoice(kind)]),
  [
    'one pass fewer',
    (plan, draw) => ({ ...plan, roadmap: plan.roadmap.filter((_, at) => at !== draw(plan.roadmap.length)) }),
  ],
  ['passes twice', (plan) => ({ ...plan, roadmap: plan.roadmap.map((pass) => ({ ...pass, times: 2 })) })],
  [
    'a section not played',
    (plan, draw) => ({
      ...plan,
      roadmap: plan.roadmap.map((pass) => ({ ...pass, sections: pass.sections.filter(() => draw(4) > 0) })),
    }),
  ],
  ['another line-up', (plan, draw) => ({ ...plan, lineup: picked(Object.values(LINEUPS), draw) as Plan['lineup'] })],
]

/** Semitones mod 12 from the key an edit was seen in to a bar's. */
const movedBy = (edit: { readonly key?: string }, bar: ArrangedBar): number =>
  edit.key === undefined ? 0 : (pitchClass(tonicOf(bar.key.key)) - pitchClass(tonicOf(edit.key)) + 12) % 12

/** Whether an edit is to be seen: in the bar of the tune it was made in, or, where bars are joined otherwise now, in one that holds it. */
export function isSeen(edit: HandEdit, { bars }: Arrangement, plan: Plan): boolean {
  if (edit.kind === 'bars') return isCounted(edit, bars, plan)
  const own = bars.filter(({ pass, sectionId }) => pass === edit.at.pass && sectionId === edit.at.sectionId)
  return own.some((bar) => {
    const name = nameOfBar(bars, bar.barIndex)
    const isThere =
      edit.at.ofSection === undefined
        ? name?.bar === edit.at.bar
        : sameMetre(bar.metre, edit.metre)
          ? name?.ofSection === edit.at.ofSection
          : holdsSame(edit.at, bar, bars)
    if (!isThere) return false
    const by = movedBy(edit, bar)
    if (edit.kind === 'voicing')
      return edit.midi.every((midi) =>
        (bar.parts[edit.partId] ?? []).some((note) => note.printed !== 'slash' && (note.midi - midi - by) % 12 === 0),
      )
    if (bar.provenance.rule !== 'CO7') return false
    if (edit.kind === 'melody')
      return (
        bar.melody.length === edit.notes.length &&
        bar.melody.every(({ midi }, index) => (midi - (edit.notes[index]?.midi ?? 0) - by) % 12 === 0)
      )
    const read = parseChord(edit.symbol)
    return (
      read.ok &&
      bar.chords.some(
        ({ chord, startTick }) =>
          isItsPlace(edit, startTick, bar, name?.part) && sounds(chord.notes, 0) === sounds(read.value.notes, by),
      )
    )
  })
}

/** The tick it was made at; in another metre anywhere; where the two bars made of a tune bar are one now, in the half that was its bar. */
function isItsPlace(
  { at, metre, startTick }: Extract<HandEdit, { kind: 'chord' }>,
  tick: number,
  bar: ArrangedBar,
  part: number | undefined,
): boolean {
  if (!sameMetre(bar.metre, metre)) return true
  if (at.part === undefined || part !== undefined) return tick === startTick
  return tick * 2 >= bar.lengthTicks === (at.part === 1)
}

const sounds = (notes: readonly string[], by: number): string =>
  notes
    .map((name) => (pitchClass(name) + by) % 12)
    .sort((a, b) => a - b)
    .join()

/** Most bars of the tune that any groove joins into one. */
const MOST_JOINED = 4

/** Whether a bar holds the bar of the tune an edit was made in, or one that was joined to it there. */
function holdsSame({ pass, sectionId, ofSection }: BarRef, bar: ArrangedBar, bars: readonly ArrangedBar[]): boolean {
  const { tuneBar } = bar.provenance
  if (ofSection === undefined || tuneBar === undefined) return false
  const inPass = bars.filter((other) => other.pass === pass && other.sectionId === sectionId)
  const counts = inPass.flatMap(({ provenance }) => provenance.tuneBar ?? [])
  const starts = bars.filter((other) => other.sectionId === sectionId && (other.barIndex > 0 || !isShort(other)))
  const first = tuneBar - Math.min(...starts.flatMap(({ provenance }) => provenance.tuneBar ?? []))
  const next = Math.min(
    first + MOST_JOINED,
    ...counts.filter((other) => other > tuneBar).map((other) => other - tuneBar + first),
  )
  return first < ofSection + MOST_JOINED && next > ofSection
}

const isShort = ({ lengthTicks, metre }: ArrangedBar): boolean => lengthTicks * metre.beatType < metre.beats * 20160

/** A section's bars are counted as the tune counts them: the groove alone, with nothing done by hand, says how many bars one becomes. */
function isCounted(edit: Extract<HandEdit, { kind: 'bars' }>, bars: readonly ArrangedBar[], plan: Plan): boolean {
  if (typeof edit.at === 'string') return bars.filter(({ pass }) => pass === edit.at).length >= edit.bars
  const { passId, sectionId } = edit.at
  const countIn = (list: readonly ArrangedBar[]): number =>
    list.filter((bar) => bar.pass === passId && bar.sectionId === sectionId && (bar.barIndex > 0 || !isShort(bar)))
      .length
  const bare = { ...plan, edits: [], chosen: [] }
  const groove = plan.chosen
    .filter(({ kind }) => kind === 'groove')
    .map((choice) => ({ ...choice, option: withoutEdits(choice.option) }))
  const asGrooved = countIn(compileForm({ ...bare, chosen: groove }).bars)
  const asWritten = countIn(compileForm(bare).bars)
  return countIn(bars) * asWritten === edit.bars * asGrooved
}

const withoutEdits = (option: Option): Option => ({ ...option, handEdits: [] })

/** Edits with the path an issue names them by. */
const pathsOf = (plan: Plan): readonly (readonly [path: string, edit: HandEdit])[] => [
  ...plan.chosen.flatMap(({ option }, index) =>
    (option.handEdits ?? []).map((edit, place) => [`chosen/${index}/option/handEdits/${place}`, edit] as const),
  ),
  ...plan.edits.map((edit, place) => [`edits/${place}`, edit] as const),
]

export function editFaults(plan: Plan): {
  readonly faults: readonly string[]
  readonly seen: number
  readonly named: number
} {
  const { arrangement, issues } = compile(plan)
  const faults: string[] = []
  let seen = 0
  let named = 0
  for (const [path, edit] of pathsOf(plan)) {
    const about = issues.filter((found) => found.path === path)
    if (about.length > 0) {
      named++
      const wordless = about.find((found) => !inWords(found, edit))
      if (wordless) faults.push(`${path}: '${wordless.message}' does not say which bar`)
    } else if (isSeen(edit, arrangement, plan)) seen++
    else faults.push(`${path} is lost: ${JSON.stringify(edit)}`)
  }
  const without = compileForm({
    ...plan,
    edits: plan.edits.filter(({ kind }) => kind === 'bars'),
    chosen: plan.chosen.map((choice) => ({
      ...choice,
      option: { ...choice.option, handEdits: (choice.option.handEdits ?? []).filter(({ kind }) => kind === 'bars') },
    })),
  })
  // Bars no hand has touched are as they were.
  arrangement.bars.forEach((bar, index) => {
    const before = without.bars[index]
    if (bar.provenance.rule === 'CO7' || !before) return
    if (JSON.stringify([bar.chords, bar.melody]) !== JSON.stringify([before.chords, before.melody]))
      faults.push(`bar ${index + 1} has changed though no edit is in it`)
  })
  return { faults, seen, named }
}

const inWords = ({ message }: Issue, edit: HandEdit): boolean =>
  edit.kind === 'bars' ? message.length > 20 : message.includes(`bar ${edit.at.bar + 1}`) && message.length > 20

export interface EditMeasure {
  readonly faults: readonly string[]
  readonly edits: number
  readonly seen: number
  readonly named: number
  readonly byChange: { readonly [what: string]: readonly [seen: number, named: number] }
}

/** `count` plans, each with three to eight edits, before and after one later change; over `tunes` generated tunes of a kind at most. */
export function measureEdits(count: number, seed: number, tunes: number): EditMeasure {
  const written = writtenTunes()
  const draw = drawn(seed)
  const faults: string[] = []
  const byChange: { [what: string]: [number, number] } = {}
  const offers = new Map<string, readonly Option[]>()
  for (let round = 0; round < count; round++) {
    const from = draw(4)
    const which = draw(tunes)
    const tune =
      from === 0 ? tuneFrom(oddRecipe(which)) : from === 1 ? madeTune(which) : (written[which % written.length] as Tune)
    const base = defaultPlan(tune)
    const choices = KINDS.flatMap((kind) => {
      if (draw(2)) return []
      const id = `${from > 1 ? 'written' : from}/${which}/${kind}`
      if (!offers.has(id)) offers.set(id, proposeOptions(tune, kind, base))
      const option = picked(offers.get(id) as readonly Option[], draw)
      return option ? [chosen(option)] : []
    })
    const plan: Plan = {
      ...base,
      chosen: choices,
      ...(draw(2) ? { lineup: LINEUPS['quintet'] as Plan['lineup'] } : {}),
    }
    const { bars } = compileForm(plan)
    const made = Array.from({ length: 3 + draw(6) }, () => editIn(bars, plan, draw)).filter(
      (edit) => edit !== undefined,
    )
    const [first] = plan.chosen
    // Some edits are made on an option and go with it.
    const edited: Plan =
      first && draw(2)
        ? {
            ...plan,
            edits: made.slice(1),
            chosen: [{ ...first, option: { ...first.option, handEdits: made.slice(0, 1) } }, ...plan.chosen.slice(1)],
          }
        : { ...plan, edits: made }
    const [what, change] = CHANGES[draw(CHANGES.length)] as Change
    for (const [when, tried] of [
      ['nothing', edited],
      [what, change(edited, draw)],
    ] as const) {
      const result = editFaults(tried)
      for (const fault of result.faults) faults.push(`round ${round} of seed ${seed}, ${tune.title}, ${when}: ${fault}`)
      const sum = (byChange[when] ??= [0, 0])
      sum[0] += result.seen
      sum[1] += result.named
    }
  }
  const sums = Object.values(byChange)
  const seen = sums.reduce((sum, [one]) => sum + one, 0)
  const named = sums.reduce((sum, [, one]) => sum + one, 0)
  return { faults, edits: seen + named + faults.length, seen, named, byChange }
}
