/** What a closed vote says: who is in front, alone or level with others. The leader decides; this only counts. */
import type { PollView } from '../sync/http.js'

/** Ids of the answers with the highest count; none where nobody voted or the count may not be seen. */
export function inFront({ tally }: Pick<PollView, 'tally'>): readonly string[] {
  if (!tally || tally.voters === 0) return []
  const most = Math.max(...Object.values(tally.counts))
  return most > 0 ? Object.keys(tally.counts).filter((id) => tally.counts[id] === most) : []
}
