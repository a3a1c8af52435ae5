/** A tune that was read, as the engraver's own text (MEI) shall show it: sections by their own names, proposed chords in brackets, lines as
 *  many bars long as there is room for. */

export interface TuneMarks {
  /** By bar: what the section that begins there is called. */
  readonly sections: ReadonlyMap<number, string>
  /** By bar: which of its chord symbols, in order, are proposed. */
  readonly proposed: ReadonlyMap<number, readonly boolean[]>
  /** Bars that begin a line. */
  readonly lineStarts: ReadonlySet<number>
}

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

/** What the writer marks a section with: running letters, and its name and bar beside them. */
const WRITTEN_MARKS = [
  /<reh [^>]*>[\s\S]*?<\/reh>\s*/g,
  /<tempo [^>]*>[\s\S]*?<\/tempo>\s*/g,
  /<dir [^>]*>\s*<rend [^>]*fontweight="bold"[^>]*>[^<]*<\/rend>\s*<\/dir>\s*/g,
]

export function arrangeTune(mei: string, { sections, proposed, lineStarts }: TuneMarks): string {
  let bar = -1
  return mei
    .replace(/<pgHead[\s\S]*?<\/pgHead>/, '')
    .replaceAll(/<[sp]b [^>]*\/>\s*/g, '')
    .replaceAll(/<measure [^>]*>[\s\S]*?<\/measure>/g, (measure) => {
      bar++
      const name = sections.get(bar)
      const bare = WRITTEN_MARKS.reduce((text, mark) => text.replaceAll(mark, ''), measure)
      const marked =
        name === undefined
          ? bare
          : bare.replace(
              '</measure>',
              () =>
                `<reh place="above" staff="1" tstamp="1"><rend rend="box" fontweight="bold">${escaped(name)}</rend></reh></measure>`,
            )
      return (lineStarts.has(bar) && bar > 0 ? '<sb/>' : '') + bracketed(marked, proposed.get(bar) ?? [])
    })
}

/** Brackets say in print what an editor added. */
function bracketed(measure: string, proposed: readonly boolean[]): string {
  let chord = -1
  return measure.replaceAll(/<harm ([^>]*)>([\s\S]*?)<\/harm>/g, (all, attributes: string, text: string) => {
    chord++
    return proposed[chord] ? `<harm ${attributes} type="proposed">(${text})</harm>` : all
  })
}

/** What a bar needs of a line, in engraver's units. */
export interface BarSize {
  readonly notes: number
  readonly chords: number
  /** A section begins here. */
  readonly begins: boolean
  /** Stands before the first bar of the first line, beyond the bars a line has. */
  readonly isPickup?: boolean
}

/** Room a note, a chord symbol and a bar at least take on a staff of 72 units, and clef and signature at a line's start. From looking at prints. */
const UNITS = { note: 62, chord: 150, bar: 170, head: 260 }
const BARS_A_LINE = 4

/** Which bars begin a line: sections, and whatever has no room any more. Four bars to a line where every line of the tune has room for them,
 *  else two, and one in a section so full that two have none. */
export function lineStartsFor(bars: readonly BarSize[], widthUnits: number): ReadonlySet<number> {
  const begins = bars.flatMap((bar, index) => (index === 0 || bar.begins ? [index] : []))
  const sections = begins.map((from, at) => ({ from, bars: bars.slice(from, begins[at + 1]) }))
  const usual = sections.every((section) => fits(section.bars, BARS_A_LINE, widthUnits)) ? BARS_A_LINE : 2
  return new Set(
    sections.flatMap((section) => {
      const perLine = fits(section.bars, usual, widthUnits) ? usual : 1
      return placesOf(section.bars).flatMap((place, at) =>
        startsLine(place, at, perLine, section.bars) ? [section.from + at] : [],
      )
    }),
  )
}

/** A pickup is place −1, the bars of a section count from 0. */
const placesOf = (section: readonly BarSize[]): readonly number[] =>
  section.map((_bar, at) => at - (section[0]?.isPickup ? 1 : 0))

function startsLine(place: number, at: number, perLine: number, section: readonly BarSize[]): boolean {
  if (at === 0) return true
  const full = placesOf(section).filter((one) => one >= 0).length
  // The last six bars are three and three, the last five three and two: what is left over would be set twice as wide.
  const over = full % 4
  const even = perLine === 4 && full > 4 && (over === 1 || over === 2) ? full - 4 - over : Number.POSITIVE_INFINITY
  return place > even ? (place - even) % 3 === 0 : place > 0 && place % perLine === 0
}

function fits(section: readonly BarSize[], perLine: number, widthUnits: number): boolean {
  const places = placesOf(section)
  let units = 0
  return section.every(({ notes, chords, isPickup }, at) => {
    if (startsLine(places[at] ?? 0, at, perLine, section)) units = UNITS.head
    units += Math.max(isPickup ? 0 : UNITS.bar, notes * UNITS.note, chords * UNITS.chord)
    return units <= widthUnits
  })
}
