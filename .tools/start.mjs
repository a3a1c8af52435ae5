/** `npm start`: installs, builds, starts the server with the demo board and prints its links. What is done already is skipped. */
import { spawn } from 'node:child_process'
import { ROOT, ensureBuilt, ensureInstalled } from './steps.mjs'

ensureInstalled()
ensureBuilt()
const server = spawn(process.execPath, ['server/bin/chartloft.mjs', 'serve', '--demo', ...process.argv.slice(2)], { cwd: ROOT, stdio: 'inherit' })
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => server.kill(signal === 'SIGHUP' ? 'SIGTERM' : signal))
server.on('exit', (code, signal) => process.exit(code ?? (signal ? 0 : 1)))
