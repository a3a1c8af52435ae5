/** What is said of two plans once: choices, line-up, running order, and stretches in another key, metre, feel or tempo. */
import {
  type ArrangedBar,
  type Chosen,
  type HandEdit,
  type PartSpec,
  type PassPlan,
  type Plan,
  TICKS_PER_QUARTER,
} from '../contract/index.js'
import { formatMetre, hashOf, mod } from '../units/index.js'
import type { Cell } from './align.js'
import { semitonesBetween } from './bar-differences.js'
import type { Length, WholeChange } from './shape.js'

/** Choices by decision and place, in the order of the side after. */
export function choiceChanges(before: Plan, after: Plan): readonly WholeChange[] {
  const [old, now] = [choicesOf(before), choicesOf(after)]
  const keys = [...new Set([...now.keys(), ...old.keys()])]
  return keys.flatMap((key): readonly WholeChange[] => {
    const [was, is] = [old.get(key), now.get(key)]
    const any = (is ?? was) as Chosen
    if (was && is && hashOf(was.option) === hashOf(is.option)) return []
    const at = any.at ?? any.option.at
    return [
      {
        kind: 'choice',
        decision: any.kind,
        ...(at ? { at } : {}),
        ...(was ? { before: was.option.title } : {}),
        ...(is ? { after: is.option.title } : {}),
        isEdited: was?.option.id === is?.option.id,
      },
    ]
  })
}

function choicesOf({ chosen }: Plan): ReadonlyMap<string, Chosen> {
  return new Map(chosen.map((choice) => [`${choice.kind} ${hashOf(choice.at ?? choice.option.at ?? '')}`, choice]))
}

const partOf = (lineup: readonly PartSpec[], id: string) => lineup.find((part) => part.id === id)
const leadOf = (lineup: readonly PartSpec[]) => lineup.find(({ role }) => role === 'lead')

export function lineupChanges({ lineup: before }: Plan, { lineup: after }: Plan): readonly WholeChange[] {
  const [was, is] = [leadOf(before), leadOf(after)]
  const isOtherLead = was !== undefined && is !== undefined && was.id !== is.id
  const leads = new Set(isOtherLead ? [was.id, is.id] : [])
  return [
    ...after.filter(({ id }) => !partOf(before, id)).map((part): WholeChange => ({ kind: 'part-added', part })),
    ...before.filter(({ id }) => !partOf(after, id)).map((part): WholeChange => ({ kind: 'part-gone', part })),
    ...after.flatMap((part): readonly WholeChange[] => {
      const old = partOf(before, part.id)
      if (!old) return []
      const isSame =
        old.instrument === part.instrument && old.name === part.name && (old.role === part.role || leads.has(part.id))
      return isSame ? [] : [{ kind: 'part-changed', before: old, after: part }]
    }),
    ...(isOtherLead ? [{ kind: 'lead' as const, before: was, after: is }] : []),
  ]
}

/** Voicings set by hand are heard and printed in a part only; chords and melody do not show them. */
export function voicingChanges(before: Plan, after: Plan): readonly WholeChange[] {
  const [old, now] = [voicingsOf(before), voicingsOf(after)]
  const counts = new Map<string, number>()
  for (const place of new Set([...now.keys(), ...old.keys()])) {
    const [was, is] = [old.get(place), now.get(place)]
    const any = is ?? was
    if (any === undefined || hashOf(was?.midi ?? []) === hashOf(is?.midi ?? [])) continue
    counts.set(any.partId, (counts.get(any.partId) ?? 0) + 1)
  }
  return [...counts].map(([partId, places]) => ({ kind: 'voicings', partId, places }))
}

type VoicingEdit = Extract<HandEdit, { kind: 'voicing' }>

function voicingsOf({ edits, chosen }: Plan): ReadonlyMap<string, VoicingEdit> {
  const all = [...chosen.flatMap(({ option }) => option.handEdits ?? []), ...edits]
  return new Map(
    all.flatMap((edit) =>
      edit.kind === 'voicing' ? [[hashOf([edit.at, edit.startTick, edit.partId]), edit] as const] : [],
    ),
  )
}

const barsIn = (bars: readonly ArrangedBar[], id: string): number =>
  bars.filter(({ pass }) => pass.split('#')[0] === id).length
const common = (plan: Plan, other: Plan): readonly string[] =>
  plan.roadmap.filter(({ id }) => passOf(other, id)).map(({ id }) => id)
const passOf = (plan: Plan, id: string) => plan.roadmap.find((pass) => pass.id === id)

/** Passes that came, went, moved, or are played in another way. */
export function passChanges(
  before: Plan,
  after: Plan,
  bars: { readonly before: readonly ArrangedBar[]; readonly after: readonly ArrangedBar[] },
): readonly WholeChange[] {
  const isMoved = common(before, after).join('\n') !== common(after, before).join('\n')
  return [
    ...after.roadmap
      .filter(({ id }) => !passOf(before, id))
      .map((pass): WholeChange => ({ kind: 'pass-added', pass, bars: barsIn(bars.after, pass.id) })),
    ...before.roadmap
      .filter(({ id }) => !passOf(after, id))
      .map((pass): WholeChange => ({ kind: 'pass-gone', pass, bars: barsIn(bars.before, pass.id) })),
    ...(isMoved ? [{ kind: 'pass-order' as const, after: after.roadmap.map(({ id }) => id) }] : []),
    ...after.roadmap.flatMap((pass): readonly WholeChange[] => {
      const old = passOf(before, pass.id)
      return old && hashOf(played(old)) !== hashOf(played(pass))
        ? [{ kind: 'pass-changed', before: old, after: pass }]
        : []
    }),
  ]
}

const played = ({ sections, times, open, soloist, trading, backgrounds, melody, energy }: PassPlan): unknown => [
  sections,
  times ?? 1,
  open ?? false,
  soloist ?? '',
  trading ?? 0,
  backgrounds ?? false,
  melody ?? '',
  energy ?? -1,
]

export function lengthChange(before: readonly ArrangedBar[], after: readonly ArrangedBar[]): readonly WholeChange[] {
  const [old, now] = [lengthOf(before), lengthOf(after)]
  return old.bars === now.bars && Math.round(old.seconds) === Math.round(now.seconds)
    ? []
    : [{ kind: 'length', before: old, after: now }]
}

function lengthOf(bars: readonly ArrangedBar[]): Length {
  const seconds = bars.map(({ lengthTicks, tempoBpm, tempoEndBpm = tempoBpm }) => {
    // Seconds a beat of a tempo that changes evenly in ticks, by Simpson's rule.
    const [start, end] = [60 / tempoBpm, 60 / tempoEndBpm]
    const beat = (start + 480 / (tempoBpm + tempoEndBpm) + end) / 6
    return (lengthTicks / TICKS_PER_QUARTER) * beat
  })
  return { bars: bars.length, seconds: seconds.reduce((sum, one) => sum + one, 0) }
}

/** Stretches of counterparts in another key, metre, feel or tempo, each told once. */
export function stretchChanges(
  cells: readonly Cell[],
  before: readonly ArrangedBar[],
  after: readonly ArrangedBar[],
): readonly WholeChange[] {
  const pairs = cells.flatMap((cell) => {
    const [old, now] = [before[cell.before[0] ?? -1], after[cell.after[0] ?? -1]]
    return old && now ? [{ cell, old, now }] : []
  })
  type Pair = (typeof pairs)[number]
  const runs = (valueOf: (bar: ArrangedBar) => string | number, isTold: (pair: Pair) => boolean = () => true) => {
    const told = pairs.filter(isTold)
    const nameOf = ({ old, now }: Pair) => `${valueOf(old)}\n${valueOf(now)}`
    const found: { first: Pair; last: Pair; count: number }[] = []
    for (const [index, pair] of told.entries()) {
      const open = found.at(-1)
      const previous = told[index - 1]
      if (open && previous && nameOf(previous) === nameOf(pair)) {
        open.last = pair
        open.count++
      } else found.push({ first: pair, last: pair, count: 1 })
    }
    return found
      .filter(({ first }) => valueOf(first.old) !== valueOf(first.now))
      .map(({ first, last, count }) => ({
        first,
        from: first.cell.after[0] as number,
        to: (last.cell.after.at(-1) as number) + 1,
        isAll: count === told.length,
      }))
  }
  const keys = runs(({ key }) => `${key.key} ${key.mode}`)
  return [
    ...keys.map(({ first, ...stretch }): WholeChange => ({
      kind: 'key',
      before: first.old.key.key,
      after: first.now.key.key,
      semitones: movedBy(pairs.slice(pairs.indexOf(first)), first.old, first.now),
      ...stretch,
    })),
    ...runs(({ metre }) => formatMetre(metre)).map(({ first, ...stretch }): WholeChange => ({
      kind: 'metre',
      before: formatMetre(first.old.metre),
      after: formatMetre(first.now.metre),
      ...stretch,
    })),
    ...runs(({ feel }) => feel).map(({ first, ...stretch }): WholeChange => ({
      kind: 'feel',
      before: first.old.feel,
      after: first.now.feel,
      ...stretch,
    })),
    ...runs(
      ({ tempoBpm }) => Math.round(tempoBpm),
      // Inside a ritardando every bar has its own.
      ({ old, now }) => old.tempoEndBpm === undefined && now.tempoEndBpm === undefined,
    ).map(({ first, ...stretch }): WholeChange => ({
      kind: 'tempo',
      before: Math.round(first.old.tempoBpm),
      after: Math.round(first.now.tempoBpm),
      ...stretch,
    })),
  ]
}

/** Semitones up or down, as the melody goes; the short way where there is none. */
function movedBy(
  pairs: readonly { readonly old: ArrangedBar; readonly now: ArrangedBar }[],
  first: ArrangedBar,
  now: ArrangedBar,
): number {
  const by = semitonesBetween(first.key, now.key)
  for (const pair of pairs) {
    const [note, other] = [pair.old.melody[0], pair.now.melody[0]]
    if (!note || !other) continue
    const moved = other.midi - note.midi
    if (mod(moved - by, 12) === 0) return moved
  }
  return by
}
