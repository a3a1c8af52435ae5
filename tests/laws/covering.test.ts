import { expect, it } from 'vitest'
import { pairwiseRows } from './covering.js'

it('[LW1] a pairwise table holds every pair of any two columns', () => {
  const sizes = [5, 3, 4, 7]
  const rows = pairwiseRows(sizes)
  for (let a = 0; a < sizes.length; a++)
    for (let b = a + 1; b < sizes.length; b++) {
      const seen = new Set(rows.map((row) => `${row[a]}-${row[b]}`))
      expect(seen.size).toBe((sizes[a] as number) * (sizes[b] as number))
    }
  expect(rows.length).toBeLessThan(5 * 3 * 4)
})
