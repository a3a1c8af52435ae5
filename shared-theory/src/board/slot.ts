/** A decision's place as one key, the same in the draft, the ledger and the addresses of comments. */
import type { DecisionKind, SectionRef, Slot } from '../contract/index.js'

export const DECISION_KINDS = [
  'groove',
  'opening',
  'harmony',
  'lift',
  'ending',
] as const satisfies readonly DecisionKind[]

/** 'harmony@chorus-1/A3:0+8', 'lift@chorus-last/B2', 'groove': stretches carry ':fromBar+bars'. */
export function slotKey(slot: { decision: string; at?: SectionRef }): string {
  return slot.at ? `${slot.decision}@${placeKey(slot.at)}` : slot.decision
}

/** 'chorus-1/A3:0+8'; a whole pass is its id alone. */
export function placeKey(at: SectionRef): string {
  const section = at.sectionId === undefined ? '' : `/${at.sectionId}`
  const stretch = at.fromBar === undefined && at.bars === undefined ? '' : `:${at.fromBar ?? 0}+${at.bars ?? 0}`
  return `${at.passId}${section}${stretch}`
}

const KEY = /^([a-z]+)(?:@([^/:@]{1,80})(?:\/([^/:@]{1,80}))?(?::(\d{1,4})\+(\d{1,4}))?)?$/

/** The slot a key names; undefined where the text is no slot key. */
export function parseSlotKey(key: string): Slot | undefined {
  const found = KEY.exec(key)
  const decision = DECISION_KINDS.find((kind) => kind === found?.[1])
  if (!found || !decision) return undefined
  const [, , passId, sectionId, fromBar, bars] = found
  if (passId === undefined) return { decision }
  return {
    decision,
    at: {
      passId,
      ...(sectionId === undefined ? {} : { sectionId }),
      ...(fromBar === undefined ? {} : { fromBar: Number(fromBar) }),
      ...(bars === undefined || Number(bars) === 0 ? {} : { bars: Number(bars) }),
    },
  }
}
