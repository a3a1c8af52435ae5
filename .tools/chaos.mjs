/** `npm run chaos [-- SCHEDULES]`: seeded evenings on a bad network with crashes, played on a clock of their own (10,000), then a real server
 *  killed at random under load (200 times). SEED starts elsewhere. */
import { spawnSync } from 'node:child_process'
import { ROOT, ensureBuilt, ensureInstalled, stop } from './steps.mjs'

ensureInstalled()
ensureBuilt()
const schedules = process.argv[2] ?? '10000'
if (!/^[1-9]\d{0,6}$/.test(schedules)) stop(`'${schedules}' is no number of schedules; 'npm run chaos -- 2000' runs two thousand.`)
const vitest = (...args) =>
  spawnSync(process.execPath, ['node_modules/vitest/vitest.mjs', 'run', '--config', '.vitest.config.ts', ...args], {
    cwd: ROOT,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, CHAOS: schedules, LONG: '1' },
  }).status ?? 1
const played = vitest('--project', 'chaos')
const killed = vitest('--project', 'server', 'tests/server/crash.test.ts')
process.exit(played || killed)
