/** Which outgoing frames count as draft messages: sync step 2 and updates, read from their first two bytes. */
import { MESSAGE, SYNC } from '@chartloft/shared-theory/board'

export function draftFrame(bytes: Uint8Array): 'step2' | 'update' | undefined {
  if (bytes[0] !== MESSAGE.sync) return undefined
  if (bytes[1] === SYNC.step2) return 'step2'
  return bytes[1] === SYNC.update ? 'update' : undefined
}
