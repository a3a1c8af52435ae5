/** Names of options that people can type: recipe and parameters in [a-z0-9-] only, so that they can stand in a command or an address. */
import type { DecisionKind, Option } from '../contract/index.js'
import { hashOf } from '../units/index.js'

type Params = Option['params']

const LONGEST = 56

/** 'up-2-sus-dominant' for a lift, else the recipe and what its parameters say: 'dominant-pedal-8-rising'. The same kind, recipe and
 *  params give the same id on every tune. */
export function optionId(kind: DecisionKind, recipe: string, params: Params): string {
  const id = slug(wordsOf(kind, recipe, params))
  return id.length <= LONGEST ? id : `${slug([recipe])}-${hashOf(params).slice(0, 8)}`
}

/** The id, marked by its params where another option of the list has the readable one already. */
export function uniqueId(id: string, params: Params, taken: ReadonlySet<string>): string {
  if (!taken.has(id)) return id
  const marked = `${id}-${hashOf(params).slice(0, 6)}`
  return taken.has(marked) ? uniqueId(`${marked}-2`, params, taken) : marked
}

function wordsOf(kind: DecisionKind, recipe: string, params: Params): readonly string[] {
  if (kind === 'lift') {
    const semitones = Number(params['semitones'] ?? 0)
    if (semitones === 0) return [recipe]
    const way = semitones > 0 ? 'up' : 'down'
    const line = params['line'] === undefined ? [] : [String(params['line'])]
    const octave =
      params['octave'] === undefined ? [] : [Number(params['octave']) < 0 ? 'octave-lower' : 'octave-higher']
    const spelling = params['spelling'] === undefined ? [] : [`in-${String(params['spelling'])}`]
    const aim = params['aim'] === 'key' ? ['to-key'] : []
    return [way, String(Math.abs(semitones)), recipe, ...line, ...aim, ...octave, ...spelling]
  }
  if (kind === 'groove')
    return [recipe, ...listed(params['maps']), ...(params['groups'] === undefined ? [] : [String(params['groups'])])]
  const names = Object.keys(params).sort()
  return [recipe, ...names.flatMap((name) => wordOf(name, params[name] as Params[string]))]
}

function wordOf(name: string, value: Params[string]): readonly string[] {
  if (typeof value === 'boolean') return value ? [name] : []
  if (typeof value === 'number') {
    const figure = value < 0 ? `down-${-value}` : String(value)
    return [name === 'bars' ? figure : `${name}-${figure}`]
  }
  return typeof value === 'string' ? [value] : listed(value)
}

/** A list short enough to say; a long one by its hash. */
function listed(value: Params[string] | undefined): readonly string[] {
  if (!Array.isArray(value) || value.length === 0) return []
  const said = value.map(String).join('-')
  return [said.length <= 24 ? said : hashOf(value).slice(0, 6)]
}

/** Accidentals are spelled out, so that A♭ and A stay apart. */
const slug = (words: readonly string[]): string =>
  words
    .join('-')
    .replaceAll(/[#♯]/g, 'sharp')
    .replaceAll('♭', 'flat')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
