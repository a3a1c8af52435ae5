/** What sounds, measured on the page's own graph: the analyser behind the limiter, notes handed to the audio clock, sources that live. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, drawFrom } from '../server/harness.js'
import { seat } from './browser.js'
import {
  demoKeys,
  type House,
  introduce,
  type Keys,
  type Listened,
  openDesk,
  openHouse,
  type Seat,
  slotKeyOf,
} from './house.js'

/** What the tests put into a page before it loads: a count of sound sources that run, and an ear at the limiter. */
interface Ear {
  living: number
  at?: AnalyserNode
  bars: number[]
  isWatching?: true
}
interface Roomed {
  readonly room: {
    readonly sounding: { readonly value: { barIndex: number; isPlaying: boolean }; watch(heard: () => void): void }
    readonly form: { readonly value: { readonly planHash: string; readonly bars: readonly { tempoBpm: number }[] } }
    readonly connection: { readonly transport: { readonly value: { readonly planHash: string } } }
    readonly draft: { readonly view: { readonly value: { readonly trying: { readonly [slot: string]: string } } } }
    listenFrom(bar: number): void
  }
}
type Hearing = typeof globalThis & { ear: Ear }

let house: House
let keys: Keys
let leader: Seat
let tove: Seat
let board = ''

async function sitDown(link: string, name: string, plays: string): Promise<Seat> {
  const person = await seat(house.browser)
  await person.page.addInitScript(() => {
    const ear: Ear = { living: 0, bars: [] }
    ;(globalThis as Hearing).ear = ear
    for (const kind of [OscillatorNode, AudioBufferSourceNode]) {
      const start = Reflect.get(kind.prototype, 'start') as (...when: number[]) => void
      Object.defineProperty(kind.prototype, 'start', {
        value(this: AudioScheduledSourceNode, ...when: number[]) {
          // Renderings aside from what is heard, as for the room's echo, are over when they are over.
          if (!(this.context instanceof AudioContext)) return start.apply(this, when)
          ear.living++
          this.addEventListener('ended', () => ear.living--, { once: true })
          return start.apply(this, when)
        },
      })
    }
  })
  await person.page.goto(link)
  await introduce(person.page, name, plays)
  await person.page.locator('loft-pass').first().waitFor()
  return person
}

beforeAll(async () => {
  house = await openHouse(['--demo'])
  keys = await demoKeys(house)
  board = `${house.server.url}/b/${keys.boardId}`
  leader = await sitDown(keys.leader, 'Maro', 'drums')
  tove = await sitDown(keys.member, 'Tove', 'bass')
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

const play = (page: Page) => page.getByRole('button', { name: 'Play', exact: true }).click()
const stop = async (page: Page) => {
  await page.getByRole('button', { name: 'Stop', exact: true }).click()
  await page.locator('section.player[data-stage=stopped]').waitFor()
}
const playing = (page: Page) => page.locator('section.player[data-stage=playing]').waitFor({ timeout: 20_000 })

/** Loudest sample of a span, in decibels below full scale. */
const peakOver = (page: Page, ms: number): Promise<number> =>
  page.evaluate(async (span) => {
    const { ear } = globalThis as Hearing
    ear.at ??= (document.querySelector('loft-player') as unknown as Listened).listening.player.mixer.analyser()
    ear.at.fftSize = 2048
    const samples = new Float32Array(2048)
    const end = performance.now() + span
    let peak = 0
    while (performance.now() < end) {
      ear.at.getFloatTimeDomainData(samples)
      for (const sample of samples) peak = Math.max(peak, Math.abs(sample))
      await new Promise((resolve) => setTimeout(resolve, 15))
    }
    return 20 * Math.log10(Math.max(peak, 1e-6))
  }, ms)

/** Mean level of bands of frequency over a span, in decibels. */
const bandsOver = (page: Page, ms: number, bands: readonly (readonly [number, number])[]): Promise<number[]> =>
  page.evaluate(
    async ({ span, edges }) => {
      const { ear } = globalThis as Hearing
      ear.at ??= (document.querySelector('loft-player') as unknown as Listened).listening.player.mixer.analyser()
      const analyser = ear.at
      analyser.fftSize = 4096
      analyser.smoothingTimeConstant = 0
      const levels = new Float32Array(analyser.frequencyBinCount)
      const power = edges.map(() => 0)
      const hertz = analyser.context.sampleRate / analyser.fftSize
      const end = performance.now() + span
      let rounds = 0
      while (performance.now() < end) {
        analyser.getFloatFrequencyData(levels)
        for (const [index, [low = 0, high = 0]] of edges.entries())
          for (let bin = Math.ceil(low / hertz); bin < high / hertz; bin++)
            power[index] = (power[index] as number) + 10 ** (Math.max(-140, levels[bin] as number) / 10)
        rounds++
        await new Promise((resolve) => setTimeout(resolve, 40))
      }
      return power.map((sum) => 10 * Math.log10(sum / rounds))
    },
    { span: ms, edges: bands },
  )

const startedOf = (page: Page) =>
  page.evaluate(() => (document.querySelector('loft-player') as unknown as Listened).listening.player.started.slice())
/** Writes down from now on which bars the page marks as sounding. */
const watchBars = (page: Page) =>
  page.evaluate(() => {
    const { ear } = globalThis as Hearing
    const { room } = document.querySelector('loft-app') as unknown as Roomed
    const { sounding } = room
    ear.bars = []
    if (ear.isWatching) return
    ear.isWatching = true
    sounding.watch(() => {
      const { isPlaying, barIndex } = sounding.value
      if (isPlaying && ear.bars.at(-1) !== barIndex) ear.bars.push(barIndex)
    })
  })
const barsSeen = (page: Page) => page.evaluate(() => (globalThis as Hearing).ear.bars)
const openSettings = async (page: Page) => {
  const button = page.getByRole('button', { name: 'My part and practice' })
  if ((await button.getAttribute('aria-expanded')) === 'false' && (await button.isVisible())) await button.click()
}

describe('[BR20] sound', () => {
  it('is there while playing and gone within 50 ms of stop', async () => {
    const { page } = leader
    await play(page)
    await playing(page)
    const loud = await peakOver(page, 1500)
    expect(loud).toBeGreaterThan(-45)
    expect(loud).toBeLessThanOrEqual(0)
    const quietAfterMs = await page.evaluate(async () => {
      const { ear } = globalThis as Hearing
      const { listening } = document.querySelector('loft-player') as unknown as Listened
      const analyser = ear.at as AnalyserNode
      analyser.fftSize = 256
      const samples = new Float32Array(256)
      const { context } = analyser
      const from = context.currentTime
      listening.stop()
      let lastHeard = from
      while (context.currentTime - from < 0.8) {
        analyser.getFloatTimeDomainData(samples)
        // −60 dBFS: a thousandth of full scale.
        if (samples.some((sample) => Math.abs(sample) > 0.001)) lastHeard = context.currentTime
        await new Promise((resolve) => setTimeout(resolve, 2))
      }
      return (lastHeard - from) * 1000
    })
    console.log(`sound at ${loud.toFixed(1)} dBFS; below −60 dBFS ${quietAfterMs.toFixed(0)} ms after stop`)
    expect(quietAfterMs).toBeLessThan(50)
    expect(await peakOver(page, 400)).toBeLessThan(-60)
  })

  it('“only me” and “without me” change what is heard, on my page only', async () => {
    const { page } = leader
    const AIR = [6000, 14_000] as const
    const BODY = [120, 500] as const
    await play(page)
    await playing(page)
    await openSettings(page)
    const heard: { [who: string]: number[] } = {}
    for (const who of ['everybody', 'only-me', 'without-me']) {
      await page.getByLabel('I hear').selectOption(who)
      await page.waitForTimeout(1300)
      heard[who] = await bandsOver(page, 2600, [AIR, BODY])
    }
    const [air = 0, body = 0] = heard['everybody'] as number[]
    const [airAlone = 0, bodyAlone = 0] = heard['only-me'] as number[]
    const [airWithout = 0, bodyWithout = 0] = heard['without-me'] as number[]
    console.log(
      `the drummer hears cymbals ${air.toFixed(0)} / ${airAlone.toFixed(0)} / ${airWithout.toFixed(0)} dB, the others ${body.toFixed(0)} / ${bodyAlone.toFixed(0)} / ${bodyWithout.toFixed(0)} dB (everybody / only me / without me)`,
    )
    expect(Math.abs(airAlone - air)).toBeLessThan(6)
    expect(body - bodyAlone).toBeGreaterThan(8)
    expect(air - airWithout).toBeGreaterThan(12)
    expect(Math.abs(bodyWithout - body)).toBeLessThan(6)
    const theirs = await bandsOver(tove.page, 1500, [AIR])
    expect(theirs[0]).toBeGreaterThan(airWithout + 6)
    await page.getByLabel('I hear').selectOption('everybody')
    await stop(page)
  })
})

describe('[BR21] practising', () => {
  it('alone and slower: the bars last longer here, and nobody else is moved', async () => {
    const { page } = tove
    await page.getByRole('button', { name: 'Alone' }).click()
    await openSettings(page)
    for (let press = 0; press < 4; press++) await page.getByRole('button', { name: 'Slower' }).click()
    await page.getByText('80 %').waitFor()
    const from = Date.now()
    await play(page)
    await playing(page)
    await page.waitForTimeout(6000)
    const notes = (await startedOf(page)).filter(({ partId, epochMs }) => partId === 'bass' && epochMs > from)
    const [second = 0, third = 0] = [...new Set(notes.map(({ barIndex }) => barIndex))].slice(1)
    const startOf = (bar: number) => notes.find(({ barIndex }) => barIndex === bar)?.epochMs ?? 0
    const barMs = (startOf(third) - startOf(second)) / (third - second)
    const bpm = await page.evaluate(
      () => (document.querySelector('loft-app') as unknown as Roomed).room.form.value.bars[1]?.tempoBpm ?? 0,
    )
    // A bass note may lie a swing or a lean off the beat, the bar as a whole may not.
    expect(Math.abs(barMs - 240_000 / bpm / 0.8)).toBeLessThan(30)
    expect(await leader.page.locator('section.player').getAttribute('data-stage')).toBe('stopped')
    await stop(page)
  })

  it('a loop comes back to its first bar and stays inside', async () => {
    const { page } = tove
    const loop = page.getByLabel('Loop', { exact: true })
    expect((await loop.locator('option').nth(1).innerText()).trim()).toMatch(/^A, bars 1–8$/)
    await loop.selectOption({ index: 1 })
    for (let press = 0; press < 8; press++) await page.getByRole('button', { name: 'Faster' }).click()
    await watchBars(page)
    await page.locator('[data-bar="7"] .hit').first().click()
    await expect.poll(() => barsSeen(page), { timeout: 20_000 }).toEqual([6, 7, 0, 1])
    await stop(page)
    await loop.selectOption({ index: 0 })
    await page.getByRole('button', { name: 'Together' }).click()
  })
})

describe('[BR22] hearing two answers in place', () => {
  it('starts a few bars before the change; the other member hears the same; changing over keeps the place', async () => {
    const key = await slotKeyOf(leader.page, board, 'harmony')
    await openDesk(leader.page, board, key)
    const changed = leader.page.locator('loft-option').first().locator('.bar.hatch').first()
    const changedBar = Number(await changed.getAttribute('data-bar')) - 1
    await leader.page.getByRole('button', { name: /^Hear 1 here/ }).click()
    await Promise.all([playing(leader.page), playing(tove.page)])
    const from = (await startedOf(leader.page))[0]
    expect(changedBar - (from?.barIndex ?? 0)).toBeGreaterThanOrEqual(1)
    expect(changedBar - (from?.barIndex ?? 0)).toBeLessThanOrEqual(4)
    await leader.page.waitForTimeout(1500)
    const together = async () => {
      const [mine, theirs] = [await startedOf(leader.page), await startedOf(tove.page)]
      return mine.flatMap((note) => {
        const same = theirs.findLast(
          (other) => other.partId === note.partId && other.midi === note.midi && other.scheduleMs === note.scheduleMs,
        )
        return same ? [Math.abs(same.epochMs - note.epochMs)] : []
      })
    }
    const skews = await together()
    expect(skews.length).toBeGreaterThan(5)
    expect([...skews].sort((a, b) => a - b)[Math.floor(skews.length / 2)]).toBeLessThan(10)
    const tried = (page: Page) =>
      page.evaluate(
        (slot) => (document.querySelector('loft-app') as unknown as Roomed).room.draft.view.value.trying[slot],
        key,
      )
    const one = await tried(leader.page)
    const place = await leader.page.evaluate(
      () => (document.querySelector('loft-app') as unknown as Roomed).room.sounding.value.barIndex,
    )
    await Promise.all([watchBars(leader.page), watchBars(tove.page)])
    await leader.page.getByRole('button', { name: 'Hear option 2' }).click()
    await expect.poll(() => tried(tove.page)).not.toBe(one)
    expect(await tried(tove.page)).toBe(await tried(leader.page))
    await leader.page.waitForTimeout(2500)
    const [mine, theirs] = [await barsSeen(leader.page), await barsSeen(tove.page)]
    expect(mine.every((bar) => bar >= place && bar <= place + 3)).toBe(true)
    expect(mine.at(-1)).toBeGreaterThanOrEqual(place)
    expect(Math.abs((mine.at(-1) ?? 0) - (theirs.at(-1) ?? 99))).toBeLessThanOrEqual(1)
    // Both pages show, and the band plays, one and the same version.
    const versionsOf = (page: Page) =>
      page.evaluate(() => {
        const { room } = document.querySelector('loft-app') as unknown as Roomed
        return [room.form.value.planHash, room.connection.transport.value.planHash]
      })
    expect(new Set([...(await versionsOf(leader.page)), ...(await versionsOf(tove.page))]).size).toBe(1)
    await Promise.all([playing(leader.page), playing(tove.page)])
    await stop(leader.page)
    await tove.page.locator('section.player[data-stage=stopped]').waitFor()
  })
})

describe('[BR23] coming late', () => {
  it('somebody who opens the board while the band plays enters at the right bar and beat', async () => {
    await leader.page.goto(board)
    await leader.page.locator('loft-pass').first().waitFor()
    await play(leader.page)
    await playing(leader.page)
    await leader.page.waitForTimeout(3000)
    const late = await sitDown(keys.member, 'Ansel', 'piano')
    await playing(late.page)
    await late.page.waitForTimeout(1500)
    const beatOf = (page: Page) =>
      page.evaluate(() => {
        const { listening } = document.querySelector('loft-player') as unknown as Listened
        return { positionMs: listening.positionMs.value, at: performance.timeOrigin + performance.now() }
      })
    const [mine, theirs] = await Promise.all([beatOf(leader.page), beatOf(late.page)])
    const apartMs = Math.abs(mine.positionMs - theirs.positionMs - (mine.at - theirs.at))
    console.log(`who comes late is ${apartMs.toFixed(0)} ms from where the band is`)
    // One beat at 138 a minute.
    expect(apartMs).toBeLessThan(60_000 / 138)
    await stop(leader.page)
    await late.page.locator('section.player[data-stage=stopped]').waitFor()
    await late.context.close()
  })
})

describe('[BR24] a hundred random presses', () => {
  it('leave no source running and no sound', async () => {
    const { page } = leader
    const living = () => page.evaluate(() => (globalThis as Hearing).ear.living)
    await expect.poll(living, { timeout: 10_000 }).toBe(0)
    const draw = drawFrom(20_260)
    const presses = Array.from({ length: 100 }, () => [Math.floor(draw() * 6), draw()] as const)
    await page.evaluate(async (all) => {
      const { listening } = document.querySelector('loft-player') as unknown as {
        listening: Listened['listening'] & {
          setTempo(scale: number): void
          toStart(): void
          setTogether(isTogether: boolean): void
          hear(who: string): void
        }
      }
      const { room } = document.querySelector('loft-app') as unknown as Roomed
      for (const [what, how] of all) {
        if (what === 0) void listening.toggle()
        if (what === 1) listening.stop()
        if (what === 2) room.listenFrom(Math.floor(how * 90))
        if (what === 3) listening.setTempo(0.5 + how * 0.7)
        if (what === 4) listening.setTogether(how > 0.3)
        if (what === 5) listening.toStart()
        await new Promise((resolve) => setTimeout(resolve, how * 120))
      }
      listening.setTogether(true)
      listening.setTempo(1)
    }, presses)
    await page.waitForTimeout(1500)
    await page.evaluate(() => (document.querySelector('loft-player') as unknown as Listened).listening.stop())
    await page.locator('section.player[data-stage=stopped]').waitFor()
    await expect.poll(living, { timeout: 5000 }).toBe(0)
    expect(
      await page.evaluate(() =>
        (document.querySelector('loft-player') as unknown as Listened).listening.player.soundingVoices(),
      ),
    ).toBe(0)
    await page.evaluate(() => delete (globalThis as Hearing).ear.at)
    expect(await peakOver(page, 500)).toBeLessThan(-60)
    await play(page)
    await playing(page)
    expect(await peakOver(page, 1500)).toBeGreaterThan(-45)
    await stop(page)
  })

  it('no page complained', () => {
    expect([leader, tove].flatMap(({ complaints }) => complaints)).toEqual([])
  })
})
