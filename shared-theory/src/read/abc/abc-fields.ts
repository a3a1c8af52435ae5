/** Fields with a measure in them: M: L: and Q: (ABC standard 2.1, sections 3.1.6–3.1.8). */
import { type Metre, TICKS_PER_QUARTER } from '../../contract/index.js'

/** 'free' for M:none; undefined where it is no metre we can count. */
export function readAbcMetre(text: string): Metre | 'free' | undefined {
  const plain = text.trim()
  if (plain === 'C') return { beats: 4, beatType: 4 }
  if (plain === 'C|') return { beats: 2, beatType: 2 }
  if (plain === '' || /^none$/i.test(plain)) return 'free'
  const found = /^\(?([\d+\s]{1,40})\)?\s*\/\s*(\d{1,2})/.exec(plain)
  if (!found) return undefined
  const beats = (found[1] as string).split('+').reduce((sum, one) => sum + Number(one), 0)
  const beatType = Number(found[2])
  if (!Number.isInteger(beats) || beats < 1 || beats > 64) return undefined
  if (beatType === 2 || beatType === 4 || beatType === 8 || beatType === 16) return { beats, beatType }
  if (beatType === 1) return { beats: beats * 2, beatType: 2 }
  if (beatType === 32 && beats % 2 === 0) return { beats: beats / 2, beatType: 16 }
  return undefined
}

/** 'n/m' of a whole note in ticks; undefined where it is no note length. */
export function readNoteLength(text: string): number | undefined {
  const found = /^\s*(\d{1,3})(?:\s*\/\s*(\d{1,3}))?\s*$/.exec(text)
  if (!found) return undefined
  const ticks = (Number(found[1]) / Number(found[2] ?? 1)) * 4 * TICKS_PER_QUARTER
  return ticks > 0 && Number.isFinite(ticks) && ticks <= 4 * 4 * TICKS_PER_QUARTER ? ticks : undefined
}

/** The unit note length where no L: says it: 1/16 in metres below 3/4, else 1/8. */
export function defaultUnit(metre: Metre | 'free'): number {
  return metre !== 'free' && metre.beats / metre.beatType < 0.75 ? TICKS_PER_QUARTER / 4 : TICKS_PER_QUARTER / 2
}

/** Quarters a minute, to 1/1000; 'words' where only words stand; undefined where it can't be read. */
export function readAbcTempo(text: string, unitTicks: number): number | 'words' | undefined {
  const plain = text.replace(/"[^"]*"/g, ' ').trim()
  if (plain === '') return 'words'
  const equation = /^((?:\d{1,3}\/\d{1,3}\s*)+)=\s*(\d{1,4}(?:\.\d{1,3})?)$/.exec(plain)
  const bare = /^(?:C\d?\s*=\s*)?(\d{1,4}(?:\.\d{1,3})?)$/.exec(plain)
  const beat = equation
    ? (equation[1] as string)
        .trim()
        .split(/\s+/)
        .reduce((sum, one) => sum + (readNoteLength(one) ?? Number.NaN), 0)
    : unitTicks
  const perMinute = Number(equation?.[2] ?? bare?.[1])
  const quarters = Math.round(((beat * perMinute) / TICKS_PER_QUARTER) * 1000) / 1000
  return quarters >= 10 && quarters <= 600 ? quarters : undefined
}
