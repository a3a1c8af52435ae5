/** What an engraver leaves to chance is settled in its own text (MEI) before it lays the chart out: chord symbols lie next to the staff, what
 *  a section is called and its tempo above them, the title large, and pages turn where a player has a hand free. */

/** Code points of notes in tempo marks, as signs of ordinary fonts. Source: SMuFL 1.4. */
const NOTE_SIGNS: { readonly [sign: string]: string } = {
  '\uECA2': '𝅝',
  '\uECA3': '𝅗𝅥',
  '\uECA5': '♩',
  '\uECA7': '♪',
  '\uECB7': '.',
}
const MEASURE = /<measure [^>]*>[\s\S]*?<\/measure>/g
const SECTION_WORDS = /<dir [^>]*tstamp="1"[^>]*>\s*<rend [^>]*fontweight="bold"[^>]*>([^<]*)<\/rend>\s*<\/dir>\s*/
const TEMPO = /<tempo [^>]*tstamp="1"[^>]*>([\s\S]*?)<\/tempo>\s*/
const BOXED = /<reh [^>]*>[\s\S]*?<\/reh>/

const plainText = (mei: string): string =>
  mei
    .replaceAll(/<[^>]*>/g, '')
    .replaceAll(/[\uE000-\uF8FF]/g, (sign) => NOTE_SIGNS[sign] ?? '')
    .replaceAll(/\s+/g, ' ')
    .trim()

/** Words above the chord symbols: the engraver puts whatever is a rehearsal mark there. */
const above = (text: string): string =>
  `<reh place="above" staff="1" tstamp="1"><rend halign="left" fontweight="bold">${text}</rend></reh>`

function raised(measure: string): string {
  const boxed = BOXED.exec(measure)?.[0]
  const tempo = TEMPO.exec(measure)
  const words = boxed === undefined ? null : SECTION_WORDS.exec(measure)
  const text = [words?.[1], tempo?.[1]]
    .flatMap((found) => (found === undefined ? [] : [plainText(found)]))
    .join('\u2003')
  if (text === '') return measure
  const without = measure.replace(tempo?.[0] ?? '', '').replace(words?.[0] ?? '', '')
  return boxed === undefined
    ? without.replace('</measure>', () => `${above(text)}</measure>`)
    : without.replace(boxed, () => boxed + above(text))
}

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

/** The road map broken at its dots, so that no line is wider than the page. */
function headLines(roadMap: string, most: number): readonly string[] {
  const lines: string[] = []
  for (const part of roadMap.split(' · ')) {
    const last = lines.at(-1)
    if (last !== undefined && last.length + part.length + 3 <= most) lines[lines.length - 1] = `${last} · ${part}`
    else lines.push(part)
  }
  return lines
}

const LETTERS_A_LINE = 88

export function arrangeMarks(mei: string, roadMap: string): string {
  const lines = roadMap === '' ? [] : headLines(roadMap, LETTERS_A_LINE)
  const road = lines.map(escaped).join('<lb/>')
  return mei
    .replaceAll(MEASURE, raised)
    .replace(/(<pgHead[\s\S]*?<rend [^>]*halign="center" fontweight="bold")>/, '$1 fontsize="190%">')
    .replace('</pgHead>', () =>
      road === '' ? '</pgHead>' : `<rend halign="center" valign="bottom" fontsize="90%">${road}</rend></pgHead>`,
    )
}

export interface ChartLine {
  /** The engraver's id of the line's first bar. */
  readonly firstBar: string
  readonly beginsSection: boolean
  readonly beginsSilent: boolean
  readonly endsSilent: boolean
}

/** The lines of a chart whose line breaks are written in it. */
export function linesOf(mei: string): readonly ChartLine[] {
  const lines: string[][] = [[]]
  for (const [token] of mei.matchAll(/<sb [^>]*\/>|<measure [^>]*>[\s\S]*?<\/measure>/g)) {
    if (token.startsWith('<sb')) lines.push([])
    else (lines.at(-1) as string[]).push(token)
  }
  const isSilent = (measure: string): boolean => !/<(note|chord) /.test(measure)
  return lines.flatMap((bars) => {
    const [first] = bars
    if (first === undefined) return []
    return [
      {
        firstBar: /xml:id="([^"]+)"/.exec(first)?.[1] ?? '',
        beginsSection: BOXED.test(first),
        beginsSilent: isSilent(first),
        endsSilent: isSilent(bars.at(-1) as string),
      },
    ]
  })
}

/** A page that turns in the middle of playing costs as much as one filled by a third less than the others. */
const NO_HAND_FREE = 0.35
const INSIDE_SECTION = 0.25

/** Which lines begin a page: as many pages as before and no page with more lines than it held, evenly filled, turned at rests, sections kept
 *  together. `held` has the lines of each page as the engraver filled them one after the other. */
export function pageStarts(lines: readonly ChartLine[], held: readonly number[]): readonly number[] {
  const pages = held.length
  if (pages < 2) return [0]
  const most = Math.min(...held.slice(0, -1))
  const even = lines.length / pages
  const cost = (start: number): number => {
    const line = lines[start] as ChartLine
    const isFree = line.beginsSilent || (lines[start - 1] as ChartLine).endsSilent
    return (isFree ? 0 : NO_HAND_FREE) + (line.beginsSection ? 0 : INSIDE_SECTION)
  }
  let best = new Map<number, { readonly cost: number; readonly starts: readonly number[] }>([
    [0, { cost: 0, starts: [0] }],
  ])
  for (let page = 1; page < pages; page++) {
    const next: typeof best = new Map()
    for (const [from, path] of best)
      for (let to = from + 1; to <= Math.min(from + most, lines.length - 1); to++) {
        const total = path.cost + cost(to) + ((to - from - even) / even) ** 2 * 3
        if (total < (next.get(to)?.cost ?? Infinity)) next.set(to, { cost: total, starts: [...path.starts, to] })
      }
    best = next
  }
  const whole = [...best]
    .filter(([from]) => lines.length - from <= most)
    .map(([from, path]) => ({ ...path, cost: path.cost + ((lines.length - from - even) / even) ** 2 * 3 }))
    .sort((a, b) => a.cost - b.cost)
  return whole[0]?.starts ?? []
}

/** The same chart with pages beginning at these lines. */
export function withPages(mei: string, starts: readonly number[]): string {
  let line = 0
  return mei.replaceAll(/<sb [^>]*\/>/g, (found) => (starts.includes(++line) ? '<pb />' : found))
}
