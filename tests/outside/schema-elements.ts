/** Every kind of element the MusicXML schema knows inside a bar, each put into a small file at its place, and whether the reader keeps it or names it. */
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import { type XmlElement, childOf, childrenOf, parseXml } from '../../shared-theory/src/read/musicxml/xml.js'
import { attributes, measure, note, score } from '../fixtures/musicxml/build.js'
import { schemaText } from './open-schema.js'

interface Schema {
  readonly types: ReadonlyMap<string, XmlElement>
  readonly simple: ReadonlyMap<string, XmlElement>
  readonly groups: ReadonlyMap<string, XmlElement>
  readonly attributeGroups: ReadonlyMap<string, XmlElement>
}
const nameOf = (element: XmlElement): string => element.attributes['name'] ?? ''
const byName = (root: XmlElement, kind: string): ReadonlyMap<string, XmlElement> =>
  new Map(childrenOf(root, kind).map((one) => [nameOf(one), one]))

function openSchema(): Schema {
  const root = parseXml(schemaText('musicxml.xsd'))
  return {
    types: byName(root, 'xs:complexType'),
    simple: byName(root, 'xs:simpleType'),
    groups: byName(root, 'xs:group'),
    attributeGroups: byName(root, 'xs:attributeGroup'),
  }
}

/** Elements declared inside a definition, groups and base types followed. */
function elementsIn(schema: Schema, definition: XmlElement | undefined): readonly XmlElement[] {
  return (definition?.children ?? []).flatMap((child): readonly XmlElement[] => {
    if (child.name === 'xs:element') return [child]
    if (child.name === 'xs:group') return elementsIn(schema, schema.groups.get(child.attributes['ref'] ?? ''))
    const base =
      child.name === 'xs:extension' ? elementsIn(schema, schema.types.get(child.attributes['base'] ?? '')) : []
    return [...base, ...elementsIn(schema, child)]
  })
}

/** Attributes a type must have, each with the first value it may take. */
function neededAttributes(schema: Schema, definition: XmlElement | undefined): string {
  return (definition?.children ?? [])
    .map((child): string => {
      if (child.name === 'xs:attribute')
        return child.attributes['use'] === 'required'
          ? ` ${nameOf(child)}="${textOf(schema, child.attributes['type'] ?? '')}"`
          : ''
      if (child.name === 'xs:attributeGroup')
        return neededAttributes(schema, schema.attributeGroups.get(child.attributes['ref'] ?? ''))
      const base =
        child.name === 'xs:extension' ? neededAttributes(schema, schema.types.get(child.attributes['base'] ?? '')) : ''
      return base + neededAttributes(schema, child)
    })
    .join('')
}

/** A text a type allows: its first named value, '1' for numbers, a word else. */
function textOf(schema: Schema, type: string): string {
  const simple = schema.simple.get(type)
  const restriction = childOf(simple, 'xs:restriction')
  const value = childrenOf(restriction, 'xs:enumeration')[0]?.attributes['value']
  if (value !== undefined) return value
  if (restriction) return textOf(schema, restriction.attributes['base'] ?? '')
  if (simple) return '1'
  if (/^xs:(decimal|integer|positiveInteger|nonNegativeInteger)$/.test(type)) return '1'
  return type.startsWith('xs:') ? 'word' : contentOf(schema, schema.types.get(type))
}
function contentOf(schema: Schema, definition: XmlElement | undefined): string {
  const content = childOf(childOf(definition, 'xs:simpleContent'), 'xs:extension')
  return content ? textOf(schema, content.attributes['base'] ?? '') : ''
}

/** C5, the second note with what is tried inside it, D5 again, then a bar of two notes. What is tried beside notes stands before the second. */
function fileWith(beside: string, inside: string): string {
  return score(
    measure(attributes() + note('C5') + beside + note('D5', 2, inside) + note('D5') + note('E5')) +
      measure(note('G5', 4) + note('A5', 4), 2),
  )
}
const whatReads = (read: Result<Tune>): { readonly music: string; readonly said: readonly string[] } => ({
  music: read.ok ? JSON.stringify({ ...read.value, source: '' }) : '',
  said: (read.ok ? (read.issues ?? []) : read.issues).map(({ message }) => message),
})

export interface ElementFate {
  /** 'note/notations/ornaments/trill-mark'. */
  readonly path: string
  /** 'kept': the tune is another with it; 'named': an issue tells; 'through': only what stands inside it tells; 'silent': nothing does. */
  readonly fate: 'kept' | 'named' | 'through' | 'silent' | 'listed'
}

const DEEPEST = 6

const SHOWN = 'read, as cases of the suite show'
const PAGE = 'how the page looks'
const PLAYBACK = 'which sound a program takes, or when it listens'
const EDITORIAL = "an editor's remark or bracket"
const PLACE = 'to which staff or voice it belongs'
/** Kinds that alone change nothing and need not be told, with the reason. */
export const LISTED: ReadonlyMap<string, string> = new Map([
  ...[
    'note/pitch',
    'note/unpitched',
    'note/rest',
    'note/duration',
    'note/time-modification',
    'note/lyric/syllabic',
    'note/lyric/elision',
    'backup',
    'forward',
    'direction/direction-type/segno',
    'direction/direction-type/coda',
    'attributes/transpose/diatonic',
    'barline/segno',
    'barline/coda',
    'barline/ending',
  ].map((path) => [path, SHOWN] as const),
  ...[
    'note/type',
    'note/dot',
    'note/accidental',
    'note/stem',
    'note/beam',
    'note/notehead-text',
    'note/notations/tuplet',
    'note/lyric/extend',
    'note/lyric/end-line',
    'note/lyric/end-paragraph',
    'direction/offset',
    'attributes/staves',
    'attributes/part-symbol',
    'attributes/instruments',
    'attributes/clef',
    'attributes/staff-details/staff-type',
    'attributes/staff-details/staff-lines',
    'attributes/staff-details/line-detail',
    'attributes/staff-details/staff-size',
    'attributes/for-part',
    'attributes/measure-style/multiple-rest',
    'print',
    'barline/bar-style',
    'grouping',
    'link',
    'bookmark',
  ].map((path) => [path, PAGE] as const),
  ...[
    'note/instrument',
    'note/listen',
    'direction/sound/instrument-change',
    'direction/sound/midi-device',
    'direction/sound/midi-instrument',
    'direction/sound/play',
    'direction/sound/offset',
    'direction/listening',
    'sound/instrument-change',
    'sound/midi-device',
    'sound/midi-instrument',
    'sound/play',
    'sound/offset',
    'listening',
  ].map((path) => [path, PLAYBACK] as const),
  ...['note', 'note/notations', 'note/lyric', 'direction', 'attributes', 'barline'].flatMap((parent) =>
    ['footnote', 'level'].map((name) => [`${parent}/${name}`, EDITORIAL] as const),
  ),
  ...['note/staff', 'direction/voice', 'direction/staff'].map((path) => [path, PLACE] as const),
])

/** Walks the schema from what may stand in a bar. What is named is not looked into: its parts go with it. `listed` paths are not looked into. */
export function elementFates(listed: ReadonlyMap<string, string> = LISTED): readonly ElementFate[] {
  const schema = openSchema()
  const fates: ElementFate[] = []
  const plain = (path: readonly string[], xml: string): string =>
    path[0] === 'note' ? fileWith('', xml) : fileWith(xml, '')
  const wrapped = (outer: readonly string[], tags: readonly string[], inner: string): string =>
    outer.reduceRight((xml, name, at) => `<${name}${tags[at]}>${xml}</${name}>`, inner)

  const walk = (
    declared: XmlElement,
    path: readonly string[],
    outer: readonly string[],
    tags: readonly string[],
  ): void => {
    const name = nameOf(declared)
    const own = [...path, name]
    const joined = own.join('/')
    if (listed.has(joined)) {
      fates.push({ path: joined, fate: 'listed' })
      return
    }
    const type = declared.attributes['type'] ?? ''
    const definition = schema.types.get(type) ?? childOf(declared, 'xs:complexType')
    const needs = neededAttributes(schema, definition)
    const children = elementsIn(schema, definition)
    const text = children.length > 0 ? '' : type ? textOf(schema, type) : contentOf(schema, definition)
    const without = whatReads(readTune('musicxml', plain(own, wrapped(outer, tags, ''))))
    const with_ = whatReads(
      readTune('musicxml', plain(own, wrapped(outer, tags, `<${name}${needs}>${text}</${name}>`))),
    )
    const isNamed = with_.said.some((message) => !without.said.includes(message))
    const isKept = with_.music !== without.music
    const at = fates.length
    fates.push({ path: joined, fate: isNamed ? 'named' : isKept ? 'kept' : 'silent' })
    if (isNamed || own.length >= DEEPEST) return
    const seen = new Set<string>()
    for (const child of children) {
      if (seen.has(nameOf(child))) continue
      seen.add(nameOf(child))
      walk(child, own, [...outer, name], [...tags, needs])
    }
    if (!isKept && seen.size > 0) fates[at] = { path: joined, fate: 'through' }
  }
  const inBar = elementsIn(schema, schema.groups.get('music-data'))
  for (const declared of inBar) {
    if (nameOf(declared) !== 'note') walk(declared, [], [], [])
    else {
      const seen = new Set<string>()
      for (const child of elementsIn(schema, schema.types.get('note'))) {
        if (seen.has(nameOf(child))) continue
        seen.add(nameOf(child))
        walk(child, ['note'], [], [])
      }
    }
  }
  return fates
}
