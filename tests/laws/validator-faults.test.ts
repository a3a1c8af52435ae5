/** Faults put at random into clean compiled music: each is found in its own bar and family. Prints its seed and figures. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  type Issue,
  LINEUPS,
  type PartNote,
  compile,
  defaultPlan,
  fold,
  midiOfName,
  parsePitch,
  pitchInKey,
  proposeOptions,
  readTune,
  validate,
} from '@chartloft/shared-theory'
import { lanternArrangement } from '../fixtures/lantern-band.js'

const SEED = 20
const ROUNDS = 1200

/** mulberry32, so that a failure can be run again. */
function chance(seed: number): (bound: number) => number {
  let state = seed >>> 0
  return (bound) => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) % bound
  }
}

interface Fault {
  readonly family: string
  /** The bar with the fault, or undefined where it cannot be put there. */
  readonly put: (
    bar: ArrangedBar,
    random: (bound: number) => number,
    music: Arrangement,
    index: number,
  ) => ArrangedBar | undefined
}

const horns = (music: Arrangement): readonly string[] =>
  music.lineup.filter(({ role }) => role === 'lead' || role === 'horn').map(({ id }) => id)
const changeMelody = (
  bar: ArrangedBar,
  place: number,
  change: Partial<ArrangedBar['melody'][number]>,
): ArrangedBar => ({
  ...bar,
  melody: bar.melody.map((note, index) => (index === place ? { ...note, ...change } : note)),
})
const withNotes = (bar: ArrangedBar, parts: { readonly [id: string]: readonly PartNote[] }): ArrangedBar => ({
  ...bar,
  parts: { ...bar.parts, ...parts },
})
const held = (bar: ArrangedBar, midi: number): PartNote => ({
  startTick: 0,
  durationTicks: bar.lengthTicks,
  midi,
  name: pitchInKey(midi, bar.key),
  velocity: 70,
})
const ENHARMONIC: { readonly [name: string]: string } = {
  'F#': 'Gb',
  Bb: 'A#',
  Eb: 'D#',
  'C#': 'Db',
  Ab: 'G#',
  B: 'Cb',
  E: 'Fb',
}

const FAULTS: readonly Fault[] = [
  {
    family: 'VA1',
    put: (bar, random) => {
      const place = random(bar.melody.length || 1)
      const note = bar.melody[place]
      return (
        note && changeMelody(bar, place, { durationTicks: bar.lengthTicks - note.startTick + 315 * (1 + random(16)) })
      )
    },
  },
  {
    family: 'VA1',
    put: (bar, random) => {
      const place = random(bar.chords.length)
      const chords = bar.chords.map((placed, index) =>
        index === place ? { ...placed, durationTicks: placed.durationTicks - 315 * (1 + random(8)) } : placed,
      )
      return { ...bar, chords }
    },
  },
  {
    family: 'VA2',
    put: (bar, random) => {
      // The major seventh of a dominant or the ♭9 of a major seventh chord, held through the bar.
      const { root, kind } = bar.chords[0]!.chord
      const up =
        kind === 'dominant'
          ? 11
          : kind === 'major-seventh' || kind === 'major-sixth'
            ? 1
            : kind === 'minor-seventh'
              ? 4
              : 0
      if (up === 0 || bar.chords.length > 1) return undefined
      const midi = midiOfName(`${root}4`) + up + 12 * random(2)
      return {
        ...bar,
        melody: [{ startTick: 0, durationTicks: bar.lengthTicks, midi, name: pitchInKey(midi, bar.key) }],
      }
    },
  },
  {
    family: 'VA3',
    put: (bar, random) => {
      const place = random(bar.melody.length || 1)
      const pitch = bar.melody[place] && /^([A-G][b#]?)(\d)$/.exec(bar.melody[place].name)
      const other = pitch && ENHARMONIC[pitch[1]!]
      if (!other) return undefined
      const octave = Number(pitch[2]) + (other === 'Cb' ? 1 : 0)
      const isSame = parsePitch(`${other}${octave}`) && midiOfName(`${other}${octave}`) === bar.melody[place]!.midi
      return isSame ? changeMelody(bar, place, { name: `${other}${octave}` }) : undefined
    },
  },
  {
    family: 'VA6',
    put: (bar, random, music) => {
      const id = horns(music)[random(horns(music).length)]!
      return withNotes(bar, { [id]: [held(bar, random(2) ? 101 : 20)] })
    },
  },
  {
    family: 'VA7',
    put: (bar, random) => {
      const low = 30 + random(10)
      return withNotes(bar, { piano: [held(bar, low), held(bar, low + 1 + random(4))] })
    },
  },
  {
    family: 'VA8',
    put: (bar, random, music) => {
      const [high, low] = horns(music)
      const midi = 57 + random(4)
      const isRoot = bar.chords.some(({ chord }) =>
        [chord.root, chord.bass].some((name) => name && midiOfName(`${name}4`) % 12 === midi % 12),
      )
      if (!high || !low || isRoot) return undefined
      return withNotes({ ...bar, melody: [] }, { [low]: [held(bar, midi)], [high]: [held(bar, midi + 13)] })
    },
  },
  {
    family: 'VA9',
    put: (bar, random) => {
      const place = random(bar.melody.length || 1)
      const note = bar.melody[place]
      return note && changeMelody(bar, place, { midi: note.midi + 1 + random(3) })
    },
  },
  {
    family: 'VA10',
    put: (bar, random, music, index) => {
      const place = random(bar.melody.length || 1)
      const note = bar.melody[place]
      const end = note && note.startTick + note.durationTicks
      const next =
        end === bar.lengthTicks
          ? music.bars[index + 1]?.melody[0]
          : bar.melody.find(({ startTick }) => startTick === end)
      return !note || note.tiedToNext || next?.midi === note.midi
        ? undefined
        : changeMelody(bar, place, { tiedToNext: true })
    },
  },
]

function compiledMusic(): readonly Arrangement[] {
  return DEMO_TUNES.map(({ abc }) => {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    const arrangement = compile({ ...defaultPlan(read.value), lineup: LINEUPS['quintet']! }).arrangement
    return { ...arrangement, bars: arrangement.bars.slice(0, 40) }
  })
}

const isFault = ({ severity }: Issue): boolean => severity !== 'note'

describe('[VA0] compiled music is clean', () => {
  it('every demo tune, all parts, folded too: no error, no warning', () => {
    for (const { abc, title } of DEMO_TUNES) {
      const read = readTune('abc', abc)
      if (!read.ok) throw new Error(read.issues[0]?.message)
      const plan = defaultPlan(read.value)
      const { arrangement } = compile(plan)
      expect(validate(arrangement, { plan, folded: fold(arrangement) }).filter(isFault), title).toEqual([])
    }
  })
})

describe('[VA15] faults put in at random', () => {
  it(`${ROUNDS} faults, each in its own bar and family (seed ${SEED})`, () => {
    const random = chance(SEED)
    const clean = [...compiledMusic(), lanternArrangement()]
    const known = clean.map((music) => new Set(validate(music).map(({ code, path }) => `${code} ${path}`)))
    const counts = new Map<string, number>()
    const missed: string[] = []
    let put = 0
    while (put < ROUNDS) {
      const which = random(clean.length)
      const music = clean[which]!
      const index = random(music.bars.length)
      const fault = FAULTS[random(FAULTS.length)]!
      const bar = fault.put(music.bars[index]!, random, music, index)
      if (!bar) continue
      put++
      counts.set(fault.family, (counts.get(fault.family) ?? 0) + 1)
      const bars = music.bars.map((own, place) => (place === index ? bar : own))
      const found = validate({ ...music, bars }).filter(({ code, path }) => !known[which]!.has(`${code} ${path}`))
      const isFound = found.some(({ code, path }) => code === fault.family && path.startsWith(`bars/${index}/`))
      if (!isFound)
        missed.push(
          `${fault.family} in bar ${index + 1} of ${music.title}: ${found.map(({ message }) => message).join(' | ')}`,
        )
    }
    console.log(
      `faults by family: ${[...counts]
        .sort(([a], [b]) => a.localeCompare(b))
        .map(([family, count]) => `${family} ${count}`)
        .join(', ')}; missed ${missed.length}`,
    )
    expect(missed).toEqual([])
  })
})

describe('[VA15] something left behind after a lift', () => {
  for (const semitones of [2, 1, 3, -2]) {
    it(`lift of ${semitones}: key, melody, chords or a part of each lifted bar put back, one at a time`, () => {
      const read = readTune('abc', DEMO_TUNES[0]!.abc)
      if (!read.ok) throw new Error(read.issues[0]?.message)
      const base = { ...defaultPlan(read.value), lineup: LINEUPS['quintet']! }
      const option = proposeOptions(read.value, 'lift', base).find(
        ({ recipe, params }) => recipe === 'sus-dominant' && params['semitones'] === semitones,
      )
      if (!option) throw new Error(`no lift of ${semitones} is offered`)
      const plan = { ...base, chosen: [{ kind: 'lift' as const, option }] }
      const flat = compile(base).arrangement
      const lifted = compile(plan).arrangement
      const errors = (music: Arrangement): readonly Issue[] =>
        validate(music, { plan }).filter(({ severity }) => severity === 'error')
      expect(errors(lifted)).toEqual([])
      const missed: string[] = []
      const first = lifted.bars.findIndex((bar, index) => bar.key.fifths !== flat.bars[index]?.key.fifths)
      let put = 0
      for (let index = first; index < lifted.bars.length; index++) {
        for (const field of ['key', 'melody', 'chords', 'piano', 'tenor-sax'] as const) {
          const own = flat.bars[index]!
          const isPart = field === 'piano' || field === 'tenor-sax'
          if (isPart && (own.parts[field] ?? []).length === 0) continue
          if (field === 'melody' && own.melody.length === 0) continue
          const bars = lifted.bars.map((bar, place) => {
            if (place !== index) return bar
            return isPart
              ? { ...bar, parts: { ...bar.parts, [field]: own.parts[field]! } }
              : { ...bar, [field]: own[field] }
          })
          put++
          const path = `bars/${index}/${isPart ? `parts/${field}` : field}`
          const found = errors({ ...lifted, bars })
          if (!found.some((issue) => issue.code === 'VA5' && issue.path === path)) missed.push(path)
        }
      }
      console.log(
        `lift ${semitones}: ${put} things left behind, ${missed.length} not told from what may stand there: ${missed.join(' ')}`,
      )
      // One bar of E♭7 voiced over D♭7 is a fine D♭9♯11, and one held horn note may be a tension: a single bar of a part cannot
      // always be told. Key, melody and chords can, and so can a part that stays behind for good.
      expect(missed.filter((path) => !path.includes('/parts/'))).toEqual([])
      expect(missed.length / put).toBeLessThan(0.3)
      for (const id of ['piano', 'tenor-sax']) {
        const bars = lifted.bars.map((bar, index) =>
          index < first ? bar : { ...bar, parts: { ...bar.parts, [id]: flat.bars[index]!.parts[id]! } },
        )
        const paths = errors({ ...lifted, bars }).map(({ path }) => path)
        expect(
          paths.some((path) => path.endsWith(`/parts/${id}`)),
          id,
        ).toBe(true)
      }
    })
  }
})
