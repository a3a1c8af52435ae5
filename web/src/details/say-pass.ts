/** A pass as the running order names it, and who plays what in it. */
import type { PartSpec, PassPlan } from '@chartloft/shared-theory'
import { words } from '../words.js'
import { turnOf } from './pass-plans.js'

export function passName(roadmap: readonly PassPlan[], pass: PassPlan): string {
  return words.board.pass(pass.kind, ...turnOf(roadmap, pass))
}

export function passFacts(pass: PassPlan, lineup: readonly PartSpec[]): readonly string[] {
  const part = (id: string | undefined) => lineup.find((one) => one.id === id)?.name
  if (pass.kind !== 'solo') {
    const leads = part(pass.melody) ?? lineup.find(({ role }) => role === 'lead')?.name
    return leads ? [words.details.leadsHere(leads)] : []
  }
  const soloist = part(pass.soloist)
  return [
    soloist ? words.board.solo(soloist) : words.details.nobody,
    words.details.timesOf(pass.times ?? 1),
    ...(pass.open ? [words.details.onCue] : []),
    ...(pass.trading ? [words.board.trading(pass.trading)] : []),
    ...(pass.backgrounds ? [words.details.backgrounds] : []),
  ]
}
