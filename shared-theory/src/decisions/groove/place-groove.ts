/** Puts bars under a groove: the way to its metre, its groups, feel and tempo. */
import type { ArrangedBar, Metre, Option } from '../../contract/index.js'
import {
  type Groove,
  type RebarObstacle,
  type Rebarred,
  defaultGroove,
  findGroove,
  mainMetre,
  playsIn,
  rebarOrWhy,
} from '../../rhythm/index.js'
import { defaultGroups, formatMetre } from '../../units/index.js'

export const AS_WRITTEN = 'as-written'
const SLOWEST_BPM = 20
const FASTEST_BPM = 400

/** A groove choice read from parameters that may come from anywhere. */
export interface GrooveRequest {
  readonly groove: Groove
  readonly tempoBpm: number
  /** Map ids asked for; absent = the usual ones. */
  readonly mapIds?: readonly string[]
  /** Beat groups asked for; absent = the groove's own. */
  readonly groups?: readonly number[]
  /** Parameters that could not be used, in words. */
  readonly complaints: readonly string[]
}

/** What the parameters ask for; a sentence where no groove can be told from them. */
export function readRequest(params: Option['params'], bars: readonly ArrangedBar[]): GrooveRequest | string {
  const named = params['groove']
  const groove = typeof named === 'string' ? findGroove(named) : undefined
  if (!groove) return `There is no groove '${String(named)}'; choose one of the catalogue.`
  if (groove.metre === 'any')
    return 'Rubato is for openings and endings; choose a groove in time for the whole arrangement.'
  const complaints: string[] = []
  const metre = params['metre']
  if (metre !== undefined && metre !== formatMetre(groove.metre) && !isWrittenMetre(metre, bars, groove))
    complaints.push(`${groove.name} is in ${formatMetre(groove.metre)}, not ${String(metre)}.`)
  const asked = params['tempoBpm']
  const isUsable = typeof asked === 'number' && asked >= SLOWEST_BPM && asked <= FASTEST_BPM
  if (asked !== undefined && !isUsable)
    complaints.push(
      `A tempo of ${String(asked)} can't be played; ${groove.tempo.default} is taken (quarters a minute, 20 to 400).`,
    )
  const groups = groupsFrom(params['groups'], groove)
  if (params['groups'] !== undefined && !groups)
    complaints.push(`${groove.name} has no groups ${String(params['groups'])}; its own are taken.`)
  const maps = params['maps']
  const mapIds = Array.isArray(maps) ? maps.filter((map) => typeof map === 'string') : undefined
  return {
    groove,
    tempoBpm: isUsable ? Math.round(asked * 1000) / 1000 : groove.tempo.default,
    ...(mapIds && mapIds.length > 0 ? { mapIds } : {}),
    ...(groups ? { groups } : {}),
    complaints,
  }
}

/** '3+4' for a groove of 4+3: its groups in either order. */
function groupsFrom(asked: Option['params'][string] | undefined, { groups }: Groove): readonly number[] | undefined {
  if (typeof asked !== 'string' || groups === 'tune') return undefined
  return [groups, [...groups].reverse()].find((order) => order.join('+') === asked)
}

/** As written: never another metre, whatever the tune has become since; a groove that no longer fits gives way to the usual one. */
export function readWritten(params: Option['params'], bars: readonly ArrangedBar[]): GrooveRequest | string {
  const metre = mainMetre(bars) ?? { beats: 4, beatType: 4 }
  const request = readRequest(params, bars)
  if (typeof request !== 'string' && playsIn(request.groove, metre)) return { ...request, mapIds: [] }
  const groove = defaultGroove(metre)
  const asked = readRequest({ ...params, groove: groove.id, metre: formatMetre(metre) }, bars)
  return typeof asked === 'string' ? asked : { ...asked, mapIds: [] }
}

/** Written 2/2 is played as 4/4. */
function isWrittenMetre(metre: unknown, bars: readonly ArrangedBar[], groove: Groove): boolean {
  return bars.some((bar) => formatMetre(bar.metre) === metre && playsIn(groove, bar.metre))
}

/** The bars in the groove's metre, or why they can't go there. */
export function toGrooveMetre(
  bars: readonly ArrangedBar[],
  request: Pick<GrooveRequest, 'groove' | 'mapIds' | 'groups'>,
): Rebarred | RebarObstacle {
  const { groove, mapIds } = request
  const main = mainMetre(bars)
  const plays = main !== undefined && playsIn(groove, main)
  const metre = plays || groove.metre === 'any' ? (main ?? { beats: 4, beatType: 4 }) : groove.metre
  const groups = request.groups ?? (groove.groups === 'tune' ? defaultGroups(metre) : groove.groups)
  return rebarOrWhy(bars, { metre, groups }, mapIds)
}

/** The tempo a groove is offered at: the tune's own beat where the groove can be played at it, else the groove's usual one. */
export function tempoFor(groove: Groove, tuneMetre: Metre, tuneTempoBpm: number | undefined): number {
  if (tuneTempoBpm === undefined || groove.metre === 'any') return groove.tempo.default
  const toDotted = tuneMetre.beatType === 4 && groove.metre.beatType === 8
  const fromDotted = tuneMetre.beatType === 8 && groove.metre.beatType === 4
  const kept = toDotted ? (tuneTempoBpm * 3) / 2 : fromDotted ? (tuneTempoBpm * 2) / 3 : tuneTempoBpm
  const rounded = Math.round(kept * 1000) / 1000
  return rounded >= groove.tempo.low && rounded <= groove.tempo.high ? rounded : groove.tempo.default
}

/** What the tune is played in where nothing is chosen, at its own tempo. */
export function writtenRequest(metre: Metre, tuneTempoBpm: number | undefined): { groove: Groove; tempoBpm: number } {
  const groove = defaultGroove(metre, tuneTempoBpm)
  return { groove, tempoBpm: tuneTempoBpm ?? groove.tempo.default }
}
