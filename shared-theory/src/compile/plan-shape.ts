/** The door of `compile`: a plan from anywhere as one the stages can trust. What is good passes untouched; what is not is mended or
 *  left out, and an issue names the place. */
import type { Chosen, DecisionKind, Issue, PartSpec, PassPlan, Plan } from '../contract/index.js'
import { Door, type Fields, type Mend, isFields, isListOf, isTick, tuneShape } from '../tune/index.js'
import { LIMITS } from '../units/index.js'
import { handEdit, sectionRef } from './edit-shape.js'

const DECISIONS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const PASS_KINDS: readonly PassPlan['kind'][] = ['chorus', 'solo', 'verse']
const ROLES: readonly PartSpec['role'][] = ['lead', 'horn', 'chords', 'bass', 'drums', 'voice']
/** Names of bars that no pass may take. */
const TAKEN_NAMES = ['opening', 'ending']
/** What may be a file name of a part. */
const PART_ID = /^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$/

/** The plan itself where it is whole; else as much of it as can be read. Never throws. */
export function planShape(given: unknown): { readonly plan: Plan; readonly issues: readonly Issue[] } {
  const door = new Door()
  const fields = isFields(given) ? given : {}
  if (fields !== given) door.say('', 'This is no plan: it needs a tune, a running order and a line-up.')
  const tune = tuneShape(door, fields['tune'])
  const roadmap = door.list(fields['roadmap'], 'roadmap', LIMITS.passes, passShape)
  const lineup = door.list(fields['lineup'], 'lineup', LIMITS.parts, partShape)
  const chosen = door.list(fields['chosen'], 'chosen', LIMITS.chosen, chosenShape)
  const edits = door.list(fields['edits'], 'edits', door.editsLeft, handEdit)
  const read = {
    tune,
    roadmap: door.distinct(roadmap, 'roadmap', TAKEN_NAMES),
    chosen,
    lineup: door.distinct(lineup, 'lineup'),
    edits,
  }
  const { key, seed } = fields
  const isKey = key === undefined || typeof key === 'string'
  const isSeed = seed === undefined || Number.isSafeInteger(seed)
  if (!isKey) door.say('key', "The key asked for can't be read; write it as 'Bb major'.")
  if (!isSeed) door.say('seed', 'The seed is no whole number; 1 is taken.')
  const isSame = (Object.keys(read) as (keyof typeof read)[]).every((name) => read[name] === fields[name])
  if (isSame && isKey && isSeed && door.issues.length === 0)
    return { plan: fields as unknown as Plan, issues: door.issues }
  const plan: Plan = {
    ...read,
    ...(typeof key === 'string' ? { key } : {}),
    ...(typeof seed === 'number' && isSeed ? { seed } : {}),
  }
  return { plan, issues: door.issues }
}

const passShape: Mend<PassPlan> = (door, given, path) => {
  if (!isFields(given)) return door.say(path, 'This is no pass; it needs a name, a kind and sections.')
  const sections = door.list(given['sections'], `${path}/sections`, LIMITS.passSections, (_door, section, at) =>
    isWord(section) ? section : door.say(at, 'A section is named by its text, such as A1.'),
  )
  const pass = door.fields<PassPlan>(given, path, {
    id: [isWord, 'pass', 'A pass needs a name'],
    kind: [(kind) => PASS_KINDS.includes(kind as PassPlan['kind']), 'chorus', 'A pass is a chorus, a solo or a verse'],
    times: [(times) => typeof times === 'number', undefined, 'How often a pass is played is a number'],
    open: [(open) => open === true || open === false, undefined, 'A pass is open or it is not'],
    soloist: [isWord, undefined, 'A soloist is named by the part'],
    trading: [(bars) => isTick(bars) && bars >= 1 && bars <= 64, undefined, 'Trading goes by 1 to 64 bars'],
    backgrounds: [(held) => typeof held === 'boolean', undefined, 'Backgrounds are on or off'],
    melody: [isWord, undefined, 'Who has the melody is named by the part'],
    energy: [(held) => isNumber(held) && held >= 0 && held <= 1, undefined, 'Energy lies between 0 and 1'],
  })
  return pass.sections === sections ? pass : { ...pass, sections }
}

const partShape: Mend<PartSpec> = (door, given, path, index) => {
  if (!isFields(given)) return door.say(path, 'This is no part; it needs an id, an instrument, a name and a role.')
  const part = door.fields<PartSpec>(given, path, {
    id: [
      (id) => typeof id === 'string' && PART_ID.test(id),
      `part-${index + 1}`,
      "A part's id names a file: letters, digits, '-' and '_'",
    ],
    instrument: [isWord, 'piano', 'A part needs an instrument'],
    name: [isWord, `Part ${index + 1}`, 'A part needs a name to print'],
    role: [(role) => ROLES.includes(role as PartSpec['role']), 'horn', `A part's role is one of ${ROLES.join(', ')}`],
  })
  const { id, instrument, name, role } = part
  return Object.keys(part).length === 4 ? part : { id, instrument, name, role }
}

const chosenShape: Mend<Chosen> = (door, given, path) => {
  const option = isFields(given) ? given['option'] : undefined
  if (!isFields(given) || !isFields(option)) return door.say(path, 'This is no choice; it needs a kind and an option.')
  const { kind, at } = given
  if (!DECISIONS.includes(kind as DecisionKind))
    return door.say(`${path}/kind`, `There is no such decision; it is one of ${DECISIONS.join(', ')}.`)
  if (![option['id'], option['recipe'], option['title']].every(isWord) || !isFields(option['params']))
    return door.say(`${path}/option`, "This option can't be read; it needs an id, a recipe, a title and params.")
  if (at !== undefined && !sectionRef(at)) return door.say(`${path}/at`, NO_PLACE)
  if (option['at'] !== undefined && !sectionRef(option['at'])) return door.say(`${path}/option/at`, NO_PLACE)
  const params = plainParams(door, option['params'], `${path}/option/params`)
  const { handEdits } = option
  const edits =
    handEdits === undefined ? undefined : door.list(handEdits, `${path}/option/handEdits`, door.editsLeft, handEdit)
  door.editsLeft -= edits?.length ?? 0
  if (params === option['params'] && edits === handEdits) return given as unknown as Chosen
  const { handEdits: _handEdits, ...rest } = option
  return { ...given, option: { ...rest, params, ...(edits ? { handEdits: edits } : {}) } } as unknown as Chosen
}
const NO_PLACE = "This place can't be read; name a pass, and its section and bars from 0 where only those are meant."

/** Params hold texts, numbers, yes or no, and lists of texts and numbers. */
function plainParams(door: Door, given: Fields, path: string): Fields {
  const names = Object.keys(given)
  const isGood = (name: string): boolean => {
    const value = given[name]
    return (
      name !== '__proto__' &&
      (Array.isArray(value)
        ? value.length <= LIMITS.paramList && isListOf(value, (one) => isText(one) || isNumber(one))
        : isText(value) || isNumber(value) || typeof value === 'boolean')
    )
  }
  const good = names.filter(isGood).slice(0, LIMITS.params)
  if (good.length === names.length) return given
  door.say(path, `Of ${names.length} parameters ${good.length} can be read; the others are left out.`)
  return Object.fromEntries(good.map((name) => [name, given[name]]))
}

const isText = (value: unknown): value is string => typeof value === 'string' && value.length <= LIMITS.paramText
const isWord = (value: unknown): value is string =>
  typeof value === 'string' && value.length > 0 && value.length <= LIMITS.word
const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value)
