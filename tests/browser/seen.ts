/** What a page looks like to those who test it: what axe finds, what sticks out, what is cut off, what is too small to hit. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** Everything axe finds, whatever its weight, with the place of it. The seat needs `bypassCSP`: axe is put in as the page's own script. */
export async function axeFindings(page: Page): Promise<string[]> {
  await page.evaluate(AXE)
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(where: Document, how: object): Promise<{ violations: AxeViolation[] }> }
    }
    interface AxeViolation {
      id: string
      impact: string
      nodes: { target: string[]; failureSummary: string }[]
    }
    const { violations } = await axe.run(document, { resultTypes: ['violations'] })
    return violations.flatMap(({ id, impact, nodes }) =>
      nodes.slice(0, 4).map(({ target, failureSummary }) => `${id} (${impact}) ${target.join(' ')} ${failureSummary}`),
    )
  })
}

/** Elements that stick out of the page sideways, the desk's own scroller left out. */
export const sideways = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const root = document.documentElement
    if (root.scrollWidth <= innerWidth) return []
    const out = [...document.querySelectorAll('body *')].filter((element) => {
      const box = element.getBoundingClientRect()
      return box.right > innerWidth + 1 && box.width > 0 && !element.closest('.three')
    })
    return [
      `page is ${root.scrollWidth} wide in ${innerWidth}`,
      ...out.slice(0, 6).map((element) => `${element.tagName.toLowerCase()}.${element.className}`),
    ]
  })

/** Text that is cut off: in a box that hides what overflows it. What only screen readers hear is left out. */
export const cutOff = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const found: string[] = []
    for (const element of document.querySelectorAll<HTMLElement>('body *')) {
      if (element instanceof SVGElement || element.closest('.vh, select, svg')) continue
      const style = getComputedStyle(element)
      if (style.overflowX === 'visible' && style.overflowY === 'visible') continue
      if (style.clipPath !== 'none' || !element.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
        continue
      if (style.overflowX === 'auto' || style.overflowX === 'scroll' || !element.innerText?.trim()) continue
      const isCut = element.scrollWidth > element.clientWidth + 1 || element.scrollHeight > element.clientHeight + 1
      if (isCut)
        found.push(
          `${element.tagName.toLowerCase()}.${element.className} “${element.innerText.slice(0, 30)}” ${element.scrollWidth}×${element.scrollHeight} in ${element.clientWidth}×${element.clientHeight}`,
        )
    }
    return [...new Set(found)].slice(0, 8)
  })

/** Targets smaller than they should be: 44 px on the player, 24 elsewhere; links in running text are excepted as the guidelines say. */
export const smallTargets = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const small: string[] = []
    for (const target of document.querySelectorAll<HTMLElement>(
      'button, a[href], input:not([type=hidden]), select, summary, textarea',
    )) {
      if (!target.checkVisibility({ checkOpacity: false, checkVisibilityCSS: true })) continue
      const own = target.getBoundingClientRect()
      const label = target.matches('input[type=radio], input[type=checkbox]') ? target.closest('label') : null
      const box = label?.getBoundingClientRect() ?? own
      if (box.width === 0 || target.closest('.vh') || target.classList.contains('skip')) continue
      const isInText = target.tagName === 'A' && getComputedStyle(target).display === 'inline'
      const least = target.closest('.player') ? 44 : 24
      if (!isInText && Math.min(box.width, box.height) < least - 0.5)
        small.push(
          `${target.tagName.toLowerCase()}.${target.className} “${(target.innerText || target.getAttribute('aria-label') || '').slice(0, 30)}” ${Math.round(box.width)}×${Math.round(box.height)}`,
        )
    }
    return [...new Set(small)]
  })
