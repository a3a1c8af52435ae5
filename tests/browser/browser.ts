/** Chromium as the tests use it: found by path, one process, a fresh context for every person, complaints of the page collected. */
import { existsSync } from 'node:fs'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'

const PLACES = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
]
const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--autoplay-policy=no-user-gesture-required',
]

export function openBrowser(): Promise<Browser> {
  const named = process.env['CHROMIUM_PATH']
  const own = chromium.executablePath()
  const executablePath = named ?? [own, ...PLACES].find((path) => path && existsSync(path))
  if (!executablePath) throw new Error('no Chromium found: set CHROMIUM_PATH to its program file')
  return chromium.launch({ executablePath, args: FLAGS })
}

export interface Seat {
  readonly page: Page
  readonly context: BrowserContext
  /** Errors the page raised or logged, content-policy refusals included. */
  readonly complaints: readonly string[]
}

/** Somebody with a browser of their own. */
export async function seat(browser: Browser, options: Parameters<Browser['newContext']>[0] = {}): Promise<Seat> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 1000 }, ...options })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text())
  })
  return { page, context, complaints }
}
