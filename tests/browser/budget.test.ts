/** How much JavaScript a page must fetch before it shows anything: its own script and what that imports at once, gzipped as sent. */
import { describe, expect, it } from 'vitest'
import { catalogueOf, FIRST_LOADS, firstLoad, gzippedKb, textOf } from './first-load.js'

const GERMAN = 'Noch keine Stimmen'

describe.each(FIRST_LOADS)('[BR30] the $what page’s first load', ({ page, what, mostKb }) => {
  const scripts = firstLoad(page)

  it(`is at most ${mostKb} KB gzipped, in German too`, () => {
    expect(scripts.length).toBeGreaterThan(0)
    const [kb, germanKb] = [gzippedKb(scripts), gzippedKb([...scripts, catalogueOf(GERMAN)])]
    console.log(
      `first load of the ${what} page: ${kb.toFixed(1)} KB of JavaScript gzipped in ${scripts.length} files, in German ${germanKb.toFixed(1)} KB`,
    )
    expect(germanKb).toBeLessThanOrEqual(mostKb)
  })

  it('has neither sound nor engraving nor another language in it', () => {
    const text = scripts.map(textOf).join('\n')
    expect(scripts.join(' ')).not.toMatch(/audio|verovio|engraver/)
    expect(text).not.toMatch(/createOscillator|createDynamicsCompressor|verovio\.toolkit/)
    expect(scripts).not.toContain(catalogueOf(GERMAN))
  })
})
