/** Anything JSON-shaped as bars the checks can trust: what is broken is named and left out, the rest is checked as usual. */
import type {
  ArrangedBar,
  ArrangedNote,
  Issue,
  Metre,
  PartNote,
  PartSpec,
  PlacedChord,
  Provenance,
} from '../contract/index.js'
import {
  type Fields,
  isFields,
  isKeySignature,
  isMetre,
  isPitchedNote,
  isPlacedChord,
  isTick,
  isTimedNote,
} from '../tune/index.js'
import { LIMITS, issue } from '../units/index.js'

export interface ReadableArrangement {
  readonly bars: readonly (ArrangedBar | undefined)[]
  readonly lineup: readonly PartSpec[]
  readonly issues: readonly Issue[]
}

/** Bars keep their places: one that cannot be read leaves a gap. */
export function readable(arrangement: unknown): ReadableArrangement {
  const issues: Issue[] = []
  const complain = (path: string, message: string): void => {
    issues.push(issue('VA1', 'error', path, message))
  }
  if (!isFields(arrangement) || !Array.isArray(arrangement['bars'])) {
    complain('bars', 'This is no arrangement: it has no list of bars.')
    return { bars: [], lineup: [], issues }
  }
  const given = arrangement['bars'] as readonly unknown[]
  if (given.length > LIMITS.arrangementBars) {
    complain('bars', `The arrangement has ${given.length} bars; more than ${LIMITS.arrangementBars} are not checked.`)
  }
  const lineup = readLineup(arrangement['lineup'], complain)
  const bars = given.slice(0, LIMITS.arrangementBars).map((bar, index) => {
    const path = `bars/${index}`
    return readBar(bar, (field, message) => complain(field ? `${path}/${field}` : path, `Bar ${index + 1}: ${message}`))
  })
  return { bars, lineup, issues }
}

type Complain = (path: string, message: string) => void

function readLineup(given: unknown, complain: Complain): readonly PartSpec[] {
  if (!Array.isArray(given)) {
    complain('lineup', 'The arrangement has no line-up; name its parts.')
    return []
  }
  return given.slice(0, LIMITS.parts).flatMap((part: unknown, index): readonly PartSpec[] => {
    const isWhole =
      isFields(part) && ['id', 'instrument', 'name', 'role'].every((field) => typeof part[field] === 'string')
    if (!isWhole)
      complain(`lineup/${index}`, `Part ${index + 1} of the line-up needs an id, an instrument, a name and a role.`)
    return isWhole ? [part as unknown as PartSpec] : []
  })
}

function readBar(given: unknown, complain: Complain): ArrangedBar | undefined {
  if (!isFields(given)) {
    complain('', 'this is no bar.')
    return undefined
  }
  const metre = given['metre']
  if (!isMetre(metre)) {
    complain('metre', 'its metre cannot be read; 1 to 64 beats over 2, 4, 8 or 16.')
    return undefined
  }
  const lengthTicks = given['lengthTicks']
  if (!isTick(lengthTicks) || lengthTicks === 0) {
    complain('lengthTicks', 'its length is no positive number of ticks.')
    return undefined
  }
  const key = given['key']
  if (!isKeySignature(key)) {
    complain('key', 'its key cannot be read; a tonic, major or minor, at most seven accidentals.')
    return undefined
  }
  const groups = given['groups']
  const hasGroups = Array.isArray(groups) && groups.every((size) => isTick(size) && size > 0)
  if (!hasGroups) complain('groups', 'its beat groups cannot be read.')
  const chords = readList(given['chords'], isPlacedChord, (index) =>
    complain(index === undefined ? 'chords' : `chords/${index}`, 'a chord here cannot be read; type it again.'),
  )
  const melody = readList(given['melody'], isPitchedNote, (index) =>
    complain(index === undefined ? 'melody' : `melody/${index}`, 'a melody note here cannot be read; enter it again.'),
  )
  const { dynamic, fermataTick, mark, tempoEndBpm, soloists } = given
  const isNamed = Array.isArray(soloists) && soloists.every((id) => typeof id === 'string')
  return {
    ...pick({ dynamic, mark }, 'string'),
    ...pick({ fermataTick, tempoEndBpm }, 'number'),
    // Who improvises is printed: a road map is judged by it.
    ...(isNamed ? { soloists: soloists as readonly string[] } : {}),
    barIndex: isTick(given['barIndex']) ? given['barIndex'] : 0,
    sectionId: wordOf(given['sectionId']),
    pass: wordOf(given['pass']),
    metre: metre as Metre,
    groups: hasGroups ? (groups as readonly number[]) : [(metre as Metre).beats],
    lengthTicks,
    key,
    tempoBpm: typeof given['tempoBpm'] === 'number' ? given['tempoBpm'] : 120,
    feel: wordOf(given['feel']),
    chords: chords as readonly PlacedChord[],
    melody: melody as readonly ArrangedNote[],
    parts: readParts(given['parts'], complain),
    provenance: readProvenance(given['provenance']),
  }
}

function readParts(given: unknown, complain: Complain): ArrangedBar['parts'] {
  if (given !== undefined && !isFields(given)) complain('parts', 'its parts cannot be read.')
  if (!isFields(given)) return {}
  const parts: { [partId: string]: readonly PartNote[] } = {}
  for (const [id, notes] of Object.entries(given)) {
    const read = readList(notes, isTimedNote, (index) =>
      complain(
        index === undefined ? `parts/${id}` : `parts/${id}/${index}`,
        `a note of the part '${id.slice(0, 40)}' cannot be read; enter it again.`,
      ),
    )
    Object.defineProperty(parts, id, { value: read, enumerable: true })
  }
  return parts
}

function readProvenance(given: unknown): Provenance {
  if (!isFields(given)) return { decision: 'tune', rule: '' }
  const { decision, optionId, rule, tuneBar, trail } = given
  const steps = Array.isArray(trail)
    ? trail.filter((step) => isFields(step) && typeof step['decision'] === 'string')
    : []
  return {
    ...(typeof optionId === 'string' ? { optionId } : {}),
    ...(isTick(tuneBar) ? { tuneBar } : {}),
    ...(steps.length > 0 ? { trail: steps as NonNullable<Provenance['trail']> } : {}),
    decision: (typeof decision === 'string' ? decision : 'tune') as Provenance['decision'],
    rule: wordOf(rule),
  }
}

function readList(
  given: unknown,
  isWhole: (item: unknown) => boolean,
  complain: (index: number | undefined) => void,
): readonly unknown[] {
  if (!Array.isArray(given)) {
    complain(undefined)
    return []
  }
  return given.filter((item, index) => {
    const whole = isWhole(item)
    if (!whole) complain(index)
    return whole
  })
}

const wordOf = (value: unknown): string => (typeof value === 'string' ? value : '')

function pick(fields: Fields, type: 'string' | 'number'): Fields {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => typeof value === type))
}
