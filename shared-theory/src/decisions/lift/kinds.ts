/** The ways into a new key, and what players call them. */
export const PREPARATIONS = [
  'direct',
  'sus-dominant',
  'dominant',
  'two-five',
  'tritone',
  'pivot',
  'common-tone',
  'chromatic-line',
] as const
export type PreparationKind = (typeof PREPARATIONS)[number]

/** What a preparation leads to: the chord that arrives, or the tonic of the new key (a section may start off it). */
export type Aim = 'arrival' | 'key'
/** Which way a chromatic line moves. */
export type Line = 'rising' | 'falling'

export const PREPARATION_WORDS: { readonly [kind in PreparationKind]: string } = {
  direct: 'direct',
  'sus-dominant': 'V7sus',
  dominant: 'V7',
  'two-five': 'ii–V',
  tritone: 'tritone substitute',
  pivot: 'pivot chord and V7',
  'common-tone': 'common tone',
  'chromatic-line': 'chromatic line',
}

/** Preparations with a dominant or a line in them can aim at either; a note held over, and no preparation, meet what arrives. */
export const isAimed = (kind: PreparationKind): boolean => kind !== 'direct' && kind !== 'common-tone'
