/** The tune inside a plan, from anywhere: bars keep their places, what can't be read in them is left out and named. */
import type { MelodyNote, PlacedChord, Section, Tune, TuneBar } from '../contract/index.js'
import { isFields, isKeySignature, isMelodyNote, isMetre, isPlacedChord, isTick } from './shapes.js'
import { LIMITS, barTicks, keySignatureOf } from '../units/index.js'
import { Door } from './door.js'

const ROLES: readonly Section['role'][] = ['chorus', 'verse', 'coda', 'intro']
const PATH = 'tune'

/** The same tune where it is whole. */
export function tuneShape(door: Door, given: unknown): Tune {
  const fields = isFields(given) ? given : {}
  if (fields !== given) door.say(PATH, 'The plan has no tune; bring one in.')
  const { key, metre, tempoBpm, title, pickupTicks } = fields
  const isTempo = typeof tempoBpm === 'number' && tempoBpm >= 1 && tempoBpm <= 1000
  const hasTempo = tempoBpm === undefined || isTempo
  if (!isKeySignature(key)) door.say(`${PATH}/key`, "The tune's key can't be read; C major is taken.")
  if (!isMetre(metre)) door.say(`${PATH}/metre`, "The tune's metre can't be read; 4/4 is taken.")
  if (!hasTempo) door.say(`${PATH}/tempoBpm`, "The tune's tempo can't be read; the groove's own is taken.")
  if (typeof title !== 'string') door.say(`${PATH}/title`, 'The tune has no title.')
  const frame: Frame = {
    metre: isMetre(metre) ? metre : { beats: 4, beatType: 4 },
    key: isKeySignature(key) ? key : keySignatureOf('C major'),
  }
  const bars = door.list(fields['bars'], `${PATH}/bars`, LIMITS.tuneBars, (_door, bar, path, index) =>
    barShape(door, bar, path, index, frame),
  )
  const sections = door.distinct(
    door.list(fields['sections'], `${PATH}/sections`, LIMITS.tuneBars, (_door, section, path) =>
      sectionShape(door, section, path, bars.length),
    ),
    `${PATH}/sections`,
  )
  const first = bars[0]
  const isPickup = pickupTicks === 0 || (isTick(pickupTicks) && pickupTicks === first?.lengthTicks)
  if (!isPickup && first)
    door.say(`${PATH}/pickupTicks`, "The pickup's length isn't that of the first bar; it is taken as a bar.")
  const isSame =
    fields === given && frame.metre === metre && frame.key === key && hasTempo && typeof title === 'string' && isPickup
  if (isSame && bars === fields['bars'] && sections === fields['sections']) return given as unknown as Tune
  const { tempoBpm: _tempoBpm, ...rest } = fields as unknown as Tune
  return {
    ...rest,
    title: typeof title === 'string' ? title : '',
    ...frame,
    ...(isTempo ? { tempoBpm } : {}),
    pickupTicks: isPickup ? pickupTicks : 0,
    bars,
    sections,
  }
}

/** The tune itself where it is whole, else what of it can be read; for whoever has no place for issues. Never throws. */
export function readableTune(given: unknown): Tune {
  return tuneShape(new Door(), given)
}

type Frame = Pick<TuneBar, 'metre' | 'key'>

/** A bar that can't be read at all is silent, in the tune's metre and key. */
function barShape(door: Door, given: unknown, path: string, index: number, frame: Frame): TuneBar {
  const fields = isFields(given) ? given : {}
  const { metre, key, lengthTicks, barIndex } = fields
  const hasFrame = isMetre(metre) && isKeySignature(key)
  const hasLength = hasFrame && isTick(lengthTicks) && lengthTicks > 0 && lengthTicks <= barTicks(metre)
  if (!hasLength || barIndex !== index) {
    const text = hasLength ? 'its number is not its place' : "its metre, key or length can't be read; what can be stays"
    door.say(path, `Bar ${index + 1} of the tune: ${text}.`)
  }
  const own: Frame = { metre: isMetre(metre) ? metre : frame.metre, key: isKeySignature(key) ? key : frame.key }
  const length = hasLength ? lengthTicks : barTicks(own.metre)
  const melody = melodyShape(door, fields['melody'], `${path}/melody`, length)
  const chords = chordsShape(door, fields['chords'], `${path}/chords`, length)
  const isSame = hasLength && barIndex === index && melody === fields['melody'] && chords === fields['chords']
  if (isSame) return given as TuneBar
  const writtenBar = isTick(fields['writtenBar']) ? fields['writtenBar'] : index
  return { barIndex: index, ...own, lengthTicks: length, melody, chords, writtenBar }
}

/** Notes one after the other, inside the bar. */
function melodyShape(door: Door, given: unknown, path: string, length: number): readonly MelodyNote[] {
  let reached = 0
  return door.list(given, path, LIMITS.notesPerBar, (_door, note, at) => {
    const isWhole = isMelodyNote(note) && note.startTick >= reached && note.startTick + note.durationTicks <= length
    if (!isWhole)
      return door.say(at, "A note can't be read, overlaps the one before or runs past the bar; it is left out.")
    reached = note.startTick + note.durationTicks
    return note
  })
}

/** Chords one after the other, beginning inside the bar. */
function chordsShape(door: Door, given: unknown, path: string, length: number): readonly PlacedChord[] {
  let after = -1
  return door.list(given, path, LIMITS.chordsPerBar, (_door, placed, at) => {
    if (!isPlacedChord(placed) || placed.startTick <= after || placed.startTick >= length)
      return door.say(at, "A chord can't be read or has no place in the bar; it is left out.")
    after = placed.startTick
    return placed
  })
}

/** A section that leaves the tune ends with it. */
function sectionShape(door: Door, given: unknown, path: string, bars: number): Section | undefined {
  const isWhole =
    isFields(given) &&
    isWord(given['id']) &&
    typeof given['letter'] === 'string' &&
    isTick(given['startBar']) &&
    isTick(given['bars']) &&
    given['bars'] >= 1 &&
    given['startBar'] < bars
  if (!isWhole)
    return door.say(path, "This section can't be read, or begins where the tune has no bars; it is left out.")
  const section = door.fields<Section>(given, path, {
    role: [
      (role) => ROLES.includes(role as Section['role']),
      'chorus',
      `A section's role is one of ${ROLES.join(', ')}`,
    ],
  })
  if (section.startBar + section.bars <= bars) return section
  door.say(`${path}/bars`, `Section ${section.id} is longer than the tune; it ends with its last bar.`)
  return { ...section, bars: bars - section.startBar }
}

const isWord = (value: unknown): value is string =>
  typeof value === 'string' && value.length > 0 && value.length <= LIMITS.word
