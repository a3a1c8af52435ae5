/** `npm run check`: format, typed lint, types, import ranks and unit tests; meant to take under a minute. */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { ROOT, ensureInstalled, run, say } from './steps.mjs'

ensureInstalled()
const bin = (name) => join(ROOT, 'node_modules/.bin', name)
const began = Date.now()
const folders = ['shared-theory/src', 'server/src', 'web/src', 'demo/src', 'tests'].filter((folder) => existsSync(join(ROOT, folder)))
const steps = [
  ['format', () => run(bin('oxfmt'), ['--check', ...folders])],
  ['types', () => run(bin('tsc'), ['-b', 'shared-theory', 'demo', 'server', 'web', 'tests'])],
  ['lint', () => run(bin('oxlint'), ['--type-aware', '--quiet', ...folders])],
  ['units and import ranks', () => run(bin('vitest'), ['run', '--config', '.vitest.config.ts', '--project', 'unit', '--project', 'architecture', '--reporter=dot'])],
]
const timed = (/** @type {string} */ name, /** @type {() => void} */ step) => {
  const start = Date.now()
  step()
  say(`${name}: ${((Date.now() - start) / 1000).toFixed(1)} s`)
}
for (const [name, step] of steps) timed(name, step)
say(`check: ${((Date.now() - began) / 1000).toFixed(1)} s`)
