/** What the fold leans on in a row: a row that lacks it changes nothing but `seq`. */
import type { CommandKind } from './commands.js'
import { isObject } from './fields.js'

type Test = (value: unknown) => boolean

const isText: Test = (value) => typeof value === 'string'
const isWhole: Test = (value) => Number.isSafeInteger(value)
const isList: Test = (value) => Array.isArray(value)
const absentOr =
  (test: Test): Test =>
  (value) =>
    value === undefined || test(value)
const areLinks: Test = (value) => Array.isArray(value) && Array.from(value).every(isObject)

/** A pass, and its section and bars where only those are meant. */
export const isPlace: Test = (value) =>
  isObject(value) &&
  isText(value['passId']) &&
  absentOr(isText)(value['sectionId']) &&
  absentOr(isWhole)(value['fromBar']) &&
  absentOr(isWhole)(value['bars'])
export const isSlot: Test = (value) => isObject(value) && isText(value['decision']) && absentOr(isPlace)(value['at'])
export const isOption: Test = (value) => isObject(value) && absentOr(isPlace)(value['at'])

const NEEDS: { readonly [kind in CommandKind]: { readonly [field: string]: Test } } = {
  createBoard: {
    title: isText,
    tune: absentOr(isObject),
    lineup: absentOr(isList),
    roadmap: absentOr(isList),
    links: areLinks,
  },
  importBoard: { links: areLinks },
  lock: { slot: isSlot, option: isOption, bars: isList, tuneHash: isText, why: absentOr(isText) },
  unlock: { slot: isSlot },
  openPoll: { pollId: isText, question: isText, slot: absentOr(isSlot) },
  closePoll: { pollId: isText },
  setLineup: { lineup: isList },
  setRoadmap: { roadmap: isList },
  nameVersion: { name: isText },
  restoreVersion: { toSeq: isWhole },
  issueLink: { linkId: isText, role: isText, label: absentOr(isText) },
  revokeLink: { linkId: isText },
  setRights: { rights: isText },
  setTune: { tune: isObject, lineup: absentOr(isList), roadmap: absentOr(isList) },
  setKey: { key: absentOr(isText) },
  setEdits: { edits: isList },
  openPlace: { slot: isSlot },
  closePlace: { slot: isSlot },
  markPrinted: { version: isWhole },
}

/** The kind of a row the fold can act on; undefined where it does not know the kind or something it needs is not there. */
export function readableKind(command: unknown): CommandKind | undefined {
  if (!isObject(command)) return undefined
  const { kind } = command
  if (typeof kind !== 'string' || !Object.hasOwn(NEEDS, kind)) return undefined
  const isWholeRow = Object.entries(NEEDS[kind as CommandKind]).every(([field, test]) => test(command[field]))
  return isWholeRow ? (kind as CommandKind) : undefined
}
