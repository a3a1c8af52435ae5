import { expect, it } from 'vitest'
import { collectGarbage, givingBack } from './give-back.js'

it('[ME1] memory is given back once when the last room has gone, never while one is open', () => {
  let times = 0
  const { look } = givingBack(() => (times += 1))
  for (const open of [0, 0, 3, 1]) look(open)
  expect(times).toBe(0)
  for (const open of [0, 0, 0]) look(open)
  expect(times).toBe(1)
  for (const open of [1, 0, 0]) look(open)
  expect(times).toBe(2)
})

it('[ME1] a collection frees what nobody holds', () => {
  let held: unknown[] | undefined = Array.from({ length: 200_000 }, (_, index) => ({ index }))
  const full = process.memoryUsage().heapUsed
  expect(held.length).toBeGreaterThan(0)
  held = undefined
  collectGarbage()
  expect(process.memoryUsage().heapUsed).toBeLessThan(full - 200_000 * 16)
})
