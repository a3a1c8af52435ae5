/** Lets the pages open without a network: asks for the service worker, and hands over to a new version of it with the next load. */

interface Registered {
  readonly waiting: { postMessage(message: string): void } | null
}
interface Workers {
  register(path: string): Promise<Registered>
}

/** Quiet where a browser has no service workers or refuses them: the pages then need a network, as any page does. */
export async function openWithoutNetwork(workers: Workers | undefined, entry: string): Promise<void> {
  try {
    const registered = await workers?.register('/service-worker.js')
    registered?.waiting?.postMessage(askToTakeOver(entry))
  } catch {
    // reason: a private window may refuse; everything else works
  }
}

/** What a page says to a version that waits: its own first file, by which the version knows whether the page is one of its own. */
export const askToTakeOver = (entry: string): string => `take-over ${entry}`
