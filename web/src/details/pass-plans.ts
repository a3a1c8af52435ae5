/** The running order's own details: how often a pass is played, who has the melody, who solos, what waits for a cue. */
import type { PartSpec, PassPlan } from '@chartloft/shared-theory'

export interface PassChange {
  readonly times?: number
  readonly isOpen?: boolean
  /** A part's id; '' for nobody in particular. */
  readonly soloist?: string
  readonly melody?: string
  /** Bars each with the drums; 0 for no trading. */
  readonly trading?: number
  readonly hasBackgrounds?: boolean
}

export const MOST_TIMES = 8

/** The pass with the change; what is back to its usual is no longer written down. Fields stand in the ledger's order. */
export function changedPass(pass: PassPlan, change: PassChange): PassPlan {
  const { id, kind, sections, energy } = pass
  const times = change.times ?? pass.times ?? 1
  const isOpen = change.isOpen ?? pass.open === true
  const soloist = change.soloist ?? pass.soloist ?? ''
  const trading = change.trading ?? pass.trading ?? 0
  const hasBackgrounds = change.hasBackgrounds ?? pass.backgrounds === true
  const melody = change.melody ?? pass.melody ?? ''
  return {
    id,
    kind,
    sections,
    ...(times > 1 ? { times } : {}),
    ...(isOpen ? { open: true } : {}),
    ...(soloist ? { soloist } : {}),
    ...(trading > 0 ? { trading } : {}),
    ...(hasBackgrounds ? { backgrounds: true } : {}),
    ...(melody ? { melody } : {}),
    ...(energy === undefined ? {} : { energy }),
  }
}

export const changedIn = (roadmap: readonly PassPlan[], id: string, change: PassChange): readonly PassPlan[] =>
  roadmap.map((pass) => (pass.id === id ? changedPass(pass, change) : pass))

/** One more solo pass after the last one, or before the last pass of all; over the same sections. */
export function withSolo(roadmap: readonly PassPlan[]): readonly PassPlan[] {
  const lastSolo = roadmap.findLastIndex(({ kind }) => kind === 'solo')
  const at = lastSolo >= 0 ? lastSolo + 1 : Math.max(0, roadmap.length - 1)
  const model = roadmap[lastSolo] ?? roadmap.find(({ kind }) => kind === 'chorus')
  if (!model) return roadmap
  let number = 1
  while (roadmap.some(({ id }) => id === `solo-${number}`)) number++
  return roadmap.toSpliced(at, 0, { id: `solo-${number}`, kind: 'solo', sections: model.sections })
}

/** Solos only: a chorus carries decisions of its own. */
export const withoutSolo = (roadmap: readonly PassPlan[], id: string): readonly PassPlan[] =>
  roadmap.length < 2 ? roadmap : roadmap.filter((pass) => pass.id !== id || pass.kind !== 'solo')

/** A pass's place among those of its kind, from 0, and how many there are. */
export function turnOf(roadmap: readonly PassPlan[], { id, kind }: PassPlan): readonly [turn: number, turns: number] {
  const same = roadmap.filter((pass) => pass.kind === kind)
  return [same.findIndex((pass) => pass.id === id), same.length]
}

/** Who may have a melody or a solo: everybody but the drums. */
export const linePlayers = (lineup: readonly PartSpec[]): readonly PartSpec[] =>
  lineup.filter(({ role }) => role !== 'drums')
