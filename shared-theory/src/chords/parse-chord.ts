/** Chord symbols read: total and precise — exactly what a musician means, or an issue that names the place and the mend. */
import type { Chord, Result } from '../contract/index.js'
import { LIMITS, assert, fail, issue, ok } from '../units/index.js'
import { NO_CHORD, REPEAT_CHORD, buildChord } from './build-chord.js'
import { type ChordText, plainText } from './chord-text.js'
import { isTrouble, readNote, readSuffix } from './read-suffix.js'
import type { Trouble } from './text-cursor.js'

/**
 * Reads one chord symbol, 'N.C.' or '%'. Never throws. Issues have code CH1 and path 'character/n' (1-based);
 * a reading that deserves a second look comes back ok with a note.
 * @example parseChord('Bb7(b9)/F').value.notes // ['Bb', 'D', 'F', 'Ab', 'Cb']
 */
export function parseChord(text: string): Result<Chord> {
  if (typeof text !== 'string') return unreadable('', 1, 'a chord symbol is text')
  if (text.length > LIMITS.chordSymbol)
    return unreadable(
      `${text.slice(0, 12)}…`,
      LIMITS.chordSymbol + 1,
      `a chord symbol has at most ${LIMITS.chordSymbol} characters`,
    )
  const plain = plainText(text)
  const trimmed = plain.text.trim()
  if (trimmed === '') return unreadable(text, 1, "there is no chord here: write its root, or 'N.C.' for none")
  if (trimmed === '%') return ok(REPEAT_CHORD)
  const first = trimmed.charCodeAt(0) | 32
  if (first === 110 && /^n\.? ?c\.?$|^no chord$/i.test(trimmed)) return ok(NO_CHORD)
  const over = plain.text.length > 7 ? / over /i.exec(plain.text) : null
  return over ? readPolychord(text, plain, over.index) : readOne(text, plain, plain.text, 0)
}

/** A chord of our own tables: a text that does not parse is our mistake and throws. */
export function chord(text: string): Chord {
  const read = parseChord(text)
  assert(read.ok, `'${text}' is a chord symbol`)
  return read.value
}

function readOne(source: string, plain: ChordText, text: string, offset: number): Result<Chord> {
  let start = 0
  while (text[start] === ' ') start++
  const root = readNote(text, start)
  if (!root) return unreadable(source, plain.place(offset + start), rootMend(text.slice(start)))
  if (text[root.end] === 'b' || text[root.end] === '#')
    return unreadable(source, plain.place(offset + root.end), 'a root has at most two accidentals of one kind')
  const trimmed = text.trimEnd()
  const suffix = readSuffix(trimmed, root.end)
  if (isTrouble(suffix)) return unreadable(source, plain.place(offset + suffix.at), suffix.message)
  const built = buildChord(root.name, suffix, suffix.bass)
  const remarks = [...suffix.remarks, ...rootRemarks(root.name, trimmed, root.end)]
  return ok(
    built,
    remarks.map(({ at, message }) =>
      issue('CH2', 'note', `character/${plain.place(offset + at)}`, `'${source}': ${message}.`),
    ),
  )
}

/** An accidental after the root letter belongs to the root; where the other reading is near, say so. */
function rootRemarks(root: string, text: string, end: number): readonly Trouble[] {
  const figure = /^(?:5|9|11|13)/.exec(text.slice(end, end + 2))?.[0]
  if (figure === undefined || !/^(?:Cb|Fb|E#|B#|.bb|.##)$/.test(root)) return []
  const letter = root.slice(0, -1)
  const mark = root.slice(-1)
  return [
    {
      at: end - 1,
      message: `read as root ${root}; for an altered chord on ${letter} write '${letter}7(${mark}${figure})'`,
    },
  ]
}

function readPolychord(source: string, plain: ChordText, at: number): Result<Chord> {
  const word = ' over '.length
  const upper = readOne(source, plain, plain.text.slice(0, at), 0)
  if (!upper.ok) return upper
  if (upper.value.bass !== undefined)
    return unreadable(source, plain.place(at), 'the upper chord of two takes no slash bass: the lower one has the bass')
  const below = plain.text.slice(at + word)
  if (/ over /i.test(below))
    return unreadable(source, plain.place(at + word), 'only two chords can stand over each other')
  const lower = readOne(source, plain, below, at + word)
  if (!lower.ok) return lower
  const { root, symbol, notes, intervals, omitted, kind, degrees } = upper.value
  const value: Chord = {
    root,
    symbol: `${symbol} over ${lower.value.symbol}`,
    notes,
    intervals,
    omitted,
    kind,
    degrees,
    over: lower.value,
  }
  return ok(value, [...(upper.issues ?? []), ...(lower.issues ?? [])])
}

function rootMend(text: string): string {
  if (text === '') return 'a chord is missing here'
  if (/^h(?:$|[^a-z])|^H/.test(text)) return "H is no root here: write 'B' (and 'Bb' for a German B)"
  if (/^[a-g]/.test(text)) {
    const root = text.charAt(0).toUpperCase()
    const whole = root + text.slice(1)
    return `roots are capital letters: write '${parseChord(whole).ok ? whole : root}'`
  }
  if (text.startsWith('/')) return 'a bass note needs its chord before the slash'
  return 'a chord begins with its root, a letter from A to G'
}

function unreadable(source: string, character: number, message: string): Result<Chord> {
  return fail(issue('CH1', 'error', `character/${character}`, `'${source}', character ${character}: ${message}.`))
}
