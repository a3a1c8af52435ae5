/** Every chart of three demo arrangements for two line-ups, printed on A4 and Letter by a real browser into `tests/out/charts` for people
 *  to look at, and measured where everything really stands. */
import { it } from 'vitest'
import { BOARDS, printBoards } from './print-charts.js'
import { figure } from '../figure.js'

/** The board whose bars have seven beats: two to a line where they are long. */
const SEVEN = 'ferry-bell'
/** The section before the letter is one bar. */
const isOneBar = (marks: readonly { readonly bar: number }[]): boolean => marks.some(({ bar }) => bar === 0)

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
    what: 'collisions seen where a chord symbol is put on a note on purpose',
    value: charts.reduce((sum, { seenOnPurpose = 0 }) => sum + seenOnPurpose, 0),
    unit: '',
    target: { atLeast: 1 },
    note: 'one symbol of the first chart of each board',
  })
  figure({
    id: 'UI39',
    what: 'printed signs and words that stand on notes or each other, or off the paper',
    value: collisions.length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
  const shown = charts.map((chart) => ({ ...chart, lines: chart.pages.flatMap((page) => page.lines) }))
  const said = (found: readonly string[]): number => {
    if (found.length > 0) console.log(found.slice(0, 20).join('\n'))
    return found.length
  }
  const none = (what: string, found: readonly string[]): void =>
    figure({ id: 'UI39', what, value: said(found), unit: '', target: { exactly: 0 }, note })
  none(
    'pages of several with a single line',
    shown.flatMap(({ name, pages: own }) =>
      own.length > 1 && own.some((page) => page.lines.length < 2) ? [`${name}: a page with one line`] : [],
    ),
  )
  none(
    'charts with more or fewer pages in the PDF than on the screen (blank ones)',
    shown.flatMap(({ name, pages: own, pdfPages }) =>
      own.length === pdfPages ? [] : [`${name}: ${own.length} sheets, ${pdfPages} pages`],
    ),
  )
  none(
    'letters inside a line, but after rests or a section of one bar',
    shown.flatMap(({ name, lines: own }) =>
      own.flatMap(({ marks, rests }) =>
        marks.flatMap(({ text, bar }) => (bar > rests && !(bar === 1 && isOneBar(marks)) ? [`${name}: ${text}`] : [])),
      ),
    ),
  )
  none(
    'lines of fewer than four bars that neither end a section, nor are the first half of its last six, nor have rests or long bars',
    shown.flatMap(({ name, lines: own }) =>
      own.flatMap((line, index) => {
        const next = own[index + 1]
        const ends = next === undefined || next.marks.some(({ bar }) => bar === 0)
        const isLong = name.startsWith(SEVEN)
        const after = own[index + 2]
        const isEven =
          line.bars === 3 && next?.bars === 3 && (after === undefined || after.marks.some(({ bar }) => bar === 0))
        return line.bars < 4 && !ends && !isEven && line.rests === 0 && !isLong ? [`${name}, line ${index + 1}`] : []
      }),
    ),
  )
  none(
    'single bars alone on a line, but a long rest or a first pickup',
    shown.flatMap(({ name, lines: own }) =>
      own.flatMap((line, index) => (line.bars === 1 && line.rests === 0 ? [`${name}, line ${index + 1}`] : [])),
    ),
  )
  none(
    'lines after the first without a bar number',
    shown.flatMap(({ name, lines: own }) =>
      own.flatMap(({ hasBarNumber }, index) => (index > 0 && !hasBarNumber ? [`${name}, line ${index + 1}`] : [])),
    ),
  )
  none(
    'charts with a letter used twice',
    shown.flatMap(({ name, lines: own }) => {
      const letters = own.flatMap(({ marks }) => marks.map(({ text }) => text))
      return new Set(letters).size === letters.length ? [] : [name]
    }),
  )
  const turns = shown
    .filter(({ name }) => !name.includes('-score-'))
    .flatMap(({ name, pages: own }) =>
      own.slice(1).map((page, index) => ({
        name,
        isGood:
          own[index]?.endsInRest === true || page.lines[0]?.beginsInRest === true || page.lines[0]?.marks[0]?.bar === 0,
      })),
    )
  const bad = turns.filter(({ isGood }) => !isGood).map(({ name }) => `${name}: turns inside a section`)
  figure({
    id: 'UI39',
    what: 'page turns of parts at a rest or where a section begins',
    value: turns.length === 0 ? 100 : (100 * (turns.length - said(bad))) / turns.length,
    unit: '%',
    target: { atLeast: 90 },
    note: `${turns.length} turns`,
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
