/** A person with a keyboard and no pointer: they know what has the focus by its name, as a screen reader says it. */
import type { Page } from 'playwright-core'

/** The name of what has the focus: its label, else its text. */
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const element = document.activeElement
    if (!(element instanceof HTMLElement) || element === document.body) return ''
    const { labels } = element as HTMLInputElement
    const by = element
      .getAttribute('aria-labelledby')
      ?.split(' ')
      .map((id) => document.getElementById(id)?.textContent)
    const name =
      element.getAttribute('aria-label') ??
      by?.join(' ') ??
      (labels && labels.length > 0 ? [...labels].map((label) => label.textContent).join(' ') : element.textContent)
    return (name ?? '').replaceAll(/\s+/g, ' ').trim()
  })

/** Presses Tab until what has the focus is called so; how often that took. */
export async function tabTo(page: Page, name: RegExp, most = 260): Promise<number> {
  for (let press = 1; press <= most; press++) {
    await page.keyboard.press('Tab')
    if (name.test(await focused(page))) return press
  }
  throw new Error(`${most} times Tab never reach ${String(name)}`)
}

export async function tabAndPress(page: Page, name: RegExp, key = 'Enter'): Promise<void> {
  await tabTo(page, name)
  await page.keyboard.press(key)
}
