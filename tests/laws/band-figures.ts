/** What the rhythm section and the horns play, measured over whole arrangements: each rule as a count or a share. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  bassOf,
  compile,
  defaultPlan,
  GROOVES,
  type Groove,
  GUITAR_STRINGS,
  grooveOfBar,
  findGroove,
  instrumentOf,
  LINEUPS,
  type Option,
  type PartNote,
  type PartSpec,
  type Plan,
  pitchClass,
  pitchClassesOf,
  proposeOptions,
  readTune,
  scheduleEvents,
  swingRatioAt,
  TICKS_PER_QUARTER,
  type Tune,
} from '@chartloft/shared-theory'

const EIGHTH = TICKS_PER_QUARTER / 2
const mod = (value: number, by: number): number => ((value % by) + by) % by

/** One arrangement in one groove with the energy every pass was given. */
export interface Played {
  readonly groove: Groove
  readonly energy: number | undefined
  readonly arrangement: Arrangement
  readonly where: string
}

const TUNES: readonly Tune[] = DEMO_TUNES.flatMap(({ abc }) => {
  const read = readTune('abc', abc)
  return read.ok ? [read.value] : []
})

/** Energies of the five levels, and undefined: by what each pass is. */
const ENERGIES: readonly (number | undefined)[] = [0.1, 0.3, 0.5, 0.7, 0.9, undefined]
const part = (id: string, instrument: string, role: PartSpec['role']): PartSpec => ({ id, instrument, name: id, role })
/** The ready line-ups, and others people bring. */
export const BANDS: { readonly [name: string]: readonly PartSpec[] } = {
  ...LINEUPS,
  'solo piano': [part('piano', 'piano', 'lead')],
  'guitar and bass': [part('guitar', 'guitar', 'chords'), part('bass', 'double-bass', 'bass')],
  'horns and bass': [
    part('trumpet', 'trumpet', 'lead'),
    part('tenor-sax', 'tenor-sax', 'horn'),
    part('bass', 'double-bass', 'bass'),
  ],
  'singer, horns and guitar': [
    part('voice', 'voice-alto', 'voice'),
    part('trumpet', 'trumpet', 'horn'),
    part('alto-sax', 'alto-sax', 'horn'),
    part('tenor-sax', 'tenor-sax', 'horn'),
    part('guitar', 'guitar', 'chords'),
    part('bass', 'electric-bass', 'bass'),
    part('drums', 'drum-kit', 'drums'),
  ],
}

/** Every groove each tune can go to, at every level, in turn by every band; `everyNth` takes a sample. */
export function bandsPlayed(everyNth = 1): readonly Played[] {
  const made: Played[] = []
  const bands = Object.entries(BANDS)
  let turn = 0
  TUNES.forEach((tune, at) => {
    const base = defaultPlan(tune)
    const offered = new Map<string, Option>()
    for (const option of proposeOptions(tune, 'groove', base)) {
      const id = String(option.params['groove'])
      if (!offered.has(id)) offered.set(id, option)
    }
    for (const [id, option] of offered) {
      const groove = findGroove(id)
      if (!groove) continue
      for (const energy of ENERGIES) {
        turn++
        if ((turn * 7) % everyNth !== 0) continue
        const [bandName, lineup] = bands[turn % bands.length] as (typeof bands)[number]
        const plan: Plan = {
          ...base,
          lineup,
          roadmap: base.roadmap.map((pass) => ({
            ...pass,
            ...(energy === undefined ? {} : { energy }),
            ...(pass.kind === 'solo' && lineup[0] ? { soloist: lineup[0].id, backgrounds: true } : {}),
          })),
          chosen: [{ kind: 'groove', option }],
        }
        const where = `tune ${at + 1} in ${id} at ${energy ?? 'usual'} by ${bandName}`
        made.push({ groove, energy, arrangement: compile(plan).arrangement, where })
      }
    }
  })
  return made
}

/** A share: how many of how many, and where it failed. */
export interface Share {
  of: number
  kept: number
  readonly failed: string[]
}
const share = (): Share => ({ of: 0, kept: 0, failed: [] })
const count = (into: Share, holds: boolean, where: () => string): void => {
  into.of++
  if (holds) into.kept++
  else into.failed.push(where())
}
export const percent = ({ of, kept }: Share): number => (of === 0 ? 100 : Math.round((1000 * kept) / of) / 10)

const partOf = (arrangement: Arrangement, role: PartSpec['role']): PartSpec | undefined =>
  arrangement.lineup.find((each) => each.role === role)
const notesOf = (bar: ArrangedBar | undefined, spec: PartSpec | undefined): readonly PartNote[] =>
  (spec && bar?.parts[spec.id]) ?? []
const isFree = (bar: ArrangedBar): boolean => bar.feel === 'rubato'
const isWalking = (notes: readonly PartNote[], bar: ArrangedBar, groove: Groove): boolean =>
  [groove.bass.one, groove.bass.walk].some((row) => row?.flat().some(({ degree }) => degree === 'w')) &&
  notes.length >= bar.metre.beats

/** Roots (or the bass a slash chord declares) where the harmony begins, in bars that do not walk. */
export function rootsOnHarmony(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      const notes = notesOf(bar, bass)
      const own = grooveOfBar(groove, bar)
      if (notes.length === 0 || isFree(bar) || isWalking(notes, bar, own)) return
      for (const placed of bar.chords) {
        const wanted = bassOf(placed.chord)
        if (wanted === undefined) continue
        const sounds = notes.find(
          ({ startTick, durationTicks }) =>
            startTick <= placed.startTick && placed.startTick < startTick + durationTicks,
        )
        const isRoot = sounds !== undefined && mod(sounds.midi, 12) === pitchClass(wanted)
        count(found, isRoot, () => `${where}, bar ${index + 1}: ${placed.chord.symbol} over ${sounds?.name}`)
      }
    })
  }
  return found
}

export interface Walking {
  readonly rootsFirst: Share
  readonly rootsLater: Share
  readonly newChordRoots: Share
  readonly strongTones: Share
  readonly halfSteps: Share
  readonly leads: Share
  readonly noRepeats: Share
  readonly octave: Share
  readonly turned: Share
  readonly kinds: Share
  readonly inRange: Share
}

const isPairBegun = (all: readonly PartNote[], at: number): boolean =>
  at === all.length - 2 && all[at]?.durationTicks === EIGHTH && all[at + 1]?.durationTicks === EIGHTH

/** The walking rules, measured on every walked bar of four, three and five beats. */
export function walkingFigures(played: readonly Played[]): Walking {
  const figures: Walking = {
    rootsFirst: share(),
    rootsLater: share(),
    newChordRoots: share(),
    strongTones: share(),
    halfSteps: share(),
    leads: share(),
    noRepeats: share(),
    octave: share(),
    turned: share(),
    kinds: share(),
    inRange: share(),
  }
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    const firstPass = arrangement.bars[0]?.pass
    let kinds: number[] = []
    let leap = 0
    arrangement.bars.forEach((bar, index) => {
      const all = notesOf(bar, bass)
      const next = arrangement.bars[index + 1]
      const own = grooveOfBar(groove, bar)
      if (isFree(bar) || next === undefined || !isWalking(all, bar, own)) {
        kinds = []
        leap = 0
        return
      }
      const place = () => `${where}, bar ${index + 1}: ${all.map(({ name }) => name).join(' ')}`
      // A dead note has no pitch; the first of a pair on the last beat is on its way to the second.
      const line = all.filter(({ durationTicks }, at) => durationTicks > EIGHTH / 2 && !isPairBegun(all, at))
      const chord = bar.chords[0]?.chord
      const root = chord && bassOf(chord)
      const first = line[0]
      if (!chord || root === undefined || !first) return
      const before = arrangement.bars[index - 1]?.chords.at(-1)?.chord
      const isRoot = mod(first.midi, 12) === pitchClass(root)
      count(bar.pass === firstPass ? figures.rootsFirst : figures.rootsLater, isRoot, place)
      if (before?.symbol !== chord.symbol) count(figures.newChordRoots, isRoot, place)
      if (bar.chords.length === 1 && bar.metre.beats === 4) {
        const third = line.find(({ startTick }) => startTick === 2 * TICKS_PER_QUARTER)
        if (third) count(figures.strongTones, pitchClassesOf(chord).includes(mod(third.midi, 12)), place)
      }
      const following = notesOf(next, bass)[0]
      const goesOn = following && isWalking(notesOf(next, bass), next, grooveOfBar(groove, next))
      const whole = goesOn ? [...line, following] : line
      whole.forEach((note, at) => {
        const step = at === 0 ? undefined : note.midi - (whole[at - 1] as PartNote).midi
        if (step !== undefined) {
          count(figures.noRepeats, step !== 0, place)
          count(figures.octave, Math.abs(step) <= 12, place)
          if (Math.abs(leap) > 7) count(figures.turned, Math.sign(step) !== Math.sign(leap), place)
          leap = step
        }
        count(figures.inRange, note.midi >= 28 && note.midi <= 55, place)
      })
      const last = line.at(-1)
      const nextChord = next.chords[0]?.chord
      if (goesOn && last && following && nextChord && nextChord.symbol !== bar.chords.at(-1)?.chord.symbol) {
        const step = last.midi - following.midi
        count(figures.halfSteps, Math.abs(step) === 1, place)
        count(figures.leads, [1, 2, 5, 7].includes(Math.abs(step)), place)
        if (bar.chords.length > 1) kinds = []
        kinds.push(step)
        count(figures.kinds, !(kinds.length > 2 && kinds.slice(-3).every((kind) => kind === step)), place)
      }
    })
  }
  return figures
}

/** Grooves in which bass drum and bass are one. */
const AGREEING: readonly string[] = ['backbeat', 'bossa', 'samba', 'cha-cha', 'seven-4-even']

/** Bass-drum strokes (not the feathered ones) that meet a bass note. */
export function kickMeetsBass(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    const drums = partOf(arrangement, 'drums')
    if (!bass || !drums || !AGREEING.includes(groove.id)) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || notesOf(bar, bass).length === 0 || grooveOfBar(groove, bar).id !== groove.id) return
      const onsets = new Set(notesOf(bar, bass).map(({ startTick }) => startTick))
      for (const { name, velocity, startTick } of notesOf(bar, drums))
        if (name === 'kick' && velocity > groove.dyn - 17)
          count(
            found,
            onsets.has(startTick),
            () => `${where}, bar ${index + 1}, beat ${1 + startTick / TICKS_PER_QUARTER}`,
          )
    })
  }
  return found
}

const positions = (bar: ArrangedBar, drums: PartSpec, name: string, unit: number): readonly number[] =>
  notesOf(bar, drums)
    .filter((note) => note.name === name)
    .map(({ startTick }) => startTick / unit)

/** Hat with the foot (or closed) on two and four in swung fours, in every bar in time. */
export function hatsOnTwoAndFour(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const drums = partOf(arrangement, 'drums')
    if (!drums || !['swing-medium', 'swing-fast', 'ballad-swing'].includes(groove.id)) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || grooveOfBar(groove, bar).id !== groove.id || notesOf(bar, drums).length === 0) return
      const foot = positions(bar, drums, 'hatfoot', TICKS_PER_QUARTER)
      count(found, foot.includes(1) && foot.includes(3), () => `${where}, bar ${index + 1}`)
    })
  }
  return found
}

/** Rows that carry the time-line of their groove, with the positions (in steps) of one or two bars. Sources: bossa stick, common practice;
 *  samba and 12/8 bell, Toussaint 2005; 2-3 clave, common practice. */
const TIME_LINES: readonly (readonly [
  groove: string,
  row: string,
  steps: number,
  bars: readonly (readonly number[])[],
])[] = [
  [
    'bossa',
    'xstick',
    8,
    [
      [0, 3, 6],
      [2, 5],
    ],
  ],
  ['samba', 'agogo', 16, [[0, 3, 5, 7, 10, 12, 14]]],
  ['samba', 'xstick', 16, [[0, 3, 5, 7, 10, 12, 14]]],
  ['afro-12-8', 'bell', 12, [[0, 2, 4, 5, 7, 9, 11]]],
  ['afro-12-8', 'cowbell', 12, [[0, 2, 4, 5, 7, 9, 11]]],
  [
    'cha-cha',
    'clave',
    8,
    [
      [2, 4],
      [0, 3, 6],
    ],
  ],
]

/** Bars in which a time-line stands with its own strokes, and on one side through a whole section. */
export function timeLines(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const drums = partOf(arrangement, 'drums')
    if (!drums) continue
    for (const [id, row, steps, wanted] of TIME_LINES) {
      if (id !== groove.id) continue
      let turned: number | undefined
      let section = ''
      let k = 0
      arrangement.bars.slice(0, -1).forEach((bar, index) => {
        const own = `${bar.pass}/${bar.sectionId}`
        k = own === section ? k + 1 : 0
        if (own !== section && row !== 'xstick') turned = undefined
        section = own
        const isEnd =
          arrangement.bars[index + 1]?.sectionId !== bar.sectionId || arrangement.bars[index + 1]?.pass !== bar.pass
        const here = notesOf(bar, drums)
          .filter(({ name }) => (row === 'agogo' ? name.startsWith('agogo') : name === row))
          .map(({ startTick }) => (startTick * steps) / bar.lengthTicks)
          .sort((a, b) => a - b)
        // Fills end sections; a row that rests says nothing.
        if (here.length < 2 || isEnd || isFree(bar) || grooveOfBar(groove, bar).id !== groove.id) return
        const fits = wanted.findIndex((each) => each.join() === here.join())
        if (fits >= 0 && wanted.length > 1) turned ??= mod(fits - k, 2)
        // The last bossa bar of var2 adds one stroke after its own two.
        const isBusier = groove.id === 'bossa' && here.join() === '2,5,7'
        const side = isBusier ? 1 : fits
        const holds = side >= 0 && (wanted.length === 1 || turned === undefined || mod(side - k, 2) === turned)
        count(found, holds, () => `${where}, bar ${index + 1}: ${row} ${here.join(' ')}`)
      })
    }
  }
  return found
}

/** In seven: bass (and bass drum, where it plays) on the starts of both groups. */
export function sevenAccents(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    if (!bass || !groove.id.startsWith('seven-4')) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || bar.metre.beats !== 7 || notesOf(bar, bass).length < 2) return
      const start = (bar.groups[0] as number) * TICKS_PER_QUARTER
      const struck = notesOf(bar, bass).map(({ startTick }) => startTick)
      const kicks = notesOf(bar, partOf(arrangement, 'drums')).filter(({ name }) => name === 'kick')
      const isKicked = kicks.length < 2 || kicks.some(({ startTick }) => startTick === start)
      count(found, struck.includes(0) && struck.includes(start) && isKicked, () => `${where}, bar ${index + 1}`)
    })
  }
  return found
}

export interface Comping {
  /** Strokes exactly on a melody attack or an eighth away. */
  readonly apart: Share
  /** Top voices three half steps below the melody, or doubling it. */
  readonly below: Share
}

/** What the chord player who is not the leader leaves to the melody. */
export function compingFigures(played: readonly Played[]): Comping {
  const figures: Comping = { apart: share(), below: share() }
  for (const { arrangement, where } of played) {
    const lead = arrangement.lineup[0]
    const chords = arrangement.lineup.find(({ role, id }) => role === 'chords' && id !== lead?.id)
    if (!chords || !arrangement.lineup.some(({ role }) => role === 'bass')) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      const notes = notesOf(bar, chords)
      const attacks = bar.melody.map(({ startTick }) => startTick)
      const place = () => `${where}, bar ${index + 1}`
      for (const tick of new Set(notes.map(({ startTick }) => startTick))) {
        const isChange = bar.chords.some(({ startTick }) => startTick === tick)
        const isApart = attacks.includes(tick) || attacks.every((attack) => Math.abs(attack - tick) >= EIGHTH)
        count(figures.apart, isApart || isChange, place)
      }
      for (const note of notes) {
        const sung = bar.melody.find(
          ({ startTick, durationTicks }) => startTick <= note.startTick && note.startTick < startTick + durationTicks,
        )
        const isCarried =
          note.startTick === 0 && notesOf(arrangement.bars[index - 1], chords).some(({ tiedToNext }) => tiedToNext)
        if (sung && !isCarried) count(figures.below, note.midi <= sung.midi - 3 || note.midi === sung.midi, place)
      }
    })
  }
  return figures
}

/** Pitched parts inside what their players are comfortable with; the tune itself is the plan's affair. */
export function inRange(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, where } of played)
    for (const spec of arrangement.lineup) {
      if (spec.role === 'drums') continue
      const [low, high] = instrumentOf(spec).range
      arrangement.bars.forEach((bar, index) => {
        const sung = new Set(bar.melody.map(({ midi }) => midi))
        for (const { midi, name } of notesOf(bar, spec))
          if (!sung.has(midi))
            count(found, midi >= low && midi <= high, () => `${where}, bar ${index + 1}: ${spec.id} ${name}`)
      })
    }
  return found
}

/** Chords a guitarist is given that one hand can hold: a string each, four frets at most, four fingers or a barre. */
export function guitarHolds(played: readonly Played[]): Share {
  const found = share()
  const known = new Map<string, boolean>()
  for (const { arrangement, where } of played)
    for (const spec of arrangement.lineup) {
      if (instrumentOf(spec).family !== 'guitar') continue
      arrangement.bars.forEach((bar, index) => {
        const notes = notesOf(bar, spec)
        for (const tick of new Set(notes.map(({ startTick }) => startTick))) {
          const midi = notes
            .filter(({ startTick, durationTicks }) => startTick <= tick && tick < startTick + durationTicks)
            .map((note) => note.midi)
            .sort((a, b) => a - b)
          const key = midi.join()
          const holds = known.get(key) ?? isHeld(midi)
          known.set(key, holds)
          count(found, holds, () => `${where}, bar ${index + 1}: ${key}`)
        }
      })
    }
  return found
}

function isHeld(midi: readonly number[]): boolean {
  if (midi.length > 6 || new Set(midi).size < midi.length) return false
  const tryFrom = (at: number, string: number, low: number, high: number): boolean => {
    if (at === midi.length) return true
    for (let next = string; next < 6; next++) {
      const fret = (midi[at] as number) - (GUITAR_STRINGS[next] as number)
      if (fret < 0 || fret > 15) continue
      const from = fret === 0 ? low : Math.min(low, fret)
      const to = fret === 0 ? high : Math.max(high, fret)
      if (to - from < 4 && tryFrom(at + 1, next + 1, from, to)) return true
    }
    return false
  }
  return tryFrom(0, 0, Infinity, 0)
}

/** Longest stretch, in bars, a horn that does not lead plays without an eighth of silence. */
export function longestBreath(played: readonly Played[]): { readonly bars: number; readonly where: string } {
  let longest = { bars: 0, where: '' }
  for (const { arrangement, where } of played)
    for (const spec of arrangement.lineup) {
      if (!instrumentOf(spec).breathes || spec.role !== 'horn') continue
      let from = 0
      let end = 0
      let at = 0
      arrangement.bars.forEach((bar, index) => {
        for (const { startTick, durationTicks } of notesOf(bar, spec)) {
          if (at + startTick - end >= EIGHTH) from = at + startTick
          end = at + startTick + durationTicks
          const bars = (end - from) / bar.lengthTicks
          if (bars > longest.bars) longest = { bars, where: `${where}, bar ${index + 1}: ${spec.id}` }
        }
        at += bar.lengthTicks
      })
    }
  return longest
}

/** Farthest the ride's off-beat lies from the place the published curve gives it, in thousandths of a beat, over the tempi of the table.
 *  Source of the curve: Friberg & Sundström 2002 (ends and slope); rows between from memory. */
export function swingError(tempi: readonly number[]): {
  readonly worst: number
  readonly fallsWithTempo: boolean
  readonly shortMs: number
} {
  const tune = TUNES[0] as Tune
  const base = defaultPlan(tune)
  const swing = proposeOptions(tune, 'groove', base).find(({ params }) => params['groove'] === 'swing-medium')
  const { arrangement } = compile({ ...base, chosen: swing ? [{ kind: 'groove', option: swing }] : [] })
  let worst = 0
  let shortMs = Infinity
  const measured: number[] = []
  for (const bpm of tempi) {
    const bars = arrangement.bars.slice(8, 16).map((bar) => ({ ...bar, feel: 'swing', tempoBpm: bpm }))
    const at = { ...arrangement, groove: 'swing-medium', bars }
    const events = scheduleEvents(at, { humanise: false, parts: ['drums'] })
    for (const { midi, startTick, playTick } of events) {
      if (midi !== 51 || startTick % TICKS_PER_QUARTER !== EIGHTH) continue
      const place = (playTick - startTick + EIGHTH) / TICKS_PER_QUARTER
      const ratio = swingRatioAt(bpm) / 100
      worst = Math.max(worst, Math.abs(place - ratio / (ratio + 1)))
      shortMs = Math.min(shortMs, ((1 - place) * 60_000) / bpm)
      measured.push(place)
    }
  }
  const fallsWithTempo = measured.every(
    (place, index) => index === 0 || place <= (measured[index - 1] as number) + 1e-9,
  )
  return { worst: Math.round(worst * 1e6) / 1000, fallsWithTempo, shortMs: Math.round(shortMs) }
}

/** How far humanising moves onsets (ms) and loudness, whether the same seed plays the same, and another one otherwise. */
export function unevenness(played: readonly Played[]): {
  readonly ms: number
  readonly velocity: number
  readonly sameAgain: boolean
  readonly otherSeedDiffers: boolean
} {
  let ms = 0
  let velocity = 0
  let sameAgain = true
  let otherSeedDiffers = true
  for (const { arrangement } of played) {
    const plain = scheduleEvents(arrangement, { humanise: false })
    const loose = scheduleEvents(arrangement, { seed: 7 })
    plain.forEach((event, index) => {
      const other = loose[index]
      if (!other) return
      if (event.startMs > 50) ms = Math.max(ms, Math.abs(event.startMs - other.startMs))
      velocity = Math.max(velocity, Math.abs(event.velocity - other.velocity))
    })
    const again = JSON.stringify(scheduleEvents(arrangement, { seed: 7 }))
    sameAgain &&= again === JSON.stringify(loose)
    if (arrangement.bars.length > 8)
      otherSeedDiffers &&= JSON.stringify(scheduleEvents(arrangement, { seed: 8 })) !== again
  }
  return { ms: Math.round(ms * 100) / 100, velocity, sameAgain, otherSeedDiffers }
}

/** Grooves heard in a sample. */
export const groovesIn = (played: readonly Played[]): number => new Set(played.map(({ groove }) => groove.id)).size
export const ALL_GROOVES = GROOVES.filter(({ metre }) => metre !== 'any').length
