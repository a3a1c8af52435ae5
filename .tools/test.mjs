/** `npm test`: installs, builds, finds or installs a browser, runs every suite and closes with one line of counts.
 *  Arguments go to the runner (`npm test -- --project laws`); LONG=1 runs the long versions too. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { join, relative } from 'node:path'
import { ROOT, ensureBrowser, ensureBuilt, ensureInstalled, say, stop } from './steps.mjs'

/** Suites that measure time or start servers and browsers get the machine to themselves. */
const ROUNDS = [['unit', 'architecture', 'outside', 'laws', 'chaos'], ['server'], ['browser']]

ensureInstalled()
ensureBuilt()
const browser = await ensureBrowser()
mkdirSync(join(ROOT, 'tests/out'), { recursive: true })
const asked = process.argv.slice(2)
const rounds = asked.length > 0 ? [asked] : ROUNDS.map((projects) => projects.flatMap((name) => ['--project', name]))
const counts = { passed: 0, failed: 0, skipped: 0 }
/** Told once more at the end: a failure of the first round is long out of sight by then. */
const failures = []
let exitCode = 0
for (const [index, round] of rounds.entries()) {
  const results = join(ROOT, `tests/out/results-${index + 1}.json`)
  rmSync(results, { force: true })
  const done = spawnSync(
    process.execPath,
    ['node_modules/vitest/vitest.mjs', 'run', '--config', '.vitest.config.ts', '--reporter=default', '--reporter=json', `--outputFile.json=${results}`, ...round],
    { cwd: ROOT, stdio: ['ignore', 'inherit', 'inherit'], env: { ...process.env, CHROMIUM_PATH: browser } },
  )
  if (!existsSync(results)) stop(`The test runner left no results for '${round.join(' ')}': it stopped before running anything.`)
  const found = JSON.parse(readFileSync(results, 'utf8'))
  counts.passed += found.numPassedTests
  counts.failed += found.numFailedTests
  counts.skipped += found.numPendingTests + (found.numTodoTests ?? 0)
  failures.push(...failuresIn(found))
  if (done.status !== 0) exitCode = done.status ?? 1
}
for (const failure of failures) say(failure)
say(`${counts.passed} passed, ${counts.failed} failed${counts.skipped ? `, ${counts.skipped} skipped` : ''}`)
process.exit(exitCode)

function failuresIn({ testResults }) {
  return testResults.flatMap(({ name, message, status, assertionResults }) => {
    const failed = assertionResults.filter((test) => test.status === 'failed')
    const file = relative(ROOT, name)
    if (failed.length === 0) return status === 'failed' ? [`FAILED ${file}\n${message}\n`] : []
    return failed.map((test) => `FAILED ${file} > ${test.fullName}\n${test.failureMessages.join('\n').slice(0, 2000)}\n`)
  })
}
