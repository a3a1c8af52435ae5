/** Chord symbols read: total and precise — exactly what a musician means, or an issue that names the place and the mend. */
import type { Chord, Result } from '../contract/index.js'
import { LIMITS, assert, fail, issue, ok } from '../units/index.js'
import { NO_CHORD, REPEAT_CHORD, buildChord } from './build-chord.js'
import { type ChordText, plainText } from './chord-text.js'
import { readNote } from './read-note.js'
import { isTrouble, readSuffix } from './read-suffix.js'
import { colonRoot, readColonChord } from './colon-chord.js'
import { foreignRootMend } from './foreign-roots.js'
import { spokenToSigns } from './spoken-chord.js'
import type { Suffix } from './suffix-meaning.js'
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
  if (mayBeSilence(first) && (trimmed === 'N' || SILENCE.test(trimmed))) return ok(NO_CHORD)
  const lone = trimmed.endsWith(' over') ? plain.text.lastIndexOf(' over') + 1 : trimmed.startsWith('over ') ? 0 : -1
  if (lone >= 0) return unreadable(text, plain.place(lone), "'over' stands between two chords, as in 'D over C7'")
  const over = plain.text.length > 7 ? / over /i.exec(plain.text) : null
  const read = over ? readPolychord(text, plain, over.index) : readOne(text, plain, plain.text, 0)
  return read.ok ? read : (readDressed(text, trimmed) ?? read)
}

/** 'N.C.', 'n/c', 'no chord', 'tacet', bracketed or not; a lone capital N as annotated collections have it. */
const SILENCE = /^[([]?(?:n[./]? ?c\.?|no chords?|none|tacet)[)\]]?$/i

/** Begins with n, t or a bracket, in small letters. */
const mayBeSilence = (code: number): boolean => code === 110 || code === 116 || code === 40 || code === 123

/** Signs around a chord that are not the chord, and chords in words: tried where the text alone is no chord. */
function readDressed(text: string, trimmed: string): Result<Chord> | undefined {
  const inner = /^(?:\((.*)\)|\[(.*)\]|\{(.*)\}|["'“”„](.*)["'“”])$/.exec(trimmed)
  const bare = inner?.slice(1).find((part) => part !== undefined)
  if (bare !== undefined) return withNote(text, bare, 'the brackets around it are not kept')
  const tail = /^(.*[^.,;:|!?*…])[.,;:|!?*… ]+$/.exec(trimmed)
  if (tail) {
    const says = /[!?*]/.test(trimmed.slice((tail[1] as string).length))
    return withNote(text, tail[1] as string, says ? 'the sign behind it is not kept' : undefined)
  }
  // 'min.', 'Maj.7': abbreviations with their points.
  const signs = spokenToSigns(trimmed) ?? (/[a-z]\./i.test(trimmed) ? trimmed.replace(/(?<=[a-z])\./gi, '') : undefined)
  return signs === undefined ? undefined : withNote(text, signs, undefined)
}

function withNote(source: string, bare: string, message: string | undefined): Result<Chord> | undefined {
  const read = parseChord(bare)
  if (!read.ok) return undefined
  const notes = message === undefined ? [] : [issue('CH2', 'note', 'character/1', `'${source}': ${message}.`)]
  const issues = [...(read.issues ?? []), ...notes]
  return ok(read.value, issues)
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
  const colon = text.indexOf(':', root.end)
  if (colon > 0 && colon <= root.end + 2) {
    const read = readColonChord(text.trimEnd())
    if (read) return told(source, plain, offset, read.root, read, [])
    const flat = colonRoot(text)
    if (flat && flat.root !== root.name) return readOne(source, plain, `${flat.root}${flat.rest}`, offset)
  }
  if (text[root.end] === 'b' || text[root.end] === '#')
    return unreadable(source, plain.place(offset + root.end), 'a root has at most two accidentals of one kind')
  const trimmed = text.trimEnd()
  const suffix = readSuffix(trimmed, root.end)
  if (isTrouble(suffix)) {
    const message = (suffix.at === root.end && foreignRootMend(text.slice(start))) || suffix.message
    return unreadable(source, plain.place(offset + suffix.at), message)
  }
  return told(source, plain, offset, root.name, suffix, rootRemarks(root.name, trimmed, root.end))
}

function told(
  source: string,
  plain: ChordText,
  offset: number,
  root: string,
  suffix: Suffix,
  more: readonly Trouble[],
): Result<Chord> {
  const remarks = more.length > 0 ? [...suffix.remarks, ...more] : suffix.remarks
  return ok(
    buildChord(root, suffix, suffix.bass),
    remarks.length === 0
      ? undefined
      : remarks.map(({ at, message }) =>
          issue('CH2', 'note', `character/${plain.place(offset + at)}`, `'${source}': ${message}.`),
        ),
  )
}

/** An accidental after the root letter belongs to the root; where the other reading is near, say so. */
function rootRemarks(root: string, text: string, end: number): readonly Trouble[] {
  if (root === 'D' && /^Do(?:$|[79])/.test(text))
    return [{ at: end, message: "read as D diminished; the Romance 'Do' is written C" }]
  if (root.length === 1) return NO_REMARKS
  const figure = /^(?:5|9|11|13)/.exec(text.slice(end, end + 2))?.[0]
  if (figure === undefined || !/^(?:Cb|Fb|E#|B#|.bb|.##)$/.test(root)) return NO_REMARKS
  const letter = root.slice(0, -1)
  const mark = root.slice(-1)
  return [
    {
      at: end - 1,
      message: `read as root ${root}; for an altered chord on ${letter} write '${letter}7(${mark}${figure})'`,
    },
  ]
}

const NO_REMARKS: readonly Trouble[] = []

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
  if (/^[xX]$/.test(text)) return "an x says nothing sure: write 'N.C.' where no chord is played"
  if (/^(?:\/\/|%%|\/)$/.test(text)) return "write '%' for the bar before once more, 'N.C.' for no chord"
  const foreign = foreignRootMend(text)
  if (foreign) return foreign
  if (/^[a-g]/.test(text)) {
    const root = text.charAt(0).toUpperCase()
    const whole = parseChord(root + text.slice(1)).ok ? root + text.slice(1) : root
    const minor = /^[a-g][b#]{0,2}(?:$|[\d/])/.test(text) ? whole.replace(/^[A-G][b#]{0,2}/, '$&m') : ''
    return `roots are capital letters: write '${whole}'${minor === '' ? '' : `, or '${minor}' if the small letter meant minor`}`
  }
  if (text.startsWith('/')) return 'a bass note needs its chord before the slash'
  return 'a chord begins with its root, a letter from A to G'
}

function unreadable(source: string, character: number, message: string): Result<Chord> {
  return fail(issue('CH1', 'error', `character/${character}`, `'${source}', character ${character}: ${message}.`))
}
