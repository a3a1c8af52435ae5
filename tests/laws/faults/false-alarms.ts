/** How often the validator complains of music that is right: hymns and strict four-part writing, and everything our own band plays. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Arrangement,
  type Chord,
  type DecisionKind,
  type Issue,
  LINEUPS,
  type PartNote,
  type PartSpec,
  type PlacedChord,
  chord,
  compile,
  defaultPlan,
  fold,
  keySignatureOf,
  midiOfName,
  parseChord,
  pitchClass,
  pitchClassesOf,
  proposeOptions,
  validate,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { HYMNS, type Hymn } from '../../fixtures/four-part-hymns.js'
import { strictPieces } from '../../fixtures/strict-four-part.js'
import { tuneOf } from './scene.js'

const QUARTER = 5040
const VOICES: readonly PartSpec[] = [
  { id: 'soprano', instrument: 'voice-soprano', name: 'Soprano', role: 'lead' },
  { id: 'alto', instrument: 'voice-alto', name: 'Alto', role: 'voice' },
  { id: 'tenor', instrument: 'voice-tenor', name: 'Tenor', role: 'voice' },
  { id: 'bass', instrument: 'voice-bass', name: 'Bass', role: 'voice' },
  { id: 'organ', instrument: 'piano', name: 'Organ', role: 'chords' },
]

export interface Alarms {
  readonly name: string
  readonly bars: number
  /** Bars with at least one warning or error. */
  readonly alarmed: number
  readonly errors: number
  readonly found: readonly string[]
}

interface Column {
  readonly startTick: number
  readonly durationTicks: number
  readonly pitches: readonly string[]
}

function columnsOf(text: string): readonly Column[] {
  let at = 0
  return text.split(',').map((item) => {
    const [pitches, quarters] = item.trim().split('/') as [string, string?]
    const startTick = at
    const durationTicks = Number(quarters ?? 1) * QUARTER
    at += durationTicks
    return { startTick, durationTicks, pitches: pitches.trim().split(/\s+/) }
  })
}

const KINDS = ['', 'm', '7', 'm7', 'maj7', 'dim', 'm7b5', '6', 'm6', 'dim7', '5']

/** The plainest symbol whose tones are the column's, over its bass; undefined for a column that only passes. */
function symbolOf({ pitches }: Column): Chord | undefined {
  const names = pitches.map((pitch) => pitch.replace(/\d/, ''))
  const pcs = new Set(names.map(pitchClass))
  const bass = names.at(-1) as string
  for (const kind of KINDS) {
    for (const root of [bass, ...names]) {
      const tones = pitchClassesOf(chord(root + kind))
      const isAll = [...pcs].every((pc) => tones.includes(pc)) && tones.filter((pc) => pcs.has(pc)).length >= 2
      if (!isAll) continue
      const read = parseChord(root + kind + (root === bass ? '' : `/${bass}`))
      if (read.ok) return read.value
    }
  }
  return undefined
}

/** Four singers and an organ that plays all they sing; chord symbols from what sounds. */
export function fourPart({ title, key, len, columns }: Hymn): Arrangement {
  let last: Chord | undefined
  const lengthTicks = len * QUARTER
  const bars = columns.split('|').map((text, barIndex): ArrangedBar => {
    const own = columnsOf(text)
    const note = ({ startTick, durationTicks, pitches }: Column, voice: number): PartNote => {
      const name = pitches[voice] as string
      return { startTick, durationTicks, midi: midiOfName(name), name, velocity: 70 }
    }
    const chords: PlacedChord[] = []
    for (const column of own) {
      const next = symbolOf(column) ?? last ?? chord('N.C.')
      const before = chords.at(-1)
      if (before && before.chord.symbol === next.symbol) {
        chords[chords.length - 1] = { ...before, durationTicks: before.durationTicks + column.durationTicks }
      } else chords.push({ startTick: column.startTick, durationTicks: column.durationTicks, chord: next })
      last = next
    }
    return {
      barIndex,
      sectionId: 'A1',
      pass: 'chorus-1',
      metre: { beats: len, beatType: 4 },
      groups: [len],
      lengthTicks,
      key: keySignatureOf(key),
      tempoBpm: 88,
      feel: 'even',
      chords,
      melody: own.map((column) => {
        const { velocity: _velocity, ...rest } = note(column, 0)
        return rest
      }),
      parts: {
        ...Object.fromEntries(
          ['soprano', 'alto', 'tenor', 'bass'].map((id, voice) => [id, own.map((column) => note(column, voice))]),
        ),
        organ: own.flatMap((column) =>
          column.pitches.flatMap((pitch, voice) =>
            column.pitches.indexOf(pitch) === voice ? [note(column, voice)] : [],
          ),
        ),
      },
      provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
    }
  })
  return { version: 1, title, lineup: VOICES, groove: 'as-written', bars }
}

function alarmsOf(
  name: string,
  pieces: readonly { readonly music: Arrangement; readonly issues: readonly Issue[] }[],
): Alarms {
  const found: string[] = []
  let alarmed = 0
  let errors = 0
  for (const { music, issues } of pieces) {
    const loud = issues.filter(({ severity }) => severity !== 'note')
    errors += loud.filter(({ severity }) => severity === 'error').length
    alarmed += new Set(loud.map(({ path }) => path.split('/').slice(0, 2).join('/'))).size
    found.push(...loud.map(({ code, message }) => `${music.title}: ${code} ${message}`))
  }
  return { name, bars: pieces.reduce((sum, { music }) => sum + music.bars.length, 0), alarmed, errors, found }
}

/** Hymns and invented pieces, checked with their fold and every singer's written part. */
export function fourPartAlarms(): readonly Alarms[] {
  const judged = (pieces: readonly Hymn[]) =>
    pieces.map((piece) => {
      const music = fourPart(piece)
      const written = Object.fromEntries(
        ['soprano', 'alto', 'tenor', 'bass'].map((part) => [part, writeMusicXml(music, { part })]),
      )
      return { music, issues: validate(music, { folded: fold(music), written }) }
    })
  return [
    alarmsOf(`${HYMNS.length} old hymns in four parts`, judged(HYMNS)),
    alarmsOf('12 invented pieces in strict four parts', judged(strictPieces())),
  ]
}

const DECISIONS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

/** Every demo tune as it stands and with each of its best options alone, line-ups in turn. */
export function demoAlarms(optionsEach = 10): Alarms {
  const bands = ['septet', 'quintet', 'quartet-lead', 'quartet-trumpet'].map(
    (name) => LINEUPS[name] as readonly PartSpec[],
  )
  let turn = 0
  const pieces = DEMO_TUNES.flatMap(({ abc }) => {
    const tune = tuneOf(abc)
    const plain = defaultPlan(tune)
    const options = DECISIONS.flatMap((kind) =>
      proposeOptions(tune, kind, plain).slice(0, Math.ceil(optionsEach / DECISIONS.length)),
    )
    return [undefined, ...options].map((option) => {
      const lineup = bands[turn++ % bands.length] as readonly PartSpec[]
      const chosen = option ? [{ kind: option.kind, option, ...(option.at ? { at: option.at } : {}) }] : []
      const plan = { ...plain, lineup, chosen }
      const { arrangement } = compile(plan)
      return {
        music: { ...arrangement, title: `${tune.title} ${option?.id ?? 'as written'} for ${lineup.length}` },
        issues: validate(arrangement, { plan, folded: fold(arrangement) }),
      }
    })
  })
  return alarmsOf(`${pieces.length} arrangements of the demo tunes`, pieces)
}

export const alarmLines = (all: readonly Alarms[]): string =>
  all
    .map(
      ({ name, bars, alarmed, errors, found }) =>
        `${name}: ${alarmed} of ${bars} bars with a warning or error (${((alarmed / bars) * 100).toFixed(2)} %), ${errors} errors${found.length > 0 ? `\n  ${found.slice(0, 40).join('\n  ')}` : ''}`,
    )
    .join('\n')
