/** The steps every command may need first: packages installed, program built, a browser found. Each is skipped where its work stands already. */
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const ROOT = fileURLToPath(new URL('..', import.meta.url))
const STAMPS = join(ROOT, '.built')

export function say(line) {
  process.stdout.write(`${line}\n`)
}

export function stop(line) {
  process.stderr.write(`${line}\n`)
  process.exit(1)
}

/** Runs a command from the root with its output shown; a failure ends everything with one line. */
export function run(command, args, { env = {} } = {}) {
  const done = spawnSync(command, args, {
    cwd: ROOT,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'inherit', 'inherit'],
    shell: process.platform === 'win32',
  })
  if (done.status !== 0) {
    stop(`'${command} ${args.join(' ')}' failed${done.error ? `: ${done.error.message}` : ` with exit code ${done.status}`}.`)
  }
}

const bin = (name) => join(ROOT, 'node_modules', '.bin', name)

function checkNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
  if (major < 20 || (major === 20 && minor < 19)) {
    stop(`Chartloft needs Node.js 20.19 or newer; this is ${process.versions.node}. Install a newer one and run the command again.`)
  }
}

/** Installs what the lock file names, unless exactly that is installed already. */
export function ensureInstalled() {
  checkNode()
  const wanted = hashFiles(['package.json', 'package-lock.json', ...workspaces().map((name) => `${name}/package.json`)])
  if (existsSync(join(ROOT, 'node_modules')) && readStamp('installed') === wanted) return
  say('Installing packages (the first time takes a minute or two: the database compiles where no ready-made build fits) …')
  run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'], { env: { NODE_ENV: '' } })
  writeStamp('installed', wanted)
}

/** Builds packages and pages, unless the sources are what they were at the last build. */
export function ensureBuilt() {
  const wanted = hashFiles([...workspaces().flatMap((name) => sourcesUnder(name)), '.tsconfig.base.json', 'package-lock.json'])
  const outputs = ['shared-theory/dist/index.js', 'server/dist/cli/index.js', 'demo/dist/index.js', 'web/dist/app/index.html']
  if (readStamp('built') === wanted && outputs.every((path) => existsSync(join(ROOT, path)))) return
  say('Building …')
  run(bin('tsc'), ['-b', 'shared-theory', 'demo', 'server'])
  run(bin('vite'), ['build', 'web', '--config', 'web/vite.config.ts', '--logLevel', 'warn'])
  writeStamp('built', wanted)
}

/** A Chromium to test with: CHROMIUM_PATH, then Playwright's own, then the system's. Undefined where there is none. */
export async function findBrowser() {
  const named = process.env.CHROMIUM_PATH
  if (named) {
    if (!existsSync(named)) stop(`CHROMIUM_PATH names '${named}', but no file is there.`)
    return named
  }
  const { chromium } = await import('playwright-core')
  const own = chromium.executablePath()
  if (own && existsSync(own)) return own
  const places = [
    '/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome', '/usr/bin/google-chrome-stable', '/snap/bin/chromium',
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome', '/Applications/Chromium.app/Contents/MacOS/Chromium',
    'C:/Program Files/Google/Chrome/Application/chrome.exe', join(homedir(), 'AppData/Local/Google/Chrome/Application/chrome.exe'),
  ]
  return places.find((path) => existsSync(path))
}

/** Finds a browser or installs one: the system's package where we may, else Playwright's download. */
export async function ensureBrowser() {
  const found = await findBrowser()
  if (found) return found
  const isRoot = process.getuid?.() === 0
  if (process.platform === 'linux' && isRoot && existsSync('/usr/bin/apt-get')) {
    say('No browser found: installing the chromium package …')
    const env = { DEBIAN_FRONTEND: 'noninteractive' }
    spawnSync('apt-get', ['update', '-qq'], { stdio: 'ignore' })
    const installed = spawnSync('apt-get', ['install', '-y', '-qq', 'chromium'], { stdio: 'ignore', env: { ...process.env, ...env } })
    if (installed.status === 0) {
      const now = await findBrowser()
      if (now) return now
    }
  }
  say('No browser found: downloading one for the tests …')
  spawnSync(process.execPath, [join(ROOT, 'node_modules/playwright-core/cli.js'), 'install', 'chromium'], { cwd: ROOT, stdio: 'inherit' })
  const now = await findBrowser()
  if (!now) stop('The browser tests need Chromium or Chrome. Install one, or set CHROMIUM_PATH to its program file, and run the tests again.')
  return now
}

function workspaces() {
  return JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')).workspaces
}

function sourcesUnder(folder) {
  const found = []
  const walk = (path) => {
    for (const entry of readdirSync(join(ROOT, path), { withFileTypes: true })) {
      if (['node_modules', 'dist', 'out', 'data'].includes(entry.name)) continue
      const inner = `${path}/${entry.name}`
      if (entry.isDirectory()) walk(inner)
      else if (!/\.test\.ts$|\.md$/.test(entry.name)) found.push(inner)
    }
  }
  if (existsSync(join(ROOT, folder)) && folder !== 'tests') walk(folder)
  return found
}

function hashFiles(paths) {
  const hash = createHash('sha256')
  for (const path of paths.toSorted((a, b) => (a < b ? -1 : 1))) {
    const full = join(ROOT, path)
    if (!existsSync(full) || !statSync(full).isFile()) continue
    hash.update(path).update('\0').update(readFileSync(full)).update('\0')
  }
  return hash.digest('hex')
}

function readStamp(name) {
  const path = join(STAMPS, name)
  return existsSync(path) ? readFileSync(path, 'utf8') : ''
}

function writeStamp(name, value) {
  mkdirSync(STAMPS, { recursive: true })
  writeFileSync(join(STAMPS, name), value)
}
