/** Some grooves, openings and endings rendered and listened to; the bench does it with all of them. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { listener } from '../fixtures/listening/listen.js'
import { someScenes } from '../fixtures/listening/scenes.js'
import { openSoundPage, type SoundPage } from './sound-page.js'

let house: SoundPage
beforeAll(async () => {
  house = await openSoundPage()
}, 240_000)
afterAll(() => house?.close())

describe('[AU20] [AU21] [AU22] [AU24] [AU25] [AU26] [AU27] [AU28] rendered and listened to', () => {
  it.each(someScenes().map((scene) => [scene.id, scene] as const))('%s', async (_id, scene) => {
    const findings = await listener(house.browser).listen(house.page, scene)
    expect(findings.filter(({ holds }) => !holds)).toEqual([])
    expect(findings.length).toBeGreaterThan(3)
  })
})
