/** Every chart of three demo arrangements for two line-ups, printed on A4 and Letter by a real browser into `tests/out/charts` for people
 *  to look at, and measured where everything really stands. */
import { it } from 'vitest'
import { BOARDS, printBoards } from './print-charts.js'
import { figure } from '../figure.js'

it('printed charts', async () => {
  const charts = await printBoards(BOARDS)
  const pages = charts.flatMap(({ name, pages: own }) =>
    own.map((page, index) => ({ ...page, where: `${name}, page ${index + 1}` })),
  )
  const lines = pages.flatMap((page) => page.lines)
  const note = `${charts.length} charts, ${pages.length} pages, ${lines.length} lines; tests/out/charts`
  const collisions = pages.flatMap(({ where, collisions: own, outside }) =>
    [...own, ...outside].map((one) => `${where}, ${one}`),
  )
  if (collisions.length > 0) console.log(collisions.slice(0, 40).join('\n'))
  figure({
    id: 'UI39',
    what: 'printed signs and words that stand on notes or each other, or off the paper',
    value: collisions.length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
  figure({
    id: 'UI39',
    what: 'pages of several with a single line',
    value: charts.flatMap(({ pages: own }) => (own.length > 1 ? own.filter((page) => page.lines.length < 2) : []))
      .length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
  figure({
    id: 'UI39',
    what: 'staff height of parts, the smallest',
    value: Math.min(
      ...charts
        .filter(({ name }) => !name.includes('-score-'))
        .flatMap(({ pages: own }) => own.map(({ staffMm }) => staffMm)),
    ),
    unit: 'mm',
    target: { atLeast: 7 },
    note,
  })
  figure({
    id: 'UI39',
    what: 'pages without a footer that names chart, date, version and page',
    value: pages.filter(({ footer }) => !/ · .+ · .*\d{4}.* · version \d+ · Page \d+ of \d+$/.test(footer)).length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
}, 1_800_000)
