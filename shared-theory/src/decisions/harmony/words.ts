/** Words that harmony options share: bars, chords and lists as a player says them. */
import type { Stretch } from './stretch.js'

/** 'bar 30', 'bars 27–29', 'bars 25, 27 and 30'. */
export function barsInWords(numbers: readonly number[]): string {
  const sorted = [...new Set(numbers)].sort((a, b) => a - b)
  const first = sorted[0] ?? 0
  const last = sorted.at(-1) ?? first
  if (sorted.length === 1) return `bar ${first}`
  if (last - first === sorted.length - 1) return `bars ${first}–${last}`
  return `bars ${listInWords(sorted.map(String))}`
}

/** 'A, F and G'. */
export function listInWords(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

export const barWord = (stretch: Stretch, offset: number): string => `bar ${stretch.numbers[offset] ?? offset + 1}`

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
