/** Metre, grooves as data, swing, and exact re-barring. */
export * from './default-groove.js'
export * from './drum-keys.js'
export * from './grid.js'
export * from './groove.js'
export { GROOVES } from './grooves/index.js'
export { slowedIntoFree } from './into-free.js'
export { type RebarTarget, findMap, plainMapId, rebarTargets } from './rebar/maps.js'
export { SHORTEST_TICKS } from './rebar/place-bars.js'
export {
  type RebarObstacle,
  type RebarStep,
  type Rebarred,
  type TargetMetre,
  mainMetre,
  rebar,
  rebarOrWhy,
} from './rebar/rebar.js'
export { mapTick, unbar } from './rebar/unbar.js'
export { isTurned, turnedGroove } from './rotate.js'
export * from './rubato-curve.js'
export * from './swing.js'
