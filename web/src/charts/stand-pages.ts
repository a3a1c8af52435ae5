/** A chart on a screen: how large, which page has the bar that sounds, when to turn. */
import type { ChartMark } from '@chartloft/shared-theory'
import type { ComposedPage } from './compose-pages.js'
import type { Sheet } from './engraver.js'

/** Tenths of a millimetre to a CSS pixel, by definition 1/96 inch. */
const TENTHS_A_PIXEL = 254 / 96
/** Narrower than that, two bars fill a line. From looking at phones and tablets at reading distance. */
const PHONE_PX = 600
/** A width at which four bars to a line stand at paper's size. */
const PAPER_PX = 760
const PHONE_SCALE = 104
const LARGEST_SCALE = 190

export interface StandShape {
  readonly barsALine: number
  readonly sheet: Sheet
}

/** The whole of a screen as one sheet: two bars a line on a phone, four from a tablet on, larger on larger screens. */
export function standShape(widthPx: number, heightPx: number): StandShape {
  const isPhone = widthPx < PHONE_PX
  const scalePercent = isPhone ? PHONE_SCALE : Math.min(LARGEST_SCALE, Math.round((100 * widthPx) / PAPER_PX))
  const edge = isPhone ? 35 : 70
  return {
    barsALine: isPhone ? 2 : 4,
    sheet: {
      page: {
        widthTenthsMm: Math.round(widthPx * TENTHS_A_PIXEL),
        heightTenthsMm: Math.round(heightPx * TENTHS_A_PIXEL),
        scalePercent,
      },
      margins: { left: edge + 15, right: edge, top: 30, bottom: 30 },
    },
  }
}

/** The number of the bar, as the page draws it, that plays a bar of the arrangement; a bar inside a long rest is the rest's. */
export function drawnBar(
  marks: readonly ChartMark[],
  pages: readonly ComposedPage[],
  barIndex: number,
): { readonly page: number; readonly number: number } | undefined {
  const written = marks.findIndex(({ playings }) => playings.includes(barIndex))
  if (written < 0) return undefined
  let found: { page: number; number: number } | undefined
  for (const [page, { bars }] of pages.entries())
    for (const number of bars) if (number <= (marks[written] as ChartMark).number) found = { page, number }
  return found
}

/** The page to show while a bar sounds: its own, and from the middle of its page's last bar the one that comes next. */
export function pageToShow(
  marks: readonly ChartMark[],
  pages: readonly ComposedPage[],
  { barIndex, beat }: { readonly barIndex: number; readonly beat: number },
  beats: number,
): number | undefined {
  const here = drawnBar(marks, pages, barIndex)
  const next = drawnBar(marks, pages, barIndex + 1)
  if (!here || !next || next.page === here.page) return here?.page
  return beat * 2 >= beats ? next.page : here.page
}

/** What a key of a keyboard or a page-turning pedal asks for. */
export function turnOf(key: string): 'next' | 'previous' | 'first' | 'last' | undefined {
  if (['PageDown', 'ArrowRight', 'ArrowDown', ' ', 'Enter'].includes(key)) return 'next'
  if (['PageUp', 'ArrowLeft', 'ArrowUp', 'Backspace'].includes(key)) return 'previous'
  return key === 'Home' ? 'first' : key === 'End' ? 'last' : undefined
}
