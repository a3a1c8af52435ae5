import { expect, it } from 'vitest'
import { collectGarbage, givingBack } from './give-back.js'

it('[ME1] memory is given back when the last room has gone and once more a while after, never while one is open', () => {
  let times = 0
  const { look } = givingBack(() => (times += 1))
  const at = (seconds: number, held: number): number => {
    look(held, seconds * 1000)
    return times
  }
  expect([at(0, 0), at(20, 0), at(30, 3), at(60, 1)]).toEqual([0, 0, 0, 0])
  expect([at(61, 0), at(62, 0), at(64, 1), at(69, 0), at(70, 0)]).toEqual([1, 1, 1, 2, 2])
  expect([at(74, 0), at(75, 0), at(76, 0), at(200, 0)]).toEqual([2, 3, 3, 3])
  expect([at(300, 1), at(301, 0)]).toEqual([3, 4])
})

it('[ME1] a collection frees what nobody holds', () => {
  let held: unknown[] | undefined = Array.from({ length: 200_000 }, (_, index) => ({ index }))
  const full = process.memoryUsage().heapUsed
  expect(held.length).toBeGreaterThan(0)
  held = undefined
  collectGarbage()
  expect(process.memoryUsage().heapUsed).toBeLessThan(full - 200_000 * 16)
})
