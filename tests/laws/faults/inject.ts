/** Puts faults into clean music one at a time and asks the validator: was it found, in the right family and bar? */
import { type Issue, validate } from '@chartloft/shared-theory'
import { drawn } from '../../fixtures/made-tunes.js'
import { CONNECTION_SHAPES } from './connection-shapes.js'
import { type Shape } from './fault.js'
import { LIFT_SHAPES } from './lift-shapes.js'
import { MELODY_SHAPES } from './melody-shapes.js'
import { RANGE_SHAPES } from './range-shapes.js'
import { ROAD_MAP_SHAPES } from './road-map-shapes.js'
import { type Scene, finger, scenesFrom } from './scene.js'
import { SPELLING_SHAPES } from './spelling-shapes.js'
import { SUM_SHAPES } from './sum-shapes.js'
import { TIE_SHAPES } from './tie-shapes.js'

export const FAMILIES = Array.from({ length: 12 }, (_, index) => `VA${index + 1}`)
export const SHAPES: readonly Shape[] = [
  ...SUM_SHAPES,
  ...MELODY_SHAPES,
  ...SPELLING_SHAPES,
  ...LIFT_SHAPES,
  ...RANGE_SHAPES,
  ...TIE_SHAPES,
  ...ROAD_MAP_SHAPES,
  ...CONNECTION_SHAPES,
]

export interface Tally {
  readonly put: number
  readonly caught: number
  /** Faults that leave the music right, and so are none. */
  readonly same: number
  /** Faults that also raised an error of another family in another bar: the reader would be sent to the wrong place. */
  readonly strayErrors: number
}

export interface FaultReport {
  readonly byFamily: ReadonlyMap<string, Tally>
  readonly byShape: ReadonlyMap<string, Tally>
  readonly missed: readonly string[]
  readonly strays: readonly string[]
}

const NONE: Tally = { put: 0, caught: 0, same: 0, strayErrors: 0 }

/** `count` faults, every family in turn, every shape of a family in turn where it has room. */
export function injectFaults(count: number, seed: number, sceneCount: number, only?: RegExp): FaultReport {
  const scenes = scenesFrom(seed, sceneCount)
  const random = drawn(seed + 1)
  const byFamily = new Map<string, Tally>()
  const byShape = new Map<string, Tally>()
  const missed: string[] = []
  const strays: string[] = []
  const turns = new Map<string, number>()
  const families = FAMILIES.filter(
    (family) => !only || SHAPES.some((one) => one.family === family && only.test(`${one.family} ${one.name}`)),
  )
  let put = 0
  for (let tries = 0; put < count && tries < count * 400; tries++) {
    const family = families[put % families.length] as string
    const own = SHAPES.filter((one) => one.family === family && (!only || only.test(`${one.family} ${one.name}`)))
    const turn = turns.get(family) ?? 0
    turns.set(family, turn + 1)
    const shape = own[turn % own.length] as Shape
    const scene = scenes[random(scenes.length)] as Scene
    const injected = shape.put(scene, random)
    if (injected === undefined) continue
    const name = `${shape.family} ${shape.name}`
    const add = (what: Partial<Tally>): void => {
      for (const [tally, key] of [
        [byFamily, family],
        [byShape, name],
      ] as const) {
        const now = tally.get(key) ?? NONE
        tally.set(key, {
          put: now.put + (what.put ?? 0),
          caught: now.caught + (what.caught ?? 0),
          same: now.same + (what.same ?? 0),
          strayErrors: now.strayErrors + (what.strayErrors ?? 0),
        })
      }
    }
    if (injected === 'same') {
      add({ same: 1 })
      continue
    }
    put++
    const { music = scene.music, folded, written, at } = injected
    const found = validate(music, {
      plan: scene.plan,
      ...(folded ? { folded } : {}),
      ...(written ? { written } : {}),
    }).filter((issue) => !scene.known.has(finger(issue)))
    const isAt = ({ path }: Issue): boolean =>
      at.some((place) => path === place || path.startsWith(place.endsWith('/') ? place : `${place}/`))
    const isCaught = found.some((issue) => issue.code === family && isAt(issue))
    const stray = found.filter((issue) => issue.severity === 'error' && issue.code !== family && !isAt(issue))
    add({ put: 1, caught: Number(isCaught), strayErrors: Number(stray.length > 0) })
    if (stray.length > 0)
      strays.push(
        `${name} at ${at.join(' or ')} of ${scene.name}: ${stray.map(({ code, path, message }) => `${code} ${path} ${message}`).join(' | ')}`,
      )
    if (!isCaught)
      missed.push(
        `${name} at ${at.join(' or ')} of ${scene.name}: ${found.map(({ code, path, message }) => `${code} ${path} ${message}`).join(' | ')}`,
      )
  }
  return { byFamily, byShape, missed, strays }
}

/** One line a family: put, caught, none. */
export const familyLines = ({ byFamily }: FaultReport): string =>
  FAMILIES.map((family) => {
    const { put, caught, same, strayErrors } = byFamily.get(family) ?? NONE
    return `${family.padEnd(5)} ${caught} of ${put} caught${same > 0 ? `, ${same} left the music right and were not counted` : ''}${strayErrors > 0 ? `, ${strayErrors} with an error elsewhere too` : ''}`
  }).join('\n')
