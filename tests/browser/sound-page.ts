/** A page that holds nothing but the audio engine and the built sounds, served from a folder of the tests' own. */
import { createReadStream, existsSync, rmSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join, normalize } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Browser, Page } from 'playwright-core'
import { build } from 'vite'
import { sounds } from '../../web/sounds/vite-plugin.js'
import { openBrowser } from './browser.js'

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url))
/** Each process has its own: suites may run side by side. */
const OUT = at(`../out/sound-page-${process.pid}`)
const TYPES: { readonly [extension: string]: string } = {
  html: 'text/html',
  js: 'text/javascript',
  json: 'application/json',
  ogg: 'audio/ogg',
}

export interface SoundPage {
  readonly page: Page
  readonly browser: Browser
  /** Bytes sent so far, by path. */
  readonly sent: ReadonlyMap<string, number>
  /** While true, sounds are answered with 404. */
  setSoundsGone(isGone: boolean): void
  close(): Promise<void>
}

export async function openSoundPage(): Promise<SoundPage> {
  await build({
    configFile: false,
    logLevel: 'error',
    root: at('../fixtures/sound-page'),
    plugins: [sounds(at('../../web'))],
    resolve: {
      alias: [{ find: '@chartloft/shared-theory', replacement: at('../../shared-theory/src/index.ts') }],
    },
    build: { outDir: OUT, emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0 },
    worker: { format: 'es' },
  })
  let isGone = false
  const sent = new Map<string, number>()
  const server: Server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://page').pathname
    const file = normalize(join(OUT, path === '/' ? 'index.html' : path))
    if (!file.startsWith(OUT) || !existsSync(file) || (isGone && path.startsWith('/sounds/'))) {
      response.writeHead(404).end()
      return
    }
    response.writeHead(200, { 'content-type': TYPES[file.split('.').at(-1) ?? ''] ?? 'text/plain' })
    createReadStream(file)
      .on('data', (chunk) => sent.set(path, (sent.get(path) ?? 0) + chunk.length))
      .pipe(response)
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const browser = await openBrowser()
  const page = await browser.newPage()
  page.on('pageerror', (error) => console.error(`page: ${error.message}`))
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
  await page.waitForFunction('globalThis.sound !== undefined')
  return {
    page,
    browser,
    sent,
    setSoundsGone: (gone) => (isGone = gone),
    async close() {
      await browser.close()
      server.closeAllConnections()
      server.close()
      rmSync(OUT, { recursive: true, force: true })
    },
  }
}
