/** How far the page's idea of the server's clock is from the truth, on links with delay, jitter and ways of unequal length. */
import { it } from 'vitest'
import { clockErrors, LINKS } from './clock-links.js'
import { figure } from '../figure.js'
import { quantile } from './load.js'

const PAGES = 200

for (const link of LINKS) {
  it(`[SY3] the clock over ${link.name}`, () => {
    const { offMs, beyond, asked } = clockErrors(link, PAGES)
    const drawn = `${PAGES} pages of a minute; ${link.note}`
    if (link.p95Ms !== undefined)
      figure({
        id: 'SY3',
        what: `server clock over ${link.name}: offset error p95`,
        value: quantile(offMs, 0.95),
        unit: 'ms',
        target: { atMost: link.p95Ms },
        note: `median ${quantile(offMs, 0.5).toFixed(2)} ms, ${drawn}`,
      })
    figure({
      id: 'SY3',
      what: `server clock over ${link.name}: errors larger than the page says they may be`,
      value: beyond,
      unit: '',
      target: { exactly: 0 },
      note: `of ${asked}; p95 ${quantile(offMs, 0.95).toFixed(2)} ms; ${drawn}`,
    })
  })
}
