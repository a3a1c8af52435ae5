import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { chordField, passesOf } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Chord, KeyName, MelodyNote, Metre, Tune } from '../../contract/index.js'
import { chord } from '../../chords/index.js'
import { fitOf, judgeMelody } from '../../fit/index.js'
import {
  barTicks,
  isMinorKey,
  keySignatureOf,
  midiOfName,
  must,
  nameOfPitch,
  scaleOf,
  seeded,
} from '../../units/index.js'
import { harmonyRecipes } from './index.js'

/** Diatonic sevenths by scale step, and the melody notes that suit them, as tunes of the trade have them. */
const MAJOR = ['maj7', 'm7', 'm7', 'maj7', '7', 'm7', 'm7b5']
const MINOR = ['m6', 'm7b5', 'maj7', 'm7', '7', 'maj7', '7']
const KEYS: readonly KeyName[] = [
  'C major',
  'Eb major',
  'F# major',
  'A minor',
  'Db major',
  'G minor',
  'E major',
  'Bb minor',
]
const METRES: readonly Metre[] = [
  { beats: 4, beatType: 4 },
  { beats: 3, beatType: 4 },
  { beats: 6, beatType: 8 },
  { beats: 2, beatType: 4 },
]

/** A tune nobody wrote: diatonic chords that end at home, a melody whose notes fit them. */
function madeTune(seed: number): Tune {
  const draw = seeded(seed)
  const key = must(KEYS[draw(KEYS.length)], 'a key')
  const metre = must(METRES[draw(METRES.length)], 'a metre')
  const scale = scaleOf(key)
  const suffixes = isMinorKey(key) ? MINOR : MAJOR
  const length = barTicks(metre)
  const step = (degree: number): Chord => chord(`${scale[degree]}${suffixes[degree]}`)
  const common = [0, 5, 1, 4, 3, 1, 4, 0]
  const bars = Array.from({ length: 16 }, (_, barIndex) => {
    const degree = barIndex % 8 >= 6 || draw(3) > 0 ? must(common[barIndex % 8], 'a degree') : draw(6)
    const own = barIndex % 8 === 7 ? step(0) : step(degree)
    // Some bars change chord half way, as tunes do; the melody fits whichever sounds.
    const second = seed % 3 === 0 && barIndex % 8 < 6 && draw(2) === 0 ? step(draw(6)) : undefined
    const half = length / 2
    const melody: MelodyNote[] = []
    const counts = [1, 2, 3, 4].filter((count) => length % (count * 1260) === 0 && (!second || count % 2 === 0))
    const count = must(counts[draw(counts.length)], 'a count')
    for (let index = 0; index < count; index++) {
      const startTick = (index * length) / count
      const sounding = second && startTick >= half ? second : own
      const names = scale.filter((name) => fitOf(sounding, name) === 'ok')
      const name = `${names[draw(names.length)]}${4 + draw(2)}`
      if (draw(8) === 0) continue
      melody.push({ startTick, durationTicks: length / count, midi: midiOfName(name), name })
    }
    const chords = second
      ? [
          { startTick: 0, durationTicks: half, chord: own },
          { startTick: half, durationTicks: half, chord: second },
        ]
      : [{ startTick: 0, durationTicks: length, chord: own }]
    return {
      barIndex,
      metre,
      lengthTicks: length,
      key: keySignatureOf(key),
      melody,
      chords,
      writtenBar: barIndex,
    }
  })
  return {
    version: 1,
    title: `Made ${seed}`,
    rights: 'own',
    key: keySignatureOf(key),
    metre,
    pickupTicks: 0,
    bars,
    sections: [
      { id: 'A1', letter: 'A', role: 'chorus', startBar: 0, bars: 8 },
      { id: 'B1', letter: 'B', role: 'chorus', startBar: 8, bars: 8 },
    ],
    source: { format: 'typed', issues: [] },
  }
}

const hardNotes = (bars: readonly ArrangedBar[]): ReadonlySet<string> =>
  new Set(
    bars.flatMap((bar, index) => {
      const before = bars[index - 1]?.melody.at(-1)?.midi
      const after = bars[index + 1]?.melody[0]?.midi
      const around = { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }
      return judgeMelody(bar, around)
        .filter(({ fit }) => fit === 'hard')
        .map(({ noteIndex }) => `${index}:${noteIndex}`)
    }),
  )

/** Every law an option must keep; the broken ones in words. */
function brokenLaws(trial: Trial, firstBar: number, count: number): { broken: readonly string[]; offers: number } {
  const broken: string[] = []
  const seen = new Map<string, string>()
  const had = hardNotes(trial.bars)
  let offers = 0
  for (const { id } of harmonyRecipes) {
    const answer = trial.answer(id)
    if ('absent' in answer) {
      if (!/[.]$/.test(answer.absent)) broken.push(`${id}: '${answer.absent}' is no sentence`)
      continue
    }
    for (const { params, title, summary, reason, distance } of answer.offers) {
      const { bars, issues } = trial.apply(id, params)
      const name = `${id} ${JSON.stringify(params)}`
      if (issues.length > 0) broken.push(`${name}: ${issues[0]?.message}`)
      if (reason.length === 0 || !summary.endsWith('.') || title === '') broken.push(`${name}: no reason or sentence`)
      if (distance < 0 || distance > 1) broken.push(`${name}: distance ${distance}`)
      if (id === 'as-written') continue
      offers++
      const print = bars.map((bar) => chordField(bar.chords)).join('|')
      if (seen.has(print)) broken.push(`${name} is the same as ${seen.get(print)}`)
      seen.set(print, name)
      for (const [index, bar] of bars.entries()) {
        const was = must(trial.bars[index], 'the bar before')
        const isInside = index >= firstBar && index < firstBar + count
        if (bar.melody !== was.melody) broken.push(`${name}: melody of bar ${index + 1}`)
        if (!isInside && bar !== was) broken.push(`${name}: bar ${index + 1} outside changed`)
        if (bar.chords !== was.chords && bar.provenance.decision !== 'harmony') broken.push(`${name}: no provenance`)
        if (bar.chords === was.chords && bar.provenance !== was.provenance) broken.push(`${name}: stray provenance`)
        let at = 0
        for (const placed of bar.chords) {
          if (placed.startTick !== at || placed.durationTicks <= 0)
            broken.push(`${name}: bar ${index + 1} does not tile`)
          at += placed.durationTicks
        }
        if (at !== bar.lengthTicks) broken.push(`${name}: bar ${index + 1} is not filled`)
        if (bar.chords.length > 2 && bar.chords.length > was.chords.length) broken.push(`${name}: crowded bar`)
      }
      for (const clash of hardNotes(bars)) if (!had.has(clash)) broken.push(`${name}: new clash at ${clash}`)
    }
  }
  return { broken, offers }
}

describe('laws of new harmony', () => {
  for (const make of [lanternSlip, ferryBell, slackTide]) {
    const tune = make()
    it(`[HA2] [HA15] ${tune.title}: five or more for every eight bars`, () => {
      const bars = passesOf(tune, 'chorus-1')
      for (let fromBar = 0; fromBar + 8 <= tune.bars.length; fromBar += 6) {
        const trial = new Trial(harmonyRecipes, tune, bars, { passId: 'chorus-1', fromBar, bars: 8 })
        const { broken, offers } = brokenLaws(trial, fromBar, 8)
        expect(broken, `from bar ${fromBar + 1}`).toEqual([])
        expect(offers, `from bar ${fromBar + 1}`).toBeGreaterThanOrEqual(5)
      }
    }, 30_000)
  }
  it('[HA2] [HA15] made tunes in many keys and metres', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const tune = madeTune(seed)
      const bars = passesOf(tune, 'chorus-1')
      for (const [section, firstBar] of [
        ['A1', 0],
        ['B1', 8],
      ] as const) {
        const trial = new Trial(harmonyRecipes, tune, bars, { passId: 'chorus-1', sectionId: section })
        const { broken, offers } = brokenLaws(trial, firstBar, 8)
        const print = bars.map(
          (bar) => `${chordField(bar.chords)}: ${bar.melody.map((note) => nameOfPitch(note.name)).join(' ')}`,
        )
        expect(broken, `seed ${seed} ${section}`).toEqual([])
        expect(
          offers,
          `seed ${seed} ${section} ${tune.key.key} ${print.slice(firstBar, firstBar + 8).join(' | ')}`,
        ).toBeGreaterThanOrEqual(5)
      }
    }
  }, 30_000)
  it('[HA18] odd bars and places never throw', () => {
    const symbols = [
      'N.C.',
      '%',
      'C5',
      'D over C7',
      'F/A',
      'Cdim7',
      'C+',
      'B#m7b5',
      'Fbmaj7',
      'G7alt',
      'Csus2',
      'Ebb7',
      'F##m',
    ]
    let offered = 0
    for (let seed = 1; seed <= 14; seed++) {
      const draw = seeded(seed)
      const tune = madeTune(seed)
      const bars = passesOf(tune, 'chorus-1').map((bar): ArrangedBar => {
        const kind = draw(4)
        if (kind === 0) return { ...bar, chords: [] }
        if (kind === 1) return { ...bar, melody: [] }
        const placed = must(bar.chords[0], 'a chord')
        return { ...bar, chords: [{ ...placed, chord: chord(must(symbols[draw(symbols.length)], 'a symbol')) }] }
      })
      for (const at of [
        { passId: 'chorus-1' },
        { passId: 'chorus-1', fromBar: 15, bars: 4 },
        { passId: 'chorus-1', fromBar: 3, bars: 1 },
      ]) {
        const trial = new Trial(harmonyRecipes, tune, bars, at)
        for (const { id } of harmonyRecipes) {
          for (const offer of trial.offers(id)) {
            offered++
            expect(trial.apply(id, offer.params).issues, `seed ${seed} ${id}`).toEqual([])
          }
        }
      }
    }
    expect(offered).toBeGreaterThan(200)
  }, 30_000)
})
