/** Votes as one counts them on paper: strokes in fives, the number beside them. */
import { html, type TemplateResult } from 'lit'

/** Beyond this the number alone says it. */
const MOST_STROKES = 25
const FIVE_WIDTH = 34

/** Path and width of `count` strokes; the fifth crosses the four before it. */
export function tallyPath(count: number): { readonly d: string; readonly width: number } {
  let d = ''
  let width = 0
  for (let stroke = 0; stroke < count; stroke++) {
    const left = Math.floor(stroke / 5) * FIVE_WIDTH
    const place = stroke % 5
    if (place === 4) d += `M${left + 1} 14L${left + 27} 4`
    else d += `M${left + 2 + place * 7} 2.5L${left + 1.4 + place * 7} 16`
    width = left + (place === 4 ? 28 : 7 + place * 7)
  }
  return { d, width }
}

export function tally(count: number): TemplateResult | undefined {
  if (count < 1 || count > MOST_STROKES) return undefined
  const { d, width } = tallyPath(count)
  return html`<span class="tally"
    ><svg viewBox="0 0 ${width} 18" width=${width} height="18" aria-hidden="true"><path d=${d} /></svg
  ></span>`
}
