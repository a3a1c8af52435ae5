/** How much JavaScript a page must fetch before it shows anything: its own script and what that imports at once, gzipped as sent. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { ROOT } from '../server/harness.js'

const APP = join(ROOT, 'web/dist/app')
const KB = 1024
const PAGES = [
  { page: 'index.html', what: 'board', mostKb: 130 },
  { page: 'poll.html', what: 'poll', mostKb: 90 },
] as const

/** A page's scripts: entry, preloads and everything they import statically. */
function firstLoad(page: string): readonly string[] {
  const html = readFileSync(join(APP, page), 'utf8')
  const open = [...html.matchAll(/(?:src|href)="(\/[^"]+\.js)"/g)].map(([, path]) => path as string)
  const seen = new Set<string>()
  while (open.length > 0) {
    const path = open.pop() as string
    if (seen.has(path)) continue
    seen.add(path)
    const text = readFileSync(join(APP, path), 'utf8')
    for (const [, name] of text.matchAll(
      /(?:^|[;}\s])(?:import|export)(?:[\w*{}\s,$]+from)?\s*["']\.\/([^"']+\.js)["']/g,
    ))
      open.push(`/assets/${name}`)
  }
  return [...seen]
}

describe.each(PAGES)('[BR30] the $what page’s first load', ({ page, what, mostKb }) => {
  const scripts = firstLoad(page)

  it(`is at most ${mostKb} KB gzipped`, () => {
    expect(scripts.length).toBeGreaterThan(0)
    const kb = scripts.reduce((sum, path) => sum + gzipSync(readFileSync(join(APP, path))).length / KB, 0)
    console.log(`first load of the ${what} page: ${kb.toFixed(1)} KB of JavaScript gzipped in ${scripts.length} files`)
    expect(kb).toBeLessThanOrEqual(mostKb)
  })

  it('has neither sound nor engraving in it', () => {
    const text = scripts.map((path) => readFileSync(join(APP, path), 'utf8')).join('\n')
    expect(scripts.join(' ')).not.toMatch(/audio|verovio|engraver/)
    expect(text).not.toMatch(/createOscillator|createDynamicsCompressor|verovio\.toolkit/)
  })
})
