/** What is looked after in the background: slow readers, expired links, polls whose time has come, rooms nobody is in. */
import { CLOSE } from '@chartloft/shared-theory/board'
import { Refusal, messageOf } from './errors.js'
import { collectGarbage, givingBack } from './give-back.js'
import { LIMITS } from './limits.js'
import { Room } from './rooms/room.js'
import type { Wiring } from './wiring.js'

/** Starts the rounds; answers with how to end them. */
export function startSweeping({ services, peers }: Wiring): () => void {
  let isRunning = false
  const giveBack = givingBack(collectGarbage)
  const round = async () => {
    lookAfterPeers()
    if (isRunning) return
    isRunning = true
    try {
      await closeDuePolls()
      await services.rooms.sweep(services.clock())
      await services.ledgers.sweep(
        services.clock() - services.config.roomIdleMs - 1000,
        (boardId) => services.rooms.find(boardId) !== undefined,
      )
      giveBack.look(services.rooms.size + services.ledgers.size, services.clock())
    } catch (error) {
      services.log.warn({ reason: messageOf(error) }, 'a round of looking after failed')
    } finally {
      isRunning = false
    }
  }
  const lookAfterPeers = () => {
    for (const peer of peers) {
      peer.tend(services.clock())
      const { expiresAt } = peer.session
      if (expiresAt !== undefined && expiresAt <= services.now())
        peer.close(CLOSE.revoked, 'revoked', 'The link you came with has expired. Ask the leader for a new one.')
    }
  }
  const closeDuePolls = async () => {
    for (const { boardId, pollId } of await services.store.duePolls(services.now())) {
      try {
        await services.commands.giveAsServer(boardId, 'closePoll', { pollId })
      } catch (error) {
        // Another process was first.
        if (!(error instanceof Refusal)) throw error
      }
    }
  }
  const timers = [
    setInterval(() => void round(), LIMITS.sweepEveryMs),
    setInterval(() => {
      for (const peer of peers) peer.keepAlive(Room.KEEP_ALIVE)
    }, services.config.keepAliveMs),
  ]
  return () => {
    for (const timer of timers) clearInterval(timer)
  }
}
