/** Chord symbols as they are set in type and as they are spoken. */
import { html, type TemplateResult } from 'lit'
import type { Chord } from '@chartloft/shared-theory'
import { words } from '../words.js'
import { noteName, withSigns } from './note-names.js'

export { withSigns }

export interface ChordType {
  readonly root: string
  /** Stands on the line after the root: 'm'. */
  readonly quality: string
  /** Stands raised: '7♭5', 'maj7', 'sus'. */
  readonly raised: string
  readonly bass?: string
  readonly spoken: string
}

const accidentals = (signs: string): string => signs.replaceAll('b', '♭').replaceAll('#', '♯')

export function chordType(chord: Pick<Chord, 'root' | 'bass' | 'symbol'>): ChordType {
  const { root, bass, symbol } = chord
  if (root === '')
    return { root: symbol, quality: '', raised: '', spoken: symbol === 'N.C.' ? words.music.noChord : symbol }
  const tail = bass !== undefined && symbol.endsWith(`/${bass}`) ? symbol.length - bass.length - 1 : symbol.length
  const suffix = symbol.slice(root.length, tail)
  const minor = /^(?:m(?!aj)|min|-)/.exec(suffix)?.[0] ?? ''
  const raised = suffix
    .slice(minor.length)
    .replace(/^dim/, '°')
    .replace(/([b#]+)(?=\d)/g, (signs) => accidentals(signs))
  const { qualities } = words.music
  return {
    root: noteName(root),
    quality: minor === '' ? '' : 'm',
    raised,
    ...(bass === undefined ? {} : { bass: noteName(bass) }),
    spoken: [
      words.music.spokenNote(root),
      minor === '' ? '' : qualities.minor,
      spokenSuffix(suffix.slice(minor.length)),
      bass === undefined ? '' : words.music.over(words.music.spokenNote(bass)),
    ]
      .filter((word) => word !== '')
      .join(' '),
  }
}

function spokenSuffix(suffix: string): string {
  const { qualities } = words.music
  return suffix
    .replace(/maj|∆|△/g, ` ${qualities.major} `)
    .replace(/dim|°/g, ` ${qualities.diminished} `)
    .replace(/ø/g, ` ${qualities.halfDiminished} `)
    .replace(/aug|\+/g, ` ${qualities.augmented} `)
    .replace(/sus/g, ` ${qualities.suspended} `)
    .replace(/add/g, ` ${qualities.add} `)
    .replace(/b(?=\d)/g, ` ${qualities.flat} `)
    .replace(/#(?=\d)/g, ` ${qualities.sharp} `)
    .replace(/[()]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim()
}

/** One chord set in type; its spoken name is what a screen reader says. */
export function chordSymbol(chord: Pick<Chord, 'root' | 'bass' | 'symbol'>): TemplateResult {
  const { root, quality, raised, bass, spoken } = chordType(chord)
  return html`<span class="ch" role="img" aria-label=${spoken}
    ><span>${root}</span>${quality ? html`<span class="q">${quality}</span>` : ''}${
      raised ? html`<sup>${raised}</sup>` : ''
    }${bass ? html`<span class="b">${bass}</span>` : ''}</span
  >`
}
