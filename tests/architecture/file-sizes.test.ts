/** A file is one thing and can be read in one sitting. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { filesUnder, ROOT } from './sources.js'

const MOST_LINES = 500
/** Tests and suites of files stand one after the other. */
const MOST_LINES_OF_A_TEST = 600

describe('[AR6] file sizes', () => {
  it('sources and styles have 500 lines at most, tests 600', () => {
    const paths = ['shared-theory', 'server', 'web', 'demo', 'tests'].flatMap((folder) =>
      filesUnder(folder, (path) => /\.(ts|mjs|css)$/.test(path)),
    )
    expect(paths.length).toBeGreaterThan(1000)
    const long = paths.flatMap((path) => {
      const lines = readFileSync(join(ROOT, path), 'utf8').split('\n').length - 1
      const most = path.startsWith('tests/') || path.endsWith('.test.ts') ? MOST_LINES_OF_A_TEST : MOST_LINES
      return lines > most ? [`${path}: ${lines}`] : []
    })
    expect(long).toEqual([])
  })
})
