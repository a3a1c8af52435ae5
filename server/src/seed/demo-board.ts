/** The demo board: made once in a data folder, found again on every later start. */
import { createBoardWith, type NewBoard } from '../boards/boards.js'
import type { Services } from '../services.js'

export async function seedDemo(services: Services): Promise<NewBoard> {
  return createBoardWith(services, 'Demo')
}
