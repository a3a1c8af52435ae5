/** Demo arrangements on a real board, their charts printed by a real browser, and what can be measured on each printed page. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type DecisionKind,
  LINEUPS,
  type PassPlan,
  type Plan,
  defaultPlan,
  proposeOptions,
  readTune,
} from '@chartloft/shared-theory'
import { type House, type Page, comeIn, openHouse } from '../../browser/house.js'
import { ROOT, cleanUp, newBoard, personAt } from '../../server/harness.js'
import { type PrintedPage, measurePages } from './printed-page.js'

export const OUT = join(ROOT, 'tests/out/charts')

/** An option by its id, or by its place in the list where any will do. */
export interface PrintedBoard {
  readonly tune: number
  readonly lineup: string
  readonly take: { readonly [kind in DecisionKind]: string | number }
  /** What the solos are: once, open to all, unless told. */
  readonly solos?: readonly Partial<PassPlan>[]
}

/** A D.S. al Coda with endings and a lift in it; seven beats; a waltz with two solos named, one with backgrounds. */
const TAKES: readonly Pick<PrintedBoard, 'take' | 'solos'>[] = [
  {
    take: {
      groove: 'ballad-even',
      opening: 1,
      harmony: 1,
      lift: 'up-3-common-tone',
      ending: 'delayed-tonic-2-bii',
    },
  },
  { take: { groove: 'seven-4-even', opening: 2, harmony: 0, lift: 'up-1-dominant', ending: 'vamp-8-i-iv' } },
  {
    take: {
      groove: 'jazz-waltz',
      opening: 3,
      harmony: 2,
      lift: 'up-2-sus-dominant',
      ending: 'chromatic-descent-3-rate-2',
    },
    solos: [
      { soloist: 'trumpet', times: 2 },
      { soloist: 'piano', backgrounds: true },
    ],
  },
]
export const BOARDS: readonly PrintedBoard[] = TAKES.flatMap((chosen, tune) =>
  ['quartet-trumpet', 'septet'].map((lineup) => ({ tune, lineup, ...chosen })),
)

export interface PrintedChart {
  readonly name: string
  /** Pages of the PDF, as it counts them. */
  readonly pdfPages: number
  readonly pages: readonly PrintedPage[]
  readonly pdf: string
  /** Collisions found after one was made: what measures nothing would find nothing. */
  readonly seenOnPurpose?: number
}

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

/** Puts the first chord symbol on the first note, and counts what is found. */
async function collisionsMade(page: Page): Promise<number> {
  await page.evaluate(() => {
    const line = [...document.querySelectorAll('g.line')].find(
      (one) => one.querySelector('g.harm') && one.querySelector('g.notehead'),
    )
    const [symbol, note] = [line?.querySelector<SVGTextElement>('g.harm text'), line?.querySelector('g.notehead use')]
    const [x, y] = /translate\((-?\d+), ?(-?\d+)\)/.exec(note?.getAttribute('transform') ?? '')?.slice(1) ?? []
    if (x) symbol?.setAttribute('x', x)
    if (y) symbol?.setAttribute('y', y)
  })
  const pages = await page.evaluate(measurePages)
  return pages.flatMap(({ collisions }) => collisions).length
}

/** Every chart of a board, printed to `tests/out/charts`. */
async function printBoard(
  house: House,
  wanted: PrintedBoard,
  papers: readonly string[],
): Promise<readonly PrintedChart[]> {
  const { title, abc, id } = DEMO_TUNES[wanted.tune] as (typeof DEMO_TUNES)[number]
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  const lineup = LINEUPS[wanted.lineup] as Plan['lineup']
  const usual = defaultPlan(read.value)
  const roadmap = usual.roadmap.flatMap((pass) =>
    pass.kind === 'solo' && wanted.solos
      ? wanted.solos.map((solo, index) => ({ ...pass, ...solo, id: `solo-${index + 1}` }))
      : [pass],
  )
  const plan = { ...usual, lineup, roadmap }
  // All before the first request: working them out may outlast a connection kept open.
  const chosen = KINDS.map((kind) => {
    const options = proposeOptions(read.value, kind, plan)
    const asked = wanted.take[kind]
    const option = typeof asked === 'number' ? options[asked] : options.find((one) => one.id === asked)
    if (!option) throw new Error(`${title}: no ${kind} ${asked} among ${options.map((one) => one.id).join(', ')}`)
    return option
  })
  const board = await newBoard(house.server, title, { format: 'abc', data: abc })
  const leader = await personAt(house.server, board.links.leader, 'Maro')
  await leader.command('setLineup', { lineup, baseSeq: await leader.seq() })
  if (wanted.solos) await leader.command('setRoadmap', { roadmap, baseSeq: await leader.seq() })
  for (const option of chosen) {
    const slot = { decision: option.kind, ...(option.at ? { at: option.at } : {}) }
    const answer = await leader.command('lock', { slot, option, baseSeq: await leader.seq() })
    if (answer.status !== 200) throw new Error(`${title}, ${option.kind}: ${JSON.stringify(answer.body)}`)
  }
  const person = await comeIn(house, house.server.url + board.links.leader, 'Maro')
  const { page } = person
  // Printing takes longer on a busy machine.
  page.setDefaultTimeout(120_000)
  await page.goto(`${house.server.url}/b/${board.boardId}/charts`)
  const charts: PrintedChart[] = []
  for (const paper of papers) {
    await page.locator('#chart-paper').selectOption(paper)
    for (const chart of ['score', ...lineup.map((part) => part.id)]) {
      await page.locator('#chart-chart').selectOption(chart)
      await page.waitForTimeout(60)
      await page.locator(`.sheets[aria-busy=false] .sheet[data-paper=${paper}]`).first().waitFor({ timeout: 60_000 })
      await page.evaluate(() => document.fonts.ready)
      const name = `${id}-${wanted.lineup}-${chart}-${paper}`
      const pdf = join(OUT, `${name}.pdf`)
      await page.emulateMedia({ media: 'print' })
      const pages = await page.evaluate(measurePages)
      const printed = await page.pdf({ path: pdf, preferCSSPageSize: true, printBackground: false })
      const pdfPages = (printed.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length
      await page.emulateMedia({ media: null })
      const seenOnPurpose = charts.length === 0 ? await collisionsMade(page) : undefined
      charts.push({ name, pages, pdf, pdfPages, ...(seenOnPurpose === undefined ? {} : { seenOnPurpose }) })
    }
  }
  await person.context.close()
  return charts
}

export async function printBoards(
  boards: readonly PrintedBoard[],
  papers: readonly string[] = ['a4', 'letter'],
): Promise<readonly PrintedChart[]> {
  mkdirSync(OUT, { recursive: true })
  const house = await openHouse()
  try {
    const printed: PrintedChart[] = []
    for (const board of boards) printed.push(...(await printBoard(house, board, papers)))
    return printed
  } finally {
    await house.browser.close()
    cleanUp()
  }
}
