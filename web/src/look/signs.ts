/** The few drawn signs: how settled a decision is, play and stop, the mark of the house. A word stands beside each in the page. */
import { svg, html, type SVGTemplateResult, type TemplateResult } from 'lit'
import type { SlotStatus } from '../state/slots.js'

const CORDS: { readonly [status in SlotStatus]: SVGTemplateResult } = {
  open: svg`<path d="M0 10h11m0 0 4.5-4M11 10l5.5 .6M11 10l3.5 4.5M36 10h-9m0 0-4-4.4M27 10l-5.5 1M27 10l-3 4.5"/>`,
  voting: svg`<path d="M0 10h15c9 0 12.5-2 12.5-5.2C27.5 2.6 25.4 1.5 22.5 1.5c-4.8 0-8.5 3.5-8.5 7.5 0 2.200 1.500 1 8 1h14"/>`,
  locked: svg`<path stroke-width="3" d="M0 10h8m20 0h8"/><path fill="currentColor" stroke="none" d="M8 10c0-5 4-8 8-8 3 0 4 1.500 6 1.500s6 2 6 6.500-4 8-8 8c-3 0-4-1.500-6-1.500S8 15 8 10z"/><path class="slit" stroke-width="1.6" d="M12 15c1-7 6-3.500 8-10M16.500 16.500c2-4 6-3.500 8-8"/>`,
}

/** The cord's sign: loose ends, a loop, a knot. */
export const cordSign = (status: SlotStatus): TemplateResult =>
  html`<svg class="sign ${status}" viewBox="0 0 36 20" aria-hidden="true">${CORDS[status]}</svg>`

/** A quarter or half note, dotted or not, as in front of a tempo. */
export const beatSign = (isHalf: boolean, isDotted: boolean): TemplateResult =>
  html`<svg class="beat" viewBox="0 0 ${isDotted ? 13 : 9} 20" aria-hidden="true">
    <ellipse
      cx="4.400"
      cy="16"
      rx="3.600"
      ry="2.600"
      transform="rotate(-22 4.400 16)"
      fill=${isHalf ? 'none' : 'currentColor'}
      stroke="currentColor"
      stroke-width="1.400"
    />
    <path d="M7.700 15V2" fill="none" stroke="currentColor" stroke-width="1.400" />
    ${isDotted ? svg`<circle cx="11.400" cy="15.500" r="1.300" fill="currentColor" />` : ''}
  </svg>`

export const playSign = html`<svg viewBox="0 0 16 16" aria-hidden="true"><path d="M3 1.5v13L14.500 8z" /></svg>`
export const stopSign = html`<svg viewBox="0 0 16 16" aria-hidden="true"><path d="M2.500 2.500h11v11h-11z" /></svg>`
export const houseMark = html`<svg
  viewBox="0 0 24 24"
  aria-hidden="true"
  fill="none"
  stroke="currentColor"
  stroke-width="2"
>
  <path d="M1 12.500 12 3l11 9.500" />
  <path d="M5 14.500h14M5 18h14M5 21.500h14" stroke-width="1.200" />
</svg>`
