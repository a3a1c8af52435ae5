/** What one <note> says by itself: voice, staff, whether it belongs to a melody, its words. */
import { type XmlElement, childOf, childrenOf, numberOf, textOf } from './xml.js'

export function voiceOf(note: XmlElement): string {
  return textOf(note, 'voice') || '1'
}

export function isFirstStaff(note: XmlElement): boolean {
  return (numberOf(note, 'staff') ?? 1) === 1
}

/** A sounding note of the line itself: no rest, cue, slash or drum. */
export function isMelodic(note: XmlElement): boolean {
  return childOf(note, 'pitch') !== undefined && !childOf(note, 'cue') && textOf(note, 'notehead') !== 'slash'
}

export function readLyric(note: XmlElement): string {
  const lyrics = childrenOf(note, 'lyric')
  const first = lyrics.find((lyric) => (lyric.attributes['number'] ?? '1') === '1') ?? lyrics[0]
  // Several syllables under one note are joined by the elision sign, as printed: 'o‿ver'.
  const text = childrenOf(first, 'text')
    .map((one) => one.text.trim())
    .filter(Boolean)
    .join('‿')
  const syllabic = childrenOf(first, 'syllabic').at(-1)?.text.trim()
  return text && (syllabic === 'begin' || syllabic === 'middle') ? `${text}-` : text
}
