/** Heavy work gives way: where processors are few, rooms come before it. */
import { getPriority, setPriority } from 'node:os'

const STEPS = 5
const LEAST = 19

/** Lowers the calling thread in the scheduler's eyes. Linux keeps this by thread; elsewhere it would lower the whole process, and is left alone. */
export function stepBack(): void {
  if (process.platform === 'linux') setPriority(Math.min(LEAST, getPriority() + STEPS))
}
