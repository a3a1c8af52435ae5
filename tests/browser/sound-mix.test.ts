/** My own mix and my own file, through the page: rows of the mix, click, loop of bars, the clip light, and the file with its progress, its length and its way out. */
import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readWav } from '../fixtures/listening/hear.js'
import { rmsDb } from '../fixtures/listening/loudness-curve.js'
import { cleanUp } from '../server/harness.js'
import { comeIn, demoKeys, type House, type Listened, openHouse, type Seat } from './house.js'

interface Heard {
  readonly listening: Listened['listening'] & {
    readonly totalMs: { readonly value: number }
    readonly loop: { readonly value: { fromTick: number; toTick: number } | undefined }
    readonly player: { readonly mixer: { analyser(): AnalyserNode; readonly context: AudioContext } }
  }
}

let house: House
let me: Seat
let page: Page

beforeAll(async () => {
  house = await openHouse(['--demo'])
  const keys = await demoKeys(house)
  me = await comeIn(house, keys.leader, 'Maro', 'bass')
  page = me.page
  await page.locator('loft-pass').first().waitFor()
  // The player loads when sound is first wanted.
  await page.getByRole('button', { name: 'Play', exact: true }).click()
  await page.locator('section.player[data-stage=playing]').waitFor({ timeout: 30_000 })
  await page.getByRole('button', { name: 'Alone' }).click()
  const more = page.getByRole('button', { name: 'My part and practice' })
  if ((await more.getAttribute('aria-expanded')) === 'false') await more.click()
}, 120_000)
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** Mean level of the two sides over a span, in decibels; behind the limiter. */
const sides = (ms: number): Promise<readonly [left: number, right: number]> =>
  page.evaluate(async (span) => {
    const { mixer } = (document.querySelector('loft-player') as unknown as Heard).listening.player
    const out = mixer.analyser()
    const split = mixer.context.createChannelSplitter(2)
    out.connect(split)
    const ears = [0, 1].map((side) => {
      const ear = mixer.context.createAnalyser()
      ear.fftSize = 2048
      split.connect(ear, side)
      return ear
    })
    const power = [0, 0]
    const samples = new Float32Array(2048)
    const end = performance.now() + span
    let rounds = 0
    while (performance.now() < end) {
      for (const [side, ear] of ears.entries()) {
        ear.getFloatTimeDomainData(samples)
        power[side] = (power[side] as number) + samples.reduce((sum, sample) => sum + sample * sample, 0) / 2048
      }
      rounds++
      await new Promise((resolve) => setTimeout(resolve, 30))
    }
    const [left = 0, right = 0] = power.map((sum) => 10 * Math.log10(sum / rounds + 1e-12))
    return [left, right] as const
  }, ms)

const slide = (label: string, value: number) => page.getByLabel(label, { exact: true }).fill(String(value))
const silence = (part: string) => page.getByRole('button', { name: `${part} silent`, exact: true }).click()

describe('[AU31] my mix', () => {
  it('silences, lowers and moves a part, for my ears', async () => {
    await page.getByText('Mix: every part').click()
    const names = await page.locator('.mix li .who').allInnerTexts()
    expect(names.length).toBeGreaterThanOrEqual(4)
    const bass = names.find((name) => /bass/i.test(name)) ?? ''
    for (const name of names) if (name !== bass) await silence(name)
    await page.waitForTimeout(900)
    const [left, right] = await sides(1800)
    expect(Math.max(left, right)).toBeGreaterThan(-60)
    expect(Math.abs(left - right)).toBeLessThan(3)
    await slide(`${bass} to the left or right`, -100)
    await page.waitForTimeout(300)
    const [farLeft, farRight] = await sides(1800)
    console.log(
      `bass alone ${left.toFixed(0)} / ${right.toFixed(0)} dB, to the left ${farLeft.toFixed(0)} / ${farRight.toFixed(0)} dB`,
    )
    expect(farLeft - farRight).toBeGreaterThan(15)
    await slide(`Level of ${bass}`, -24)
    await page.waitForTimeout(300)
    const [soft] = await sides(1800)
    expect(farLeft - soft).toBeGreaterThan(15)
    await silence(bass)
    await page.waitForTimeout(1300)
    expect(Math.max(...(await sides(800)))).toBeLessThan(-70)
    await page.getByRole('button', { name: 'As mixed again' }).click()
    await page.waitForTimeout(300)
    expect(Math.max(...(await sides(1200)))).toBeGreaterThan(-45)
  })

  it('clicks along where asked, also with nobody else', async () => {
    const names = await page.locator('.mix li .who').allInnerTexts()
    for (const name of names) await silence(name)
    await page.waitForTimeout(1300)
    expect(Math.max(...(await sides(700)))).toBeLessThan(-70)
    await page.getByRole('button', { name: 'Along with the music' }).click()
    await page.waitForTimeout(900)
    expect(Math.max(...(await sides(1500)))).toBeGreaterThan(-60)
    await page.getByRole('button', { name: 'Along with the music' }).click()
    await page.getByRole('button', { name: 'As mixed again' }).click()
  })

  it('lights where it is limited', async () => {
    const light = page.locator('.player .clip')
    expect(await light.getAttribute('data-over')).toBeNull()
    for (const name of await page.locator('.mix li .who').allInnerTexts()) await slide(`Level of ${name}`, 6)
    await page.getByLabel('My level').fill('0')
    await page.locator('.player .clip[data-over]').waitFor({ timeout: 15_000 })
    expect(await page.getByText('Too loud: it is being limited').isVisible()).toBe(true)
    await page.getByLabel('My level').fill('-12')
    await page.getByRole('button', { name: 'As mixed again' }).click()
    await expect.poll(() => light.getAttribute('data-over'), { timeout: 8000 }).toBeNull()
  })

  it('goes round any bars', async () => {
    await page.getByLabel('Loop to bar').fill('4')
    await page.getByLabel('Loop to bar').press('Tab')
    await page.getByLabel('Loop from bar').fill('3')
    await page.getByLabel('Loop from bar').press('Tab')
    const loop = () =>
      page.evaluate(() => (document.querySelector('loft-player') as unknown as Heard).listening.loop.value)
    await expect.poll(loop).toMatchObject({ fromTick: 2 * 20_160, toTick: 4 * 20_160 })
    expect(await page.getByLabel('Loop', { exact: true }).inputValue()).toBe('-2')
    await page.getByLabel('Loop', { exact: true }).selectOption('-1')
    await expect.poll(loop).toBeUndefined()
  })
})

/** Stands still, whatever was heard before. */
async function stopped(): Promise<void> {
  const stop = page.getByRole('button', { name: 'Stop', exact: true })
  if (await stop.isVisible()) await stop.click()
  await page.locator('section.player[data-stage=stopped]').waitFor()
}

describe('[AU31] the count-in', () => {
  it('is heard for its bars before anybody plays', async () => {
    await stopped()
    // Notes already handed over for after the stop are none of this start.
    await page.waitForTimeout(900)
    await page.getByLabel('Count-in').selectOption('2')
    const pressed = await page.evaluate(() => performance.timeOrigin + performance.now())
    await page.getByRole('button', { name: 'Play', exact: true }).click()
    const level = await sides(2600)
    await page.locator('section.player[data-stage=playing]').waitFor({ timeout: 30_000 })
    const first = await page.evaluate((from) => {
      const { started } = (document.querySelector('loft-player') as unknown as Heard).listening.player
      return started.find(({ epochMs }) => epochMs > from)?.epochMs ?? 0
    }, pressed)
    // Two bars of four at 138 a minute.
    expect(first - pressed).toBeGreaterThan((8 * 60_000) / 138 - 50)
    expect(Math.max(...level)).toBeGreaterThan(-60)
    await page.getByRole('button', { name: 'Stop', exact: true }).click()
    await page.getByLabel('Count-in').selectOption('0')
  })
})

/** The file's bytes, once the button has made it. */
async function saved(): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const [download] = await Promise.all([
    page.waitForEvent('download', { timeout: 120_000 }),
    page.getByRole('button', { name: 'Save what I hear as a sound file' }).click(),
  ])
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) }
}
const TAIL_MS = 2500

describe('[AU11] [AU32] the file of what I hear', () => {
  it('is made with progress, lasts as long as the piece and its dying away, and without me is without me', async () => {
    const totalMs = await page.evaluate(
      () => (document.querySelector('loft-player') as unknown as Heard).listening.totalMs.value,
    )
    const shown = page.locator('.bounce progress').waitFor({ timeout: 60_000 })
    const all = await saved()
    await shown
    expect(all.name).toMatch(/\.wav$/)
    const sound = readWav(all.bytes)
    const ms = ((sound.channels[0]?.length ?? 0) / sound.rate) * 1000
    // The last notes may end a little before or after the last bar line.
    expect(Math.abs(ms - totalMs - TAIL_MS)).toBeLessThan(300)
    expect(rmsDb(sound, 0, 20_000)).toBeGreaterThan(-40)
    expect(await page.getByText('The file is made.').isVisible()).toBe(true)
    await page.getByLabel('I hear').selectOption('only-me')
    const mine = readWav((await saved()).bytes)
    await page.getByLabel('I hear').selectOption('without-me')
    const rest = readWav((await saved()).bytes)
    await page.getByLabel('I hear').selectOption('everybody')
    expect(rest.channels[0]?.length).toBe(sound.channels[0]?.length)
    // A bass lies under 300 Hz: a slow mean of the samples keeps it and little else.
    const low = (of: typeof sound) => lowDb(of) - rmsDb(of, 0, 20_000)
    console.log(
      `low part of all: everybody ${low(sound).toFixed(1)}, only the bass ${low(mine).toFixed(1)}, without it ${low(rest).toFixed(1)} dB`,
    )
    expect(low(mine)).toBeGreaterThan(low(rest) + 3)
  })

  it('may be Ogg, and can be left', async () => {
    await page.getByLabel('Kind of file').selectOption('ogg')
    const { name, bytes } = await saved()
    expect(name).toMatch(/\.ogg$/)
    expect(bytes.subarray(0, 4).toString()).toBe('OggS')
    await page.getByLabel('Kind of file').selectOption('wav')
    await page.getByRole('button', { name: 'Save what I hear as a sound file' }).click()
    await page.getByRole('button', { name: 'Leave it' }).click()
    await page.getByText('Left: no file was made.').waitFor({ timeout: 20_000 })
    expect(me.complaints).toEqual([])
  })
})

describe('[AU31] the pitch I read', () => {
  it('is my part’s own on the stand, or concert', async () => {
    await page.getByLabel('My part').selectOption('trumpet')
    await page.locator('a[href$="/listen"]').first().click()
    const first = page.locator('.stand .now .chs').first()
    await page.locator('.stand .mine').getByText('Trumpet').waitFor()
    const written = await first.innerText()
    await page.getByRole('button', { name: 'Concert' }).click()
    await expect.poll(() => first.innerText()).not.toBe(written)
    const concert = await first.innerText()
    console.log(`the first chord is ${written} for the trumpet, ${concert} in concert`)
    expect([written.trim().charAt(0), concert.trim().charAt(0)]).toEqual(['G', 'F'])
  })
})

/** Level of what is left when each sample is the mean of the 60 around it. */
function lowDb({ channels, rate }: ReturnType<typeof readWav>): number {
  const samples = (channels[0] as Float32Array).subarray(0, rate * 20)
  let [window, power] = [0, 0]
  for (let at = 60; at < samples.length; at++) {
    window += (samples[at] as number) - (samples[at - 60] as number)
    power += (window / 60) ** 2
  }
  return 10 * Math.log10(power / samples.length)
}
