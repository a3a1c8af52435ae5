/** `@chartloft/shared-theory`: all music and all board rules, pure. The exports below are the contract; SPEC.md has the rules. */
export * from './board/index.js'
export * from './check/index.js'
export * from './chords/index.js'
export * from './compare/index.js'
export * from './compile/index.js'
export * from './contract/index.js'
export {
  type ExcerptBar,
  type ExcerptStep,
  type ModulationPath,
  modulationPaths,
  rebarExcerpt,
} from './decisions/index.js'
export * from './fit/index.js'
export * from './instruments/index.js'
export * from './propose/index.js'
export * from './read/index.js'
export * from './rhythm/index.js'
export * from './roadmap/index.js'
export * from './tune/index.js'
export * from './write/index.js'
export {
  barTicks,
  defaultGroups,
  formatMetre,
  hashOf,
  keyAway,
  keySignature,
  keySignatureOf,
  LIMITS,
  midiOfName,
  nameInKey,
  nameOfPitch,
  noteName,
  parseKey,
  parseNoteName,
  parsePitch,
  pitchAs,
  pitchClass,
  pitchInKey,
  sameMetre,
  scaleOf,
  stableJson,
  tonicOf,
  transposeName,
  transposePitch,
} from './units/index.js'
