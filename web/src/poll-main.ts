/** The listener's page, its own small entry: builds what talks to the world and mounts the poll. */
import { LoftPoll } from './poll/loft-poll.js'
import { idMaker } from './shell/ids.js'
import { setSpeech } from './shell/speech.js'
import { startTheory } from './state/theory.js'
import { Api } from './sync/http.js'

const newId = idMaker((size) => crypto.getRandomValues(new Uint8Array(size)))
const page = document.querySelector('loft-poll')
if (page instanceof LoftPoll) {
  await setSpeech(storage(), navigator.languages, document.documentElement)
  page.start({
    api: new Api((path, init) => fetch(path, init), newId),
    theory: startTheory(),
    path: location.pathname,
    storage: storage(),
  })
}

/** Some browsers refuse even to name it in a private window. */
function storage(): Storage | undefined {
  try {
    return globalThis.localStorage
  } catch {
    return undefined
  }
}
