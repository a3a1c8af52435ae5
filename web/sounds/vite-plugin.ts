/** Puts the sound set beside the pages, under names that hold its content, and tells the pages those names. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Plugin } from 'vite'
import { makeSounds, type MadeSounds, recipeSources } from './make-sounds.js'

const VIRTUAL = 'virtual:sounds'
const RESOLVED = `\0${VIRTUAL}`

/** `root` is the folder of the pages' package. */
export function sounds(root: string): Plugin {
  let made: Promise<MadeSounds> | undefined
  const making = () => (made ??= makeSounds(recipeSources(root)))
  return {
    name: 'chartloft-sounds',
    resolveId: (id) => (id === VIRTUAL ? RESOLVED : undefined),
    async load(id) {
      return id === RESOLVED ? `export const SOUNDS = ${JSON.stringify((await making()).tables)}` : undefined
    },
    async generateBundle() {
      for (const { path, content } of (await making()).files)
        this.emitFile({ type: 'asset', fileName: path, source: content })
      this.emitFile({ type: 'asset', fileName: 'notice.txt', source: readFileSync(join(root, 'NOTICE.md')) })
    },
    configureServer(server) {
      server.middlewares.use('/sounds', (request, response, next) => {
        void making().then(({ files }) => {
          const file = files.find(({ path }) => `/${path}` === `/sounds${request.url ?? ''}`)
          if (file) response.end(file.content)
          else next()
        }, next)
      })
    },
  }
}
