/** The quick form of a growth for every test run: two sizes side by side in one run, and only the ratio of their costs counts. What goes in proportion
 *  keeps far below it on any machine, what goes by the square does not. */
import { expect } from 'vitest'
import { costsOf } from './growth.js'

/** More than this power of the size is a fault; 1 would be in proportion. */
const MOST = 1.6

export async function keepsInProportion(
  what: string,
  [small, large]: readonly [number, number],
  cost: (size: number) => number | Promise<number>,
  most = MOST,
): Promise<void> {
  const [one, more] = await costsOf([small, large], 4, cost)
  const ratio = (more?.cost ?? NaN) / (one?.cost ?? NaN)
  console.log(`${what}: ${large / small} times the size, ${ratio.toFixed(2)} times the cost`)
  expect(ratio, `${what}, ${large} to ${small}`).toBeLessThan((large / small) ** most)
}
