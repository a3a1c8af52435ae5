/** A running server with a board on it and people who sit down at it, each in a browser of their own. */
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { type Board, newBoard, type RunningServer, startServer, until } from '../server/harness.js'
import { openBrowser, type Seat, seat } from './browser.js'

export interface House {
  readonly server: RunningServer
  readonly browser: Browser
}

export interface Keys {
  readonly boardId: string
  readonly leader: string
  readonly member: string
  readonly listener: string
}

/** What tests read through the page's own objects. */
export interface Listened {
  readonly listening: {
    readonly stage: { readonly value: string }
    readonly tempoScale: { readonly value: number }
    readonly positionMs: { readonly value: number }
    toggle(): Promise<void>
    stop(): void
    readonly player: {
      readonly started: readonly {
        readonly partId: string
        readonly midi: number
        readonly barIndex: number
        readonly scheduleMs: number
        readonly epochMs: number
      }[]
      readonly mixer: { analyser(): AnalyserNode }
      soundingVoices(): number
    }
  }
}

export async function openHouse(args: readonly string[] = []): Promise<House> {
  const [server, browser] = await Promise.all([startServer({ args }), openBrowser()])
  return { server, browser }
}

/** Links of the demo board, as the server prints them. */
export async function demoKeys({ server }: House): Promise<Keys> {
  const found = () => [...server.stdout().matchAll(/\/b\/([A-Za-z0-9_-]+)#[A-Za-z0-9_-]{22,}/g)]
  await until(() => found().length >= 3, 'the demo board’s three links')
  const [leader, member, listener] = found().map(([path]) => server.url + path)
  return { boardId: found()[0]?.[1] ?? '', leader: leader ?? '', member: member ?? '', listener: listener ?? '' }
}

export async function boardOf({ server }: House, title: string, abc: string): Promise<Keys> {
  const { boardId, links }: Board = await newBoard(server, title, { format: 'abc', data: abc })
  return {
    boardId,
    leader: server.url + links.leader,
    member: server.url + links.member,
    listener: server.url + links.listener,
  }
}

/** Somebody opens their link and says what the band calls them. */
export async function comeIn(
  { browser }: House,
  link: string,
  name: string,
  plays = '',
  options: Parameters<Browser['newContext']>[0] = {},
): Promise<Seat> {
  const person = await seat(browser, options)
  await person.page.goto(link)
  await introduce(person.page, name, plays)
  return person
}

export async function introduce(page: Page, name: string, plays = ''): Promise<void> {
  await page.getByLabel('What does the band call you?').fill(name)
  if (plays) await sayPart(page, plays)
  await page.getByRole('button', { name: 'That’s me' }).click()
  await page.locator('.whoami').waitFor({ state: 'detached' })
}

/** Where there is a band a part is chosen, where there is none it is written. */
async function sayPart(page: Page, plays: string): Promise<void> {
  const choice = page.getByLabel('I play', { exact: true })
  const text = page.getByLabel('and you play')
  await choice.or(text).first().waitFor()
  if (await text.isVisible()) return text.fill(plays)
  const part = `${plays.charAt(0).toUpperCase()}${plays.slice(1)}`
  if ((await choice.locator('option').allInnerTexts()).includes(part))
    return void (await choice.selectOption({ label: part }))
  await choice.selectOption({ label: 'something else …' })
  await page.getByLabel('What you play').fill(plays)
  await page.getByLabel('What you play').blur()
}

/** The place of a decision, as the board page links to it. */
export async function slotKeyOf(page: Page, board: string, kind: string): Promise<string> {
  await page.goto(board)
  const link = page.locator(`main a[href*="/decide/${kind}"]`).first()
  await link.waitFor()
  return decodeURIComponent(((await link.getAttribute('href')) ?? '').split('/decide/')[1] ?? '')
}

export async function openDesk(page: Page, board: string, slotKey: string): Promise<void> {
  await page.goto(`${board}/decide/${encodeURIComponent(slotKey)}`)
  await page.locator('loft-option ol.bars').first().waitFor({ timeout: 60_000 })
}

export type { BrowserContext, Page, Seat }
