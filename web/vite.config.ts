/** Two pages: the board, and the small poll page that phones load. Everything else is loaded when it is first needed. */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { brotliCompressSync, constants, gzipSync } from 'node:zlib'
import { defineConfig, type Plugin } from 'vite'
import { sounds } from './sounds/vite-plugin.js'
import { keptAhead } from './src/offline/shell-cache.js'

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url))

/** Files worth compressing, from this size on. */
const COMPRESSIBLE = /\.(js|css|html|svg|json|webmanifest|wasm)$/
const LEAST_BYTES = 1024
/** The engraver is several megabytes; the slowest setting would take longer than the whole build. */
const LARGE_BYTES = 1_000_000

/** Ready-made compressed forms beside each file, so that the server only picks one. */
function compressed(): Plugin {
  const walk = (folder: string): void => {
    for (const name of readdirSync(folder)) {
      const path = join(folder, name)
      if (statSync(path).isDirectory()) walk(path)
      else if (COMPRESSIBLE.test(name) && statSync(path).size >= LEAST_BYTES) {
        const content = readFileSync(path)
        const quality = content.length > LARGE_BYTES ? 6 : 11
        writeFileSync(`${path}.gz`, gzipSync(content, { level: 9 }))
        writeFileSync(
          `${path}.br`,
          brotliCompressSync(content, { params: { [constants.BROTLI_PARAM_QUALITY]: quality } }),
        )
      }
    }
  }
  return { name: 'chartloft-compressed', apply: 'build', closeBundle: () => walk(at('dist/app')) }
}

/** Most JavaScript a page may need before it is there, gzipped, in KB. */
const BUDGETS: { readonly [page: string]: number } = { index: 130, poll: 90 }

/** Adds up each page's entry and what it imports statically; over budget is a failed build. */
function budgets(): Plugin {
  return {
    name: 'chartloft-budgets',
    apply: 'build',
    generateBundle(_options, bundle) {
      for (const [page, most] of Object.entries(BUDGETS)) {
        const needed = new Set<string>()
        const add = (fileName: string): void => {
          const chunk = bundle[fileName]
          if (chunk?.type !== 'chunk' || needed.has(fileName)) return
          needed.add(fileName)
          for (const imported of chunk.imports) add(imported)
        }
        for (const chunk of Object.values(bundle))
          if (chunk.type === 'chunk' && chunk.isEntry && chunk.name === page) add(chunk.fileName)
        let bytes = 0
        for (const fileName of needed) {
          const chunk = bundle[fileName]
          if (chunk?.type === 'chunk') bytes += gzipSync(chunk.code, { level: 9 }).length
        }
        const told = `first load of ${page}.html: ${(bytes / 1024).toFixed(1)} KB of JavaScript gzipped, at most ${most}`
        if (needed.size === 0 || bytes > most * 1024) this.error(told)
        else this.info(told)
      }
    },
  }
}

/** The script that asks the server who this is runs by itself, before the page's own scripts have come. */
function earlySession(): Plugin {
  return {
    name: 'chartloft-early-session',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler(_html, { bundle = {}, filename }) {
        if (!filename.endsWith('index.html')) return []
        const script = Object.values(bundle).find((file) => file.type === 'chunk' && file.name === 'early-session')
        if (!script) throw new Error('the early session’s script is not in the build')
        const attrs = { type: 'module', async: true, crossorigin: true, src: `/${script.fileName}` }
        return [{ tag: 'script', attrs, injectTo: 'head-prepend' }]
      },
    },
  }
}

/** Writes into the service worker which files it fetches ahead, and a version that changes with any of them. */
function offline(): Plugin {
  return {
    name: 'chartloft-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const files = Object.values(bundle).map((file) => ({
        path: `/${file.fileName}`,
        content: Buffer.from(file.type === 'chunk' ? file.code : file.source),
      }))
      for (const name of readdirSync(at('public')))
        files.push({ path: `/${name}`, content: readFileSync(join(at('public'), name)) })
      const paths = keptAhead(files.map(({ path, content }) => ({ path, bytes: content.length })))
      const hash = createHash('sha256')
      for (const path of ['/service-worker.js', ...paths]) {
        const file = files.find((candidate) => candidate.path === path)
        if (!file) this.error(`${path} is not in the build`)
        else hash.update(path).update(file.content)
      }
      const worker = bundle['service-worker.js']
      if (worker?.type !== 'chunk' || worker.imports.length > 0) return this.error('the service worker is not one file')
      const kept = files.map(({ path }) => path).filter((path) => path.startsWith('/sounds/'))
      const listed = JSON.stringify({ version: hash.digest('hex').slice(0, 16), paths, sounds: kept })
      worker.code = worker.code.replaceAll('__KEPT_AHEAD__', () => listed)
    },
  }
}

export default defineConfig({
  plugins: [sounds(at('.')), earlySession(), budgets(), offline(), compressed()],
  root: at('.'),
  resolve: {
    alias: [
      { find: '@chartloft/shared-theory/board', replacement: at('../shared-theory/src/board/index.ts') },
      { find: '@chartloft/shared-theory', replacement: at('../shared-theory/src/index.ts') },
      { find: '@chartloft/demo', replacement: at('../demo/src/index.ts') },
    ],
  },
  build: {
    outDir: at('dist/app'),
    emptyOutDir: true,
    target: 'es2022',
    // The content policy allows no inline scripts and no data: fonts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: {
        index: at('index.html'),
        poll: at('poll.html'),
        'service-worker': at('src/offline/service-worker.ts'),
      },
      // A service worker governs the folder it lies in, and keeps its name.
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
        // Two dozen small files are two dozen requests on a slow line: what both pages need is one, what every board page needs another.
        codeSplitting: {
          groups: [
            {
              name: 'early-session',
              test: /\/web\/src\/shell\/(?:early-session|memory|route)\.ts$/,
              priority: 3,
            },
            {
              name: 'common',
              test: /\/web\/src\/(?:words|words\/en\/index|look\/[a-z-]+|state\/(?:cell|observe|ballot|standing)|sync\/http|shell\/(?:speech|loft-speech|ids))\.ts$/,
              priority: 2,
            },
            {
              name: 'room',
              test: /\/web\/src\/(?:state\/room|board\/(?:loft-board|loft-pass|loft-contour))\.ts$/,
              priority: 1,
            },
          ],
        },
      },
    },
  },
  worker: { format: 'es' },
  server: {
    port: 5173,
    proxy: { '/api': 'http://127.0.0.1:8080', '/ws': { target: 'ws://127.0.0.1:8080', ws: true } },
  },
})
