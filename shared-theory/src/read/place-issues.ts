/** Which bar of the tune an issue is about, told from its place in the file. */
import type { Issue, TuneBar } from '../contract/index.js'
import type { WrittenBar } from './written.js'

/** Issues with the first bar played that their place belongs to; what concerns the file as a whole stays without one. */
export function placeIssues(
  issues: readonly Issue[],
  written: readonly Pick<WrittenBar, 'path'>[],
  played: readonly Pick<TuneBar, 'writtenBar'>[],
): readonly Issue[] {
  const starts = written.map(({ path }) => placeOf(path))
  return issues.map((found) => {
    const index = writtenBarAt(placeOf(found.path), starts)
    const bar = index < 0 ? -1 : played.findIndex(({ writtenBar }) => writtenBar === index)
    return bar < 0 ? found : { ...found, bar }
  })
}

type Place = readonly [line: number, column: number]

/** 'line/7/column/12', 'line/7' and 'bars/3', all as something to compare; undefined for 'file'. */
function placeOf(path: string): Place | undefined {
  const found = /^(?:line|bars)\/(\d+)(?:\/column\/(\d+))?/.exec(path)
  return found ? [Number(found[1]), Number(found[2] ?? 0)] : undefined
}

/** The last bar that begins at the place or before; nothing before the first, nor lines after the one the last bar begins in. */
function writtenBarAt(place: Place | undefined, starts: readonly (Place | undefined)[]): number {
  if (!place) return -1
  const index = starts.findLastIndex(
    (start) => start !== undefined && (start[0] < place[0] || (start[0] === place[0] && start[1] <= place[1])),
  )
  const start = starts[index]
  // A place that names its line alone is the line's first bar.
  if (place[1] === 0) {
    const onLine = starts.findIndex((begun) => begun?.[0] === place[0])
    if (onLine >= 0) return onLine
  }
  return start && (index < starts.length - 1 || start[0] === place[0]) ? index : -1
}
