/** Frames that take milliseconds at a stretch: which they are, and that an update of very many pieces is refused before it is applied. */
import { CLOSE } from '@chartloft/shared-theory/board'
import { LIMITS } from '../limits.js'
import { BadFrame, type Frame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'

const isLarge = (frame: Frame): frame is Frame & { readonly update: Uint8Array } =>
  (frame.type === 'update' || frame.type === 'step2') && frame.update.length > LIMITS.weighedFromBytes

/** A large update, or the question for a large draft. */
export const isHeavy = (frame: Frame, draftBytes: number): boolean =>
  isLarge(frame) || (frame.type === 'step1' && draftBytes > LIMITS.easyDraftBytes)

/** An update of very many pieces would keep every room waiting while it is applied: it is counted elsewhere, and refused. */
export async function weigh(
  peer: Peer,
  frame: Frame,
  countPieces: (update: Uint8Array) => Promise<number | undefined>,
): Promise<void> {
  if (!isLarge(frame)) return
  try {
    const pieces = await countPieces(frame.update)
    if (pieces === undefined) throw new BadFrame('an update does not decode')
    if (pieces > LIMITS.piecesAtOnce)
      peer.close(CLOSE.tooLarge, 'too_large', 'That was more in one message than the board takes at once.')
  } catch (error) {
    if (error instanceof BadFrame) throw error
    peer.close(CLOSE.tryLater, 'draining', 'The server is busy; you will be reconnected.')
  }
}
