/** What is measured: every groove a tune can go to, at every level, by every band; and how rules are counted. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  compile,
  defaultPlan,
  GROOVES,
  type Groove,
  findGroove,
  LINEUPS,
  type Option,
  type PartNote,
  type PartSpec,
  type Plan,
  proposeOptions,
  readTune,
  TICKS_PER_QUARTER,
  type Tune,
} from '@chartloft/shared-theory'

export const EIGHTH = TICKS_PER_QUARTER / 2

export const mod = (value: number, by: number): number => ((value % by) + by) % by

/** One arrangement in one groove with the energy every pass was given. */
export interface Played {
  readonly groove: Groove
  readonly energy: number | undefined
  readonly arrangement: Arrangement
  readonly where: string
}

export const TUNES: readonly Tune[] = DEMO_TUNES.flatMap(({ abc }) => {
  const read = readTune('abc', abc)
  return read.ok ? [read.value] : []
})

/** Energies of the five levels, and undefined: by what each pass is. */
const ENERGIES: readonly (number | undefined)[] = [0.1, 0.3, 0.5, 0.7, 0.9, undefined]

export const part = (id: string, instrument: string, role: PartSpec['role']): PartSpec => ({
  id,
  instrument,
  name: id,
  role,
})

/** The ready line-ups, and others people bring. */
export const BANDS: { readonly [name: string]: readonly PartSpec[] } = {
  ...LINEUPS,
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
  let pair = 0
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
      pair++
      for (const [step, energy] of ENERGIES.entries()) {
        turn++
        if ((turn * 7) % everyNth !== 0) continue
        const [bandName, lineup] = bands[(pair + 5 * step) % bands.length] as (typeof bands)[number]
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

export const share = (): Share => ({ of: 0, kept: 0, failed: [] })

export const count = (into: Share, holds: boolean, where: () => string): void => {
  into.of++
  if (holds) into.kept++
  else into.failed.push(where())
}

export const percent = ({ of, kept }: Share): number => (of === 0 ? 100 : Math.round((1000 * kept) / of) / 10)

export const partOf = (arrangement: Arrangement, role: PartSpec['role']): PartSpec | undefined =>
  arrangement.lineup.find((each) => each.role === role)

/** What a part plays in a bar; cues are another's. */
export const notesOf = (bar: ArrangedBar | undefined, spec: PartSpec | undefined): readonly PartNote[] =>
  ((spec && bar?.parts[spec.id]) ?? []).filter(({ printed }) => printed !== 'cue')

export const isFree = (bar: ArrangedBar): boolean => bar.feel === 'rubato'

/** Grooves heard in a sample. */
export const groovesIn = (played: readonly Played[]): number => new Set(played.map(({ groove }) => groove.id)).size

export const ALL_GROOVES = GROOVES.filter(({ metre }) => metre !== 'any').length
