/** Chord players, and everybody in range. */
import { GUITAR_STRINGS, instrumentOf, validate } from '@chartloft/shared-theory'
import { EIGHTH, type Played, type Share, share, count, notesOf } from './sample.js'

export interface Comping {
  /** Strokes exactly on a melody attack or an eighth away. */
  readonly apart: Share
  /** Top voices three half steps below the melody, or doubling it. */
  readonly below: Share
  /** Chord notes no louder than the melody note they sound under. */
  readonly softer: Share
}

/** What the chord player who is not the leader leaves to the melody. */
export function compingFigures(played: readonly Played[]): Comping {
  const figures: Comping = { apart: share(), below: share(), softer: share() }
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
        const own = sung && notesOf(bar, lead).find(({ startTick }) => startTick === sung.startTick)
        if (own) count(figures.softer, note.velocity <= own.velocity, place)
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

/** What the validator finds in what the band plays; a tune that goes beyond its leader is the plan's affair. */
export function validatorFindings(played: readonly Played[]): readonly string[] {
  return played.flatMap(({ arrangement, where }) =>
    validate(arrangement).flatMap(({ code, path, message }) => {
      const [, bar, , id, place] = path.split('/')
      const note = arrangement.bars[Number(bar)]?.parts[id ?? '']?.[Number(place)]
      const isTune = arrangement.bars[Number(bar)]?.melody.some(({ midi }) => midi === note?.midi)
      return code === 'VA6' && isTune ? [] : [`${where}: ${code} ${message}`]
    }),
  )
}
