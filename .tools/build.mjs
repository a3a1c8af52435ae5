/** `npm run build`: installs what is missing, builds every package and the pages. */
import { ensureBuilt, ensureInstalled, say } from './steps.mjs'

ensureInstalled()
ensureBuilt()
say('Built.')
