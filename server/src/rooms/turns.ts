/** What takes milliseconds at a stretch (a large draft told whole, a large update taken in) gets a turn of the loop of its own: between two of them
 *  everybody else's small messages go through. First come, first served; a socket has one waiting at most. */
const waiting: (() => void)[] = []

/** Resolves in a turn of the loop in which nothing else that is heavy is done. */
export function ownTurn(): Promise<void> {
  return new Promise((resolve) => {
    waiting.push(resolve)
    if (waiting.length === 1) setImmediate(next)
  })
}

function next(): void {
  waiting[0]?.()
  // Kept until now, so that whoever comes while this one is at work starts no second row.
  setImmediate(() => {
    waiting.shift()
    if (waiting.length > 0) next()
  })
}
