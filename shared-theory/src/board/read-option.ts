/** An option, a slot, a line-up and a running order from unknown JSON: kept field by field, refused with issues. */
import type { Option, PartSpec, PassPlan, Result, RuleStep, Slot } from '../contract/index.js'
import { fail, issue, ok } from '../units/index.js'
import { BOARD_LIMITS } from './limits.js'
import { Reader, SHAPE, defined, isObject } from './fields.js'
import { readEdits, readSectionRef } from './read-edits.js'
import { DECISION_KINDS } from './slot.js'

const PART_ROLES = ['lead', 'horn', 'chords', 'bass', 'drums', 'voice'] as const
const PASS_KINDS = ['chorus', 'solo', 'verse'] as const
/** What may be a file name of a part. */
const PART_ID = /^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$/

export const readSlot = (value: unknown, path = 'slot'): Result<Slot> =>
  reading((reader) => slotFrom(reader, value, path))
export const readOption = (value: unknown, path = 'option'): Result<Option> =>
  reading((reader) => optionFrom(reader, value, path))
export const readLineup = (value: unknown, path = 'lineup'): Result<readonly PartSpec[]> =>
  reading((reader) => lineupFrom(reader, value, path))
export const readRoadmap = (value: unknown, path = 'roadmap'): Result<readonly PassPlan[]> =>
  reading((reader) => roadmapFrom(reader, value, path))

function reading<T>(read: (reader: Reader) => T | undefined): Result<T> {
  const reader = new Reader()
  const value = read(reader)
  if (value !== undefined && reader.issues.length === 0) return ok(value)
  const [first, ...rest] = reader.issues
  return fail(first ?? issue(SHAPE, 'error', '', 'this does not read'), ...rest)
}

export function slotFrom(reader: Reader, value: unknown, path: string): Slot | undefined {
  const slot = reader.object(value, path)
  const decision = slot && reader.oneOf(slot['decision'], `${path}/decision`, DECISION_KINDS)
  if (!slot || !decision) return undefined
  if (slot['at'] === undefined) return { decision }
  const at = readSectionRef(reader, slot['at'], `${path}/at`)
  return at && { decision, at }
}

export function optionFrom(reader: Reader, value: unknown, path: string): Option | undefined {
  const option = reader.object(value, path)
  if (!option) return undefined
  const before = reader.issues.length
  const read = {
    id: reader.text(option['id'], `${path}/id`, BOARD_LIMITS.id, 1),
    kind: reader.oneOf(option['kind'], `${path}/kind`, DECISION_KINDS),
    recipe: reader.text(option['recipe'], `${path}/recipe`, BOARD_LIMITS.id, 1),
    title: reader.text(option['title'], `${path}/title`, BOARD_LIMITS.optionTitle, 1),
    params: paramsFrom(reader, option['params'], `${path}/params`),
    summary: reader.text(option['summary'], `${path}/summary`, 1000),
    reason: reasonFrom(reader, option['reason'], `${path}/reason`),
    effects: option['effects'] === undefined ? undefined : effectsFrom(reader, option['effects'], `${path}/effects`),
    score: reader.number(option['score'], `${path}/score`, 0, 1),
    at: option['at'] === undefined ? undefined : readSectionRef(reader, option['at'], `${path}/at`),
    handEdits:
      option['handEdits'] === undefined ? undefined : readEdits(reader, option['handEdits'], `${path}/handEdits`),
  }
  return reader.issues.length === before ? (defined(read) as Option) : undefined
}

function paramsFrom(reader: Reader, value: unknown, path: string): Option['params'] | undefined {
  const params = reader.object(value, path)
  if (!params) return undefined
  const entries = Object.entries(params)
  if (entries.length > BOARD_LIMITS.params)
    return reader.refuse(path, `at most ${BOARD_LIMITS.params} parameters fit here`)
  for (const [name, held] of entries) {
    const plain = Array.isArray(held)
      ? held.length <= BOARD_LIMITS.paramList && held.every(isWordOrNumber)
      : isWordOrNumber(held) || typeof held === 'boolean'
    if (!plain)
      reader.refuse(`${path}/${name}`, 'a text, a number, yes or no, or a list of texts and numbers was expected here')
  }
  return Object.fromEntries(entries.filter(([name]) => name !== '__proto__')) as Option['params']
}

const isWordOrNumber = (value: unknown): boolean =>
  (typeof value === 'string' && value.length <= 2000) || (typeof value === 'number' && Number.isFinite(value))

function reasonFrom(reader: Reader, value: unknown, path: string): readonly RuleStep[] | undefined {
  return reader.list(value, path, BOARD_LIMITS.reasonSteps)?.flatMap((step, index) => {
    const held = reader.object(step, `${path}/${index}`)
    const rule = held && reader.text(held['rule'], `${path}/${index}/rule`, 40, 1)
    const text = held && reader.text(held['text'], `${path}/${index}/text`, 1000)
    return rule === undefined || text === undefined ? [] : [{ rule, text }]
  })
}

function effectsFrom(reader: Reader, value: unknown, path: string): Option['effects'] {
  const effects = reader.object(value, path)
  if (!effects) return undefined
  const number = (name: string, least: number, most: number) =>
    reader.number(effects[name], `${path}/${name}`, least, most)
  const outOfRange = effects['outOfRange']
  return defined({
    addedBars: number('addedBars', -5000, 5000),
    addedSeconds: number('addedSeconds', -36_000, 36_000),
    energy: number('energy', -1, 1),
    distance: number('distance', 0, 1),
    difficulty: number('difficulty', 0, 1),
    outOfRange:
      outOfRange === undefined
        ? undefined
        : (reader.list(outOfRange, `${path}/outOfRange`, BOARD_LIMITS.lineup) ?? []).flatMap(
            (part, index) => reader.text(part, `${path}/outOfRange/${index}`, BOARD_LIMITS.id, 1) ?? [],
          ),
  }) as Option['effects']
}

function lineupFrom(reader: Reader, value: unknown, path: string): readonly PartSpec[] | undefined {
  const list = reader.list(value, path, BOARD_LIMITS.lineup)
  if (!list) return undefined
  if (list.length === 0) return reader.refuse(path, 'a line-up has at least one part')
  const seen = new Set<string>()
  return list.flatMap((entry, index) => {
    const at = `${path}/${index}`
    const part = reader.object(entry, at)
    if (!part) return []
    const id = reader.text(part['id'], `${at}/id`, 64, 1)
    const instrument = reader.text(part['instrument'], `${at}/instrument`, BOARD_LIMITS.id, 1)
    const name = reader.text(part['name'], `${at}/name`, BOARD_LIMITS.label, 1)
    const role = reader.oneOf(part['role'], `${at}/role`, PART_ROLES)
    if (id === undefined || instrument === undefined || name === undefined || !role) return []
    if (!PART_ID.test(id))
      return reader.refuse(`${at}/id`, `'${id}' names a file: use letters, digits, '-' and '_'`) ?? []
    if (seen.has(id)) return reader.refuse(`${at}/id`, `two parts are called '${id}'`) ?? []
    seen.add(id)
    return [{ id, instrument, name, role }]
  })
}

function roadmapFrom(reader: Reader, value: unknown, path: string): readonly PassPlan[] | undefined {
  const list = reader.list(value, path, BOARD_LIMITS.roadmapPasses)
  if (!list) return undefined
  if (list.length === 0) return reader.refuse(path, 'a running order has at least one pass')
  const seen = new Set<string>()
  return list.flatMap((entry, index) => {
    const pass = passFrom(reader, entry, `${path}/${index}`)
    if (!pass) return []
    if (seen.has(pass.id)) return reader.refuse(`${path}/${index}/id`, `two passes are called '${pass.id}'`) ?? []
    seen.add(pass.id)
    return [pass]
  })
}

export function passFrom(reader: Reader, value: unknown, path: string): PassPlan | undefined {
  if (!isObject(value)) return reader.refuse(path, 'a pass was expected here')
  const before = reader.issues.length
  const optionalText = (name: string) =>
    value[name] === undefined ? undefined : reader.text(value[name], `${path}/${name}`, BOARD_LIMITS.id, 1)
  const sections = reader
    .list(value['sections'], `${path}/sections`, BOARD_LIMITS.passSections)
    ?.flatMap((section, index) => reader.text(section, `${path}/sections/${index}`, BOARD_LIMITS.id, 1) ?? [])
  const read = {
    id: reader.text(value['id'], `${path}/id`, BOARD_LIMITS.id, 1),
    kind: reader.oneOf(value['kind'], `${path}/kind`, PASS_KINDS),
    sections,
    times: value['times'] === undefined ? undefined : reader.integer(value['times'], `${path}/times`, 1, 32),
    open: value['open'] === true ? (true as const) : undefined,
    soloist: optionalText('soloist'),
    trading: value['trading'] === undefined ? undefined : reader.integer(value['trading'], `${path}/trading`, 1, 32),
    backgrounds: typeof value['backgrounds'] === 'boolean' ? value['backgrounds'] : undefined,
    melody: optionalText('melody'),
    energy: value['energy'] === undefined ? undefined : reader.number(value['energy'], `${path}/energy`, 0, 1),
  }
  return reader.issues.length === before ? (defined(read) as PassPlan) : undefined
}
