/** Board rules: the ledger and its fold, roles, wire messages, the clock estimate, the draft's shape. No music is computed here, so a page can load it first. */
export { anchorAt, anchoredBar, type BarPlace, barPlaces, type CommentAnchor } from './bar-places.js'
export { estimateOffset } from './clock.js'
export {
  COMMAND_KINDS,
  isCommandKind,
  isStale,
  mayCommand,
  NEEDS_BASE,
  noteChange,
  PERMISSIONS,
  SERVER_KINDS,
  targetOf,
} from './commands.js'
export type {
  Command,
  CommandFields,
  CommandKind,
  LastChanges,
  LinkRow,
  PollOption,
  UserCommandKind,
} from './commands.js'
export { DRAFT_SCHEMA, DRAFT_TYPES, editKey, optionWithEdits, readDraft } from './draft.js'
export type { Draft, DraftCard, DraftComment, DraftEdit, DraftOption } from './draft.js'
export { EMPTY_STATE, foldEntry, foldLedger } from './fold-ledger.js'
export { BOARD_LIMITS } from './limits.js'
export { planOfState } from './plan-of-state.js'
export { normaliseEdits } from './read-edits.js'
export { readLineup, readOption, readRoadmap, readSlot } from './read-option.js'
export { DECISION_KINDS, parseSlotKey, placeKey, slotKey } from './slot.js'
export * from './wire.js'
