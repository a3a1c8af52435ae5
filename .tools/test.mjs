/** `npm test`: installs, builds, finds or installs a browser, runs every suite and closes with one line of counts.
 *  Arguments go to the runner (`npm test -- --project laws`); LONG=1 runs the long versions too. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { ROOT, ensureBrowser, ensureBuilt, ensureInstalled, say, stop } from './steps.mjs'

ensureInstalled()
ensureBuilt()
const browser = await ensureBrowser()
const results = join(ROOT, 'tests/out/results.json')
mkdirSync(join(ROOT, 'tests/out'), { recursive: true })
rmSync(results, { force: true })
const done = spawnSync(
  process.execPath,
  ['node_modules/vitest/vitest.mjs', 'run', '--config', '.vitest.config.ts', '--reporter=default', '--reporter=json', `--outputFile.json=${results}`, ...process.argv.slice(2)],
  { cwd: ROOT, stdio: ['ignore', 'inherit', 'inherit'], env: { ...process.env, CHROMIUM_PATH: browser } },
)
if (!existsSync(results)) stop('The test runner left no results: it stopped before running anything.')
const counts = JSON.parse(readFileSync(results, 'utf8'))
const skipped = counts.numPendingTests + (counts.numTodoTests ?? 0)
say(`${counts.numPassedTests} passed, ${counts.numFailedTests} failed${skipped ? `, ${skipped} skipped` : ''}`)
process.exit(done.status ?? 1)
