/** Chord symbols as they are set in type and as they are spoken. */
import { html, type TemplateResult } from 'lit'
import type { Chord } from '@chartloft/shared-theory'

export interface ChordType {
  readonly root: string
  /** Stands on the line after the root: 'm'. */
  readonly quality: string
  /** Stands raised: '7♭5', 'maj7', 'sus'. */
  readonly raised: string
  readonly bass?: string
  readonly spoken: string
}

/** Real signs for the letters people type. */
export function withSigns(text: string): string {
  return text.replace(/([A-G])(b{1,2}|#{1,2})/g, (_all, letter: string, signs: string) => letter + accidentals(signs))
}
const accidentals = (signs: string): string => signs.replaceAll('b', '♭').replaceAll('#', '♯')

export function chordType(chord: Pick<Chord, 'root' | 'bass' | 'symbol'>): ChordType {
  const { root, bass, symbol } = chord
  if (root === '') return { root: symbol, quality: '', raised: '', spoken: symbol === 'N.C.' ? 'no chord' : symbol }
  const tail = bass !== undefined && symbol.endsWith(`/${bass}`) ? symbol.length - bass.length - 1 : symbol.length
  const suffix = symbol.slice(root.length, tail)
  const minor = /^(?:m(?!aj)|min|-)/.exec(suffix)?.[0] ?? ''
  const raised = suffix
    .slice(minor.length)
    .replace(/^dim/, '°')
    .replace(/([b#]+)(?=\d)/g, (signs) => accidentals(signs))
  return {
    root: withSigns(root),
    quality: minor === '' ? '' : 'm',
    raised,
    ...(bass === undefined ? {} : { bass: withSigns(bass) }),
    spoken: [
      spokenNote(root),
      minor === '' ? '' : 'minor',
      spokenSuffix(suffix.slice(minor.length)),
      bass === undefined ? '' : `over ${spokenNote(bass)}`,
    ]
      .filter((word) => word !== '')
      .join(' '),
  }
}

const spokenNote = (name: string): string =>
  `${name[0]}${name.slice(1).replaceAll('b', ' flat').replaceAll('#', ' sharp')}`

function spokenSuffix(suffix: string): string {
  return suffix
    .replace(/maj|∆|△/g, ' major ')
    .replace(/dim|°/g, ' diminished ')
    .replace(/ø/g, ' half diminished ')
    .replace(/aug|\+/g, ' augmented ')
    .replace(/sus/g, ' suspended ')
    .replace(/add/g, ' add ')
    .replace(/b(?=\d)/g, ' flat ')
    .replace(/#(?=\d)/g, ' sharp ')
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
