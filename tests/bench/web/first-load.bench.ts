/** JavaScript a page needs before it is there. */
import { it } from 'vitest'
import { catalogueOf, FIRST_LOADS, firstLoad, gzippedKb } from '../../browser/first-load.js'
import { figure } from '../figure.js'

it.each(FIRST_LOADS)('[BR30] the $what page’s first load', ({ page, what, mostKb }) => {
  const scripts = firstLoad(page)
  for (const [language, paths] of [
    ['English', scripts],
    ['German', [...scripts, catalogueOf('Noch keine Stimmen')]],
  ] as const) {
    figure({
      id: 'BR30',
      what: `JavaScript of the ${what} page’s first load, ${language}`,
      value: gzippedKb(paths),
      unit: 'KB gz',
      target: { atMost: mostKb },
      note: `${paths.length} files as built, zlib's default level`,
    })
  }
})
