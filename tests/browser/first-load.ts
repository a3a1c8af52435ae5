/** A page's scripts as built: entry, preloads and everything they import statically. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { ROOT } from '../server/harness.js'

const APP = join(ROOT, 'web/dist/app')
const KB = 1024

/** Most JavaScript each page may need before it is there. */
export const FIRST_LOADS = [
  { page: 'index.html', what: 'board', mostKb: 130 },
  { page: 'poll.html', what: 'poll', mostKb: 90 },
] as const

export function firstLoad(page: string): readonly string[] {
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

export const textOf = (path: string): string => readFileSync(join(APP, path), 'utf8')
export const gzippedKb = (paths: readonly string[]): number =>
  paths.reduce((sum, path) => sum + gzipSync(readFileSync(join(APP, path))).length / KB, 0)

/** The chunk of the other language's catalogue, fetched where that language is spoken: known by a sentence in it. */
export function catalogueOf(sentence: string): string {
  const name = readdirSync(join(APP, 'assets')).find(
    (file) => file.endsWith('.js') && textOf(`/assets/${file}`).includes(sentence),
  )
  if (!name) throw new Error(`no script of the build says “${sentence}”`)
  return `/assets/${name}`
}
