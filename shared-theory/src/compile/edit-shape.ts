/** Hand edits and the places they name, from anywhere: whole, or set aside with an issue. */
import type { BarRef, HandEdit, SectionRef } from '../contract/index.js'
import { type Fields, type Mend, isFields, isListOf, isMelodyNote, isMetre, isTick } from '../tune/index.js'
import { LIMITS, parseKey } from '../units/index.js'
import { placeWords } from './edit-words.js'

export const handEdit: Mend<HandEdit> = (door, given, path) =>
  isFields(given) && isWhole(given)
    ? (given as unknown as HandEdit)
    : door.say(path, `${whereOf(given)}his hand edit can't be read and is set aside; make it again.`)

/** Its bar, where that much can be read. */
const whereOf = (given: unknown): string =>
  isFields(given) && isBarRef(given['at']) ? `${placeWords(given['at'])}: t` : 'T'

function isWhole(edit: Fields): boolean {
  const { kind, at, metre, startTick } = edit
  if (kind === 'bars') return isTick(edit['bars']) && (at === 'opening' || at === 'ending' || sectionRef(at))
  if (!isBarRef(at) || !isMetre(metre) || !isKeyIfAny(edit['key'])) return false
  switch (kind) {
    case 'chord':
      return isTick(startTick) && isWord(edit['symbol'])
    case 'melody':
      return isShortListOf(edit['notes'], LIMITS.notesPerBar, isMelodyNote)
    case 'voicing':
      return (
        isTick(startTick) &&
        isWord(edit['partId']) &&
        (edit['over'] === undefined || isWord(edit['over'])) &&
        isShortListOf(edit['midi'], LIMITS.voices, isMidi)
      )
    default:
      return false
  }
}

/** A pass, and its section and bars where only those are meant. */
export const sectionRef = (value: unknown): value is SectionRef =>
  isFields(value) &&
  isWord(value['passId']) &&
  (value['sectionId'] === undefined || isWord(value['sectionId'])) &&
  (value['fromBar'] === undefined || (isTick(value['fromBar']) && value['fromBar'] <= LIMITS.tuneBars)) &&
  (value['bars'] === undefined || (isTick(value['bars']) && value['bars'] >= 1 && value['bars'] <= LIMITS.tuneBars))

const isBarRef = (value: unknown): value is BarRef =>
  isFields(value) &&
  isWord(value['pass']) &&
  isWord(value['sectionId']) &&
  isTick(value['bar']) &&
  (value['ofSection'] === undefined || isTick(value['ofSection'])) &&
  (value['part'] === undefined || isTick(value['part']))

const isShortListOf = (value: unknown, most: number, isGood: (one: unknown) => boolean): boolean =>
  Array.isArray(value) && value.length <= most && isListOf(value, isGood)
const isKeyIfAny = (value: unknown): boolean =>
  value === undefined || (typeof value === 'string' && parseKey(value) !== undefined)
const isMidi = (value: unknown): boolean => isTick(value) && value <= 127
const isWord = (value: unknown): value is string =>
  typeof value === 'string' && value.length > 0 && value.length <= LIMITS.word
