/** The music worker: every pure function of the theory package that is too heavy for the page's own thread. */
import {
  type ArrangedBar,
  barsBefore,
  comparePlans,
  compile,
  compileForm,
  defaultPlace,
  explainAbsent,
  findForm,
  findGroove,
  type Issue,
  keysForRange,
  listContents,
  melodyRange,
  melodyText,
  mendTune,
  parseChord,
  type Plan,
  planHash,
  proposeOptions,
  rankKeys,
  readTune,
  rebarExcerpt,
  scheduleEvents,
  type Slot,
  tempoMap,
  type Tune,
  twinBars,
  validate,
  writeAbc,
  writeChart,
  writeMidi,
  writeMusicXml,
  writeTuneFile,
} from '@chartloft/shared-theory'
import { withChoice, withoutChoice } from './choices.js'
import { excerptOf } from './excerpt.js'
import { heardTune, sheetOf } from './tune-sheet.js'
import { typedNote } from './typed-note.js'
import type { Ask, Calls, Form, Told, TuneReading } from './theory-protocol.js'

const calls: Calls = {
  read(format, data, options = {}) {
    const read = readTune(format, data, options)
    return read.ok ? { ok: true, value: reading(read.value) } : read
  },
  contents: (format, data) => listContents(format, data),
  mend(tune, mend) {
    const mended = mendTune(tune, mend)
    if (!mended.ok) return mended
    return { ok: true, value: reading(mended.value), ...(mended.issues ? { issues: mended.issues } : {}) }
  },
  twins: (tune, bar) => twinBars(tune, bar),
  melodyText(tune, bar) {
    const own = tune.bars[bar]
    return own ? melodyText(own) : ''
  },
  sheet: (tune) => writeMusicXml(sheetOf(tune), { engraving: true }),
  hear(tune, how) {
    const arrangement = heardTune(tune, how)
    const map = tempoMap(arrangement)
    return {
      arrangement,
      events: scheduleEvents(arrangement),
      barStartMs: map.barStartTicks.map((tick) => map.msAt(tick)),
    }
  },
  tuneFile: (tune) => writeTuneFile(tune),
  typedNote: (midi, tonic, mode, before) => typedNote(midi, tonic, mode, before),
  form: (plan) => remembered(`form:${planHash(plan)}`, () => form(plan)),
  options(plan, slot, wish = {}) {
    const without = withoutChoice(plan, slot)
    return remembered(`options:${planHash(without)}:${JSON.stringify([slot, wish])}`, () => ({
      options: proposeOptions(plan.tune, slot.decision, without, slot.at, wish),
      absent: explainAbsent(plan.tune, slot.decision, without, slot.at, wish),
    }))
  },
  excerpt(plan, slot, option) {
    const before = calls.form(withoutChoice(plan, slot))
    const after = compileForm(withChoice(plan, slot, option))
    const known = new Set(before.issues.map(sayIssue))
    const steps = slot.decision === 'groove' ? rebarExcerpt(barsBefore(plan, 'groove'), option) : []
    return {
      option,
      ...(steps.some((step) => step.words !== undefined) ? { rebarred: steps } : {}),
      excerpt: excerptOf(slot.decision, before.bars, after.bars, homeBar(after.bars, slot)),
      issues: after.issues.filter((issue) => !known.has(sayIssue(issue))),
    }
  },
  check(plan, slot, option) {
    const { handEdits: _edits, ...proposed } = option
    const known = new Set(calls.compile(withChoice(plan, slot, proposed)).issues.map(sayIssue))
    return calls.compile(withChoice(plan, slot, option)).issues.filter((issue) => !known.has(sayIssue(issue)))
  },
  compare: (before, after) =>
    remembered(`compare:${planHash(before)}:${planHash(after)}`, () => comparePlans(before, after)),
  compile: (plan) =>
    remembered(`compile:${planHash(plan)}`, () => {
      const { planHash: hash, arrangement, issues } = arranged(plan)
      return { planHash: hash, arrangement, issues: [...issues, ...validate(arrangement, { plan })] }
    }),
  schedule: (plan, options) =>
    scheduleEvents(arranged(plan).arrangement, {
      ...(options?.tempoScale === undefined ? {} : { tempoScale: options.tempoScale }),
      ...(options?.parts === undefined ? {} : { parts: [...options.parts] }),
    }),
  playable(plan, tempoScale) {
    const { planHash: hash, arrangement } = arranged(plan)
    const map = tempoMap(arrangement, tempoScale)
    return {
      planHash: hash,
      events: scheduleEvents(arrangement, { tempoScale }),
      barStartTicks: map.barStartTicks,
      barStartMs: map.barStartTicks.map((tick) => map.msAt(tick)),
      totalMs: map.totalMs,
      band: { lineup: arrangement.lineup, groove: arrangement.groove, bars: arrangement.bars },
    }
  },
  scheduleArrangement: (arrangement) => scheduleEvents(arrangement),
  musicXml: (plan, options) => writeMusicXml(arranged(plan).arrangement, options ?? {}),
  chart: (plan, options) => writeChart(arranged(plan).arrangement, options ?? {}),
  midi: (plan, options) => writeMidi(arranged(plan).arrangement, options?.parts ? { parts: [...options.parts] } : {}),
  abc: (plan, options) => writeAbc(arranged(plan).arrangement, options ?? {}),
  chord: (text) => parseChord(text),
  keys: (plan, lowMidi, highMidi) => keysForRange(plan.tune, plan, [lowMidi, highMidi]),
  hash: (plan) => planHash(plan),
}

/** The last results by plan: going back and forth between two options compiles neither twice. */
const REMEMBERED = 24
const memory = new Map<string, unknown>()
function remembered<T>(key: string, compute: () => T): T {
  const held = memory.get(key)
  if (held !== undefined) {
    memory.delete(key)
    memory.set(key, held)
    return held as T
  }
  const value = compute()
  memory.set(key, value)
  const oldest = memory.keys().next()
  if (memory.size > REMEMBERED && !oldest.done) memory.delete(oldest.value)
  return value
}

/** What is played and written needs no verdict of the rules: a chord changed while the band plays must not wait for it. */
const arranged = (plan: Plan) =>
  remembered(`arranged:${planHash(plan)}`, () => ({ planHash: planHash(plan), ...compile(plan) }))

function form(plan: Plan): Form {
  const { bars, groove, issues } = compileForm(plan)
  const pitches = bars.flatMap((bar) => bar.melody.map((note) => note.midi))
  const harmony = defaultPlace(plan.tune, 'harmony', plan)
  const lift = defaultPlace(plan.tune, 'lift', plan)
  return {
    planHash: planHash(plan),
    bars,
    groove,
    grooveName: findGroove(groove)?.name ?? groove,
    issues,
    places: { ...(harmony ? { harmony } : {}), ...(lift ? { lift } : {}) },
    ...(pitches.length > 0
      ? { range: [pitches.reduce((a, b) => Math.min(a, b)), pitches.reduce((a, b) => Math.max(a, b))] as const }
      : {}),
  }
}

function reading(tune: Tune): TuneReading {
  let at = 0
  const notes = tune.bars.flatMap((bar) => {
    const start = at
    at += bar.lengthTicks
    return bar.melody.map((note) => ({
      midi: note.midi,
      durationTicks: note.durationTicks,
      startTick: start + note.startTick,
    }))
  })
  const range = melodyRange(tune)
  return {
    tune,
    form: findForm(tune),
    keys: rankKeys(notes)
      .slice(0, 3)
      .map(({ key, confidence }) => ({ key, confidence })),
    ...(range ? { range } : {}),
    issues: tune.source.issues,
  }
}

/** The bar where a decision acts: the first of its place, of the first chorus, or the last one. */
function homeBar(bars: readonly ArrangedBar[], { decision, at }: Slot): number {
  if (decision === 'ending') return Math.max(0, bars.length - 1)
  const found = bars.findIndex((bar) =>
    at
      ? bar.pass.split('#')[0] === at.passId && (at.sectionId === undefined || bar.sectionId === at.sectionId)
      : decision === 'opening' || bar.pass !== 'opening',
  )
  return Math.max(0, found) + (at?.fromBar ?? 0)
}

const sayIssue = (issue: Issue): string => `${issue.code} ${issue.message}`

/** The worker's own scope, seen as what is used of it. */
const scope = globalThis as unknown as {
  onmessage: ((event: MessageEvent<Ask>) => void) | null
  postMessage(told: Told): void
}
scope.onmessage = ({ data: { id, call, args } }) => {
  try {
    const value = (calls[call] as (...given: readonly unknown[]) => unknown)(...args)
    scope.postMessage({ id, ok: true, value })
  } catch (error) {
    scope.postMessage({ id, ok: false, message: error instanceof Error ? error.message : String(error) })
  }
}

// Says that it has come up, in answer to nothing.
scope.postMessage({ id: 0, ok: true, value: undefined } satisfies Told)
