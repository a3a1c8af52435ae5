/** How far apart two pages start the same note, at their audio clocks. */
import type { Page } from 'playwright-core'
import type { Listened } from './house.js'

export const started = (page: Page) =>
  page.evaluate(() => (document.querySelector('loft-player') as unknown as Listened).listening.player.started.slice())

/** For the newest notes of the same name started on both pages: how much later one is than the other, in ms. */
export async function apart(one: Page, other: Page): Promise<readonly number[]> {
  const [mine, theirs] = await Promise.all([started(one), started(other)])
  const nameOf = ({ partId, midi, scheduleMs }: (typeof mine)[number]) => `${partId} ${midi} ${scheduleMs}`
  const at = new Map(theirs.map((note) => [nameOf(note), note.epochMs]))
  return mine.slice(-60).flatMap((note) => {
    const other = at.get(nameOf(note))
    return other === undefined ? [] : [note.epochMs - other]
  })
}
