/** The board's pages: builds what talks to the world and mounts the shell. Nothing else reads the environment. */
import { KeptBoards } from './offline/kept-boards.js'
import { openWithoutNetwork } from './offline/register.js'
import { storage } from './shell/early-session.js'
import { idMaker } from './shell/ids.js'
import { LoftApp } from './shell/loft-app.js'
import { setSpeech } from './shell/speech.js'
import { Api } from './sync/http.js'
import { startTheory } from './state/theory.js'

const newId = idMaker((size) => crypto.getRandomValues(new Uint8Array(size)))
const app = document.querySelector('loft-app')
if (app instanceof LoftApp) {
  // Wanted as soon as the server has said who this is; on a slow line it comes meanwhile.
  import('y-indexeddb').catch(() => undefined)
  await setSpeech(storage(), navigator.languages, document.documentElement)
  app.start({
    api: new Api((path, init) => fetch(path, init), newId),
    theory: startTheory(),
    newId,
    location,
    history,
    storage: storage(),
    boards: new KeptBoards(globalThis.indexedDB),
  })
}
// Once everything needed is here, so that nothing waits for what is kept ahead.
const entry = new URL(import.meta.url).pathname
addEventListener('load', () => void openWithoutNetwork(navigator.serviceWorker, entry))
