/** One test run for every package: units beside their files, and the suites under tests/ that need no browser. */
import { defineConfig } from 'vitest/config'
import { fileURLToPath } from 'node:url'

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  resolve: {
    alias: [
      { find: '@chartloft/shared-theory/board', replacement: at('shared-theory/src/board/index.ts') },
      { find: '@chartloft/shared-theory', replacement: at('shared-theory/src/index.ts') },
      { find: '@chartloft/demo', replacement: at('demo/src/index.ts') },
    ],
  },
  test: {
    projects: [
      { extends: true, test: { name: 'unit', isolate: false, testTimeout: 30_000, include: ['{shared-theory,server,web,demo}/src/**/*.test.ts'] } },
      { extends: true, test: { name: 'laws', include: ['tests/laws/**/*.test.ts'], testTimeout: 120_000 } },
      { extends: true, test: { name: 'outside', include: ['tests/outside/**/*.test.ts'], testTimeout: 120_000 } },
      { extends: true, test: { name: 'architecture', include: ['tests/architecture/**/*.test.ts'], testTimeout: 60_000 } },
      { extends: true, test: { name: 'chaos', include: ['tests/chaos/**/*.test.ts'], testTimeout: 3_600_000 } },
      { extends: true, test: { name: 'bench', include: ['tests/bench/**/*.bench.ts'], testTimeout: 1_800_000, fileParallelism: false } },
      { extends: true, test: { name: 'server', include: ['tests/server/**/*.test.ts'], testTimeout: 180_000, hookTimeout: 120_000, fileParallelism: false } },
      { extends: true, test: { name: 'browser', include: ['tests/browser/**/*.test.ts'], testTimeout: 240_000, hookTimeout: 120_000, fileParallelism: false } },
    ],
  },
})
