/** The lead line, or one part, as an ABC 2.1 tune: chords, sections, key and metre changes, tuplets, ties, words. */
import type { ArrangedBar, Arrangement, TuneBar } from '../contract/index.js'
import { arrangementShape } from '../tune/index.js'
import { abcKey, formatMetre, sameMetre } from '../units/index.js'
import { type Atom, type Tuplet, atomsOf, melodyLine, partLine } from './abc/atoms.js'
import { BarAccidentals, lengthText } from './abc/pitch-text.js'

const BARS_A_LINE = 4
const EIGHTH_TICKS = 2520
/** Texts that an ABC reader would obey; the arrangement is written out, so they must not stand in it. */
const ROAD_TEXT = /^\W*(to coda|coda|segno|fine|d\.?\s*[cs]\.?)/i

/**
 * The arrangement as one ABC tune at sounding pitch. Without `part` the melody is written; with it that part's notes
 * (unknown parts and drums give the melody's bars with rests). Every bar carries its chords.
 */
export function writeAbc(given: Arrangement, options: { readonly part?: string } = {}): string {
  const arrangement = arrangementShape(given)
  const { bars } = arrangement
  const first = bars[0]
  const part = options.part === undefined ? undefined : arrangement.lineup.find((one) => one.id === options.part)
  const head = [
    '%abc-2.1',
    'X:1',
    `T:${plainText(arrangement.title)}`,
    ...(part ? [`T:${plainText(part.name)}`] : []),
    `R:${plainText(arrangement.groove)}`,
    `M:${formatMetre(first?.metre ?? { beats: 4, beatType: 4 })}`,
    'L:1/8',
    ...(first ? [`Q:1/4=${first.tempoBpm}`] : []),
    `K:${first ? abcKey(first.key) : 'C'}`,
  ]
  return `${[...head, ...body(bars, options.part, part?.role === 'drums')].join('\n')}\n`
}

/** One bar's melody by itself, with its rests, a letter an eighth: what somebody puts right by hand (`mendTune`, 'notes'). */
export function melodyText({ key, melody, lengthTicks }: Pick<TuneBar, 'key' | 'melody' | 'lengthTicks'>): string {
  const atoms = atomsOf(melodyLine({ melody }), lengthTicks, [])
  // The usual triplet needs no figures but its own.
  return barText({ key, chords: [] }, atoms).replaceAll(/\(3:2:3(?!\d)/g, '(3')
}

function body(bars: readonly ArrangedBar[], part: string | undefined, isSilent: boolean): string[] {
  const lines: string[] = []
  let row: { music: string[]; words: string[] } = { music: [], words: [] }
  const flush = (): void => {
    if (row.music.length > 0) lines.push(row.music.join(' '))
    if (row.words.some((word) => word !== '*')) lines.push(`w: ${row.words.join(' ')}`)
    row = { music: [], words: [] }
  }
  for (const [at, bar] of bars.entries()) {
    const before = bars[at - 1]
    const isStart = !before || before.sectionId !== bar.sectionId || before.pass !== bar.pass
    if (isStart) {
      flush()
      lines.push(`P:${sectionText(bar.sectionId)}`)
    } else if (row.music.length >= BARS_A_LINE) flush()
    const next = bars[at + 1]
    const notes = isSilent
      ? []
      : part === undefined
        ? melodyLine(bar)
        : partLine((bar.parts[part] ?? []).filter(({ printed }) => printed !== 'cue'))
    const atoms = atomsOf(
      notes,
      bar.lengthTicks,
      bar.chords.map((chord) => chord.startTick),
    )
    const close = !next ? '|]' : next.sectionId !== bar.sectionId || next.pass !== bar.pass ? '||' : '|'
    row.music.push(`${changes(bar, before)}${barText(bar, atoms)} ${close}`)
    for (const atom of atoms) if (atom.pitches.length > 0) row.words.push(atom.lyric ? syllableText(atom.lyric) : '*')
  }
  flush()
  return lines
}

function changes(bar: ArrangedBar, before: ArrangedBar | undefined): string {
  if (!before) return ''
  const fields: string[] = []
  if (before.key.key !== bar.key.key || before.key.mode !== bar.key.mode) fields.push(`[K:${abcKey(bar.key)}]`)
  if (!sameMetre(before.metre, bar.metre)) fields.push(`[M:${formatMetre(bar.metre)}]`)
  if (before.tempoBpm !== bar.tempoBpm) fields.push(`[Q:1/4=${bar.tempoBpm}]`)
  return fields.length > 0 ? `${fields.join('')} ` : ''
}

type Marked = Pick<ArrangedBar, 'key' | 'chords' | 'mark' | 'dynamic' | 'fermataTick'>

function barText(bar: Marked, atoms: readonly Atom[]): string {
  const accidentals = new BarAccidentals(bar.key.fifths)
  const mark = bar.mark && !ROAD_TEXT.test(bar.mark) ? `"^${plainText(bar.mark)}"` : ''
  const out: string[] = []
  let left = 0
  for (const [at, atom] of atoms.entries()) {
    let prefix = at === 0 ? mark + (bar.dynamic ? `!${bar.dynamic}!` : '') : ''
    const chord = bar.chords.findLast((one) => one.startTick <= atom.startTick)
    if (chord?.startTick === atom.startTick) prefix += `"${plainText(chord.chord.symbol)}"`
    if (left === 0 && atom.tuplet) {
      left = runLength(atoms, at, atom.tuplet)
      prefix += `(${atom.tuplet.actual}:${atom.tuplet.normal}:${left}`
    }
    if (left > 0) left--
    if (
      bar.fermataTick !== undefined &&
      bar.fermataTick >= atom.startTick &&
      bar.fermataTick < atom.startTick + atom.ticks
    )
      prefix += '!fermata!'
    out.push(prefix + atomText(atom, accidentals))
  }
  return out.join(' ')
}

/** Notes of one tuplet: up to where it comes back to the eighths, or as far as its kind goes on. */
function runLength(atoms: readonly Atom[], from: number, tuplet: Tuplet): number {
  let count = 0
  let ticks = 0
  for (
    let at = from;
    atoms[at]?.tuplet?.actual === tuplet.actual && atoms[at]?.tuplet?.normal === tuplet.normal;
    at++
  ) {
    count++
    ticks += atoms[at]?.ticks ?? 0
    if (ticks % EIGHTH_TICKS === 0) break
  }
  return count
}

function atomText(atom: Atom, accidentals: BarAccidentals): string {
  const nominal = atom.tuplet ? (atom.ticks * atom.tuplet.actual) / atom.tuplet.normal : atom.ticks
  const length = lengthText(Math.round(nominal))
  if (atom.pitches.length === 0) return `z${length}`
  const grace =
    atom.grace && atom.grace.length > 0 ? `{${atom.grace.map((pitch) => accidentals.text(pitch)).join('')}}` : ''
  const pitches = atom.pitches.map((pitch) => accidentals.text(pitch)).join('')
  return `${grace}${atom.pitches.length > 1 ? `[${pitches}]` : pitches}${length}${atom.isTied ? '-' : ''}`
}

/** 'A1' → 'A', 'opening' → 'Intro', 'ending' → 'Coda', 'verse' → 'Verse'. */
function sectionText(sectionId: string): string {
  if (sectionId === 'opening') return 'Intro'
  if (sectionId === 'ending') return 'Coda'
  const letter = /^([A-Z])\d+$/.exec(sectionId)?.[1]
  return letter ?? plainText(sectionId.charAt(0).toUpperCase() + sectionId.slice(1))
}

/** One line, without the signs that would end a text. */
function plainText(text: string): string {
  return text
    .replace(/[\r\n\t]+/g, ' ')
    .replace(/"/g, "'")
    .replace(/%/g, '\\%')
}

function syllableText(lyric: string): string {
  const isBroken = lyric.endsWith('-')
  const plain = (isBroken ? lyric.slice(0, -1) : lyric)
    .replace(/[|*_%]/g, '')
    .replaceAll('-', '\\-')
    .trim()
    .replace(/\s+/g, '~')
  return plain === '' ? '*' : `${plain}${isBroken ? '-' : ''}`
}
