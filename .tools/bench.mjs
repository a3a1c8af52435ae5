/** `npm run bench -- AREA`: measures every promised figure of an area (or of all) and puts them on one page with their targets: printed, as Markdown and
 *  as JSON. `sync` takes some eight minutes; LONG=1 makes it the numbers of its promises (200 kills, 10,000 schedules, half an hour of use), SOAK=5 for
 *  another number of minutes of use. `theory` is always whole. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, loadavg, release, totalmem, type } from 'node:os'
import { join } from 'node:path'
import { markdownPage, rowOf, textPage } from './bench-page.mjs'
import { ROOT, ensureBuilt, ensureInstalled, findBrowser, say, stop } from './steps.mjs'

ensureInstalled()
ensureBuilt()
const known = readdirSync(join(ROOT, 'tests/bench'), { withFileTypes: true }).filter((entry) => entry.isDirectory()).map(({ name }) => name)
const [area, ...rest] = process.argv.slice(2)
if (area !== undefined && !known.includes(area)) stop(`There is no area '${area}'; the areas are: ${known.join(', ')}.`)
const out = join(ROOT, 'tests/out/bench')
rmSync(out, { recursive: true, force: true })
const browser = await findBrowser()
const load = () => loadavg().map((value) => value.toFixed(1)).join(' ')
const loadBefore = load()
const began = Date.now()
const areas = area === undefined ? known : [area]
const measured = areas.map((one) => {
  // Each area's figures in a folder of its own: two areas may measure the same thing.
  mkdirSync(out, { recursive: true })
  const { status } = spawnSync(
    process.execPath,
    ['node_modules/vitest/vitest.mjs', 'run', '--config', '.vitest.config.ts', '--project', 'bench', `tests/bench/${one}/`, ...rest],
    {
      cwd: ROOT,
      stdio: ['ignore', 'inherit', 'inherit'],
      env: { ...process.env, ...(one === 'theory' ? { LONG: '1' } : {}), ...(browser ? { CHROMIUM_PATH: browser } : {}) },
    },
  )
  const figures = readdirSync(out).sort().map((name) => ({ area: one, ...JSON.parse(readFileSync(join(out, name), 'utf8')) }))
  rmSync(`${out}-${one}`, { recursive: true, force: true })
  renameSync(out, `${out}-${one}`)
  return { one, status, figures }
})
const figures = measured.flatMap((of) => of.figures)
if (figures.length === 0) stop('Nothing was measured.')
const machine = `${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown processor'}, ${Math.round(totalmem() / 2 ** 30)} GB, ${type()} ${release()}, Node ${process.versions.node}`
const date = new Date().toISOString()
const about = `${machine}; ${date.slice(0, 16).replace('T', ' ')} UTC, ${Math.round((Date.now() - began) / 1000)} s; load ${loadBefore} before, ${load()} after.`
const rows = figures.map(rowOf)
say(`\n${textPage(rows, about)}`)
const name = `tests/out/bench-${area ?? 'all'}`
writeFileSync(join(ROOT, `${name}.json`), `${JSON.stringify({ machine, date, load: { before: loadBefore, after: load() }, figures }, null, 2)}\n`)
writeFileSync(join(ROOT, `${name}.md`), markdownPage(rows, about))
const missed = rows.filter(({ holds }) => !holds).length
const silent = measured.filter((of) => of.figures.length === 0).map(({ one }) => one)
say(`${rows.length - missed} of ${rows.length} figures hold; the page is ${name}.md, machine-readable ${name}.json.`)
const broken = measured.filter(({ status }) => status !== 0).map(({ one }) => one)
if (silent.length > 0) say(`Nothing was measured in: ${silent.join(', ')}.`)
if (broken.length > 0) say(`Something failed in: ${broken.join(', ')}.`)
process.exit(missed > 0 || broken.length > 0 || silent.length > 0 || !existsSync(join(ROOT, `${name}.json`)) ? 1 : 0)
