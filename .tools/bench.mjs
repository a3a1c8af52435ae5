/** `npm run bench -- AREA`: measures every promised figure of an area (or of all) and prints them with their targets, on paper and as JSON.
 *  `sync` takes some eight minutes; LONG=1 makes it the numbers of its promises (200 kills, 10,000 schedules, half an hour of use), SOAK=5 for
 *  another number of minutes of use. `theory` is always whole. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { cpus, release, type } from 'node:os'
import { join } from 'node:path'
import { ROOT, ensureBuilt, ensureInstalled, findBrowser, say, stop } from './steps.mjs'

ensureInstalled()
ensureBuilt()
const known = readdirSync(join(ROOT, 'tests/bench'), { withFileTypes: true }).filter((entry) => entry.isDirectory()).map(({ name }) => name)
const [area, ...rest] = process.argv.slice(2)
if (area !== undefined && !known.includes(area)) stop(`There is no area '${area}'; the areas are: ${known.join(', ')}.`)
const out = join(ROOT, 'tests/out/bench')
rmSync(out, { recursive: true, force: true })
mkdirSync(out, { recursive: true })
const browser = await findBrowser()
const statuses = (area === undefined ? known : [area]).map(
  (one) =>
    spawnSync(
      process.execPath,
      ['node_modules/vitest/vitest.mjs', 'run', '--config', '.vitest.config.ts', '--project', 'bench', `tests/bench/${one}/`, ...rest],
      {
        cwd: ROOT,
        stdio: ['ignore', 'inherit', 'inherit'],
        env: { ...process.env, ...(one === 'theory' ? { LONG: '1' } : {}), ...(browser ? { CHROMIUM_PATH: browser } : {}) },
      },
    ).status,
)
const figures = readdirSync(out).sort().map((name) => JSON.parse(readFileSync(join(out, name), 'utf8')))
if (figures.length === 0) stop('Nothing was measured.')
const machine = `${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown processor'}, ${type()} ${release()}, Node ${process.versions.node}`
const rows = figures.map(({ id, what, value, unit, target, note }) => {
  const [[kind, bound]] = Object.entries(target)
  const holds = kind === 'atLeast' ? value >= bound : kind === 'atMost' ? value <= bound : value === bound
  const sign = { atLeast: '≥', atMost: '≤', exactly: '=' }[kind]
  return { holds, cells: [holds ? 'holds' : 'MISSED', id, what, `${round(value)} ${unit}`.trim(), `${sign} ${round(bound)}`, note ?? ''] }
})
const widths = [0, 1, 2, 3, 4].map((column) => Math.max(...rows.map(({ cells }) => cells[column].length)))
say(`\n${machine}, ${new Date().toISOString().slice(0, 10)}\n`)
for (const { cells } of rows) say(cells.map((cell, column) => (column < 5 ? cell.padEnd(widths[column]) : cell)).join('  ').trimEnd())
const file = `tests/out/bench-${area ?? 'all'}.json`
writeFileSync(join(ROOT, file), `${JSON.stringify({ machine, date: new Date().toISOString(), figures }, null, 2)}\n`)
const missed = rows.filter(({ holds }) => !holds).length
say(`\n${rows.length - missed} of ${rows.length} figures hold; machine-readable in ${file}.`)
process.exit(missed > 0 || statuses.some((status) => status !== 0) || !existsSync(join(ROOT, file)) ? 1 : 0)

function round(value) {
  return Math.abs(value) >= 1000 ? Math.round(value).toLocaleString('en') : String(Number(value.toPrecision(4)))
}
