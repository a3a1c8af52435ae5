/** w: lines: syllables laid under the notes of the music line before (ABC standard 2.1, section 5). */
import type { AbcEvent } from './abc-bar.js'
import { decodeAbcText } from './abc-text.js'

/** Sets `lyric` on the notes; true where every syllable found a note. */
export function layLyrics(text: string, notes: readonly AbcEvent[]): boolean {
  let at = 0
  let allPlaced = true
  const place = (syllable: string): void => {
    const note = notes[at]
    if (note) note.lyric = syllable
    else allPlaced = false
    at++
  }
  for (const found of text.matchAll(/(?:\\-|\\(?!-)|[^\s\-_*|\\])+|[-_*|]/g)) {
    const piece = found[0]
    const isGlued = found.index > 0 && !/[\s\-_*|]/.test(text[found.index - 1] as string)
    if (piece === '|') {
      const bar = notes[Math.max(0, at - 1)]?.bar
      while (at > 0 && at < notes.length && notes[at]?.bar === bar) at++
    } else if (piece === '_' || piece === '*') at++
    else if (piece === '-') {
      if (!isGlued) at++
      else {
        const before = notes[at - 1]
        if (before?.lyric && !before.lyric.endsWith('-')) before.lyric += '-'
      }
    } else place(decodeAbcText(piece.replaceAll('~', ' ').replaceAll('\\-', '-')))
  }
  return allPlaced
}
