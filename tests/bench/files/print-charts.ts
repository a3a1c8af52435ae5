/** Demo arrangements on a real board, their charts printed by a real browser, and what can be measured on each printed page. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { DEMO_TUNES } from '@chartloft/demo'
import { type DecisionKind, LINEUPS, type Plan, defaultPlan, proposeOptions, readTune } from '@chartloft/shared-theory'
import { type House, comeIn, openHouse } from '../../browser/house.js'
import { ROOT, cleanUp, newBoard, personAt } from '../../server/harness.js'
import { type PrintedPage, measurePages } from './printed-page.js'

export const OUT = join(ROOT, 'tests/out/charts')

/** Which option of each decision's list: long and short openings, a lift with its own bars, another metre. */
export interface PrintedBoard {
  readonly tune: number
  readonly lineup: string
  readonly take: { readonly [kind in DecisionKind]: number }
}

const TAKES: readonly PrintedBoard['take'][] = [
  { groove: 0, opening: 1, harmony: 1, lift: 2, ending: 0 },
  { groove: 2, opening: 2, harmony: 0, lift: 1, ending: 2 },
  { groove: 4, opening: 3, harmony: 2, lift: 0, ending: 1 },
]
export const BOARDS: readonly PrintedBoard[] = TAKES.flatMap((take, tune) =>
  ['quartet-trumpet', 'septet'].map((lineup) => ({ tune, lineup, take })),
)

export interface PrintedChart {
  readonly name: string
  readonly pages: readonly PrintedPage[]
  readonly pdf: string
}

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

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
  const plan = { ...defaultPlan(read.value), lineup }
  // All before the first request: working them out may outlast a connection kept open.
  const chosen = KINDS.map((kind) => {
    const options = proposeOptions(read.value, kind, plan)
    return options[wanted.take[kind] % options.length]!
  })
  const board = await newBoard(house.server, title, { format: 'abc', data: abc })
  const leader = await personAt(house.server, board.links.leader, 'Maro')
  await leader.command('setLineup', { lineup, baseSeq: await leader.seq() })
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
  const printed: PrintedChart[] = []
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
      await page.pdf({ path: pdf, preferCSSPageSize: true, printBackground: false })
      await page.emulateMedia({ media: null })
      printed.push({ name, pages, pdf })
    }
  }
  await person.context.close()
  return printed
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
