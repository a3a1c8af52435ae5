/** Two pages: the board, and the small poll page that phones load. Everything else is loaded when it is first needed. */
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
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
    rolldownOptions: { input: { index: at('index.html'), poll: at('poll.html') } },
  },
  worker: { format: 'es' },
  server: {
    port: 5173,
    proxy: { '/api': 'http://127.0.0.1:8080', '/ws': { target: 'ws://127.0.0.1:8080', ws: true } },
  },
})
