/** Measure attributes: divisions, key, metre, staves, clefs, transposition, and the signs for slashes and bars of rest. */
import type { KeySignature, Metre } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import type { Clef } from '../../instruments/index.js'
import type { WrittenKey } from './written-pitch.js'
import { type XmlElement, el, leaf } from './xml.js'

export interface AttributeChanges {
  readonly isFirst: boolean
  readonly key?: { readonly signature: KeySignature; readonly written: WrittenKey; readonly isDrums: boolean }
  readonly metre?: Metre
  readonly staves: 1 | 2
  readonly clef: Clef
  readonly slash?: 'start' | 'stop'
}

/** The attributes element, or undefined where nothing changes. */
export function attributesElement(changes: AttributeChanges): XmlElement | undefined {
  const { isFirst, key, metre } = changes
  const element = el(
    'attributes',
    {},
    isFirst && leaf('divisions', TICKS_PER_QUARTER),
    key && keyElement(key),
    metre && el('time', {}, leaf('beats', metre.beats), leaf('beat-type', metre.beatType)),
    isFirst && changes.staves > 1 && leaf('staves', changes.staves),
    isFirst && clefElements(changes.clef, changes.staves),
    key && !key.isDrums && transposeElement(key.written),
    changes.slash && el('measure-style', {}, slashElement(changes.slash)),
  )
  return element.children.length > 0 ? element : undefined
}

/** The sign for several bars of rest. */
export function restBarsElement(bars: number): XmlElement {
  return el('attributes', {}, el('measure-style', {}, leaf('multiple-rest', bars)))
}

const slashElement = (type: 'start' | 'stop'): XmlElement =>
  el('slash', { type, 'use-dots': 'no', 'use-stems': 'no' }, leaf('slash-type', 'quarter'))

function keyElement({ signature, written, isDrums }: NonNullable<AttributeChanges['key']>): XmlElement {
  return el('key', {}, leaf('fifths', isDrums ? 0 : written.fifths), !isDrums && leaf('mode', signature.mode))
}

const SIGNS: {
  readonly [clef in Exclude<Clef, 'grand'>]: readonly [sign: string, line: number | undefined, octave?: number]
} = {
  treble: ['G', 2],
  bass: ['F', 4],
  'treble-8vb': ['G', 2, -1],
  percussion: ['percussion', undefined],
}

function clefElements(clef: Clef, staves: 1 | 2): XmlElement[] {
  if (clef !== 'grand') return [clefElement(clef)]
  return staves === 2 ? [clefElement('treble', 1), clefElement('bass', 2)] : [clefElement('treble')]
}

function clefElement(clef: Exclude<Clef, 'grand'>, number?: number): XmlElement {
  const [sign, line, octave] = SIGNS[clef]
  return el(
    'clef',
    { number },
    leaf('sign', sign),
    line !== undefined && leaf('line', line),
    octave !== undefined && leaf('clef-octave-change', octave),
  )
}

/** From written to sounding, as MusicXML counts it: whole octaves apart from the rest. */
function transposeElement({ up }: WrittenKey): XmlElement | undefined {
  if (!up) return undefined
  const octaves = Math.trunc(up.steps / 7)
  const chromatic = up.semitones - 12 * octaves
  const diatonic = up.steps - 7 * octaves
  return el(
    'transpose',
    {},
    leaf('diatonic', minus(diatonic)),
    leaf('chromatic', minus(chromatic)),
    octaves !== 0 && leaf('octave-change', minus(octaves)),
  )
}

const minus = (value: number): number => (value === 0 ? 0 : -value)
