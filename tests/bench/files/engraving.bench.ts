/** How long a lead sheet takes to engrave: processor time, the first time with the engraver's start, and then warm. */
import { it } from 'vitest'
import createEngraver from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type EngravedChart,
  LINEUPS,
  type Plan,
  compile,
  defaultPlan,
  readTune,
  writeChart,
} from '@chartloft/shared-theory'
import { composePages } from '../../../web/src/charts/compose-pages.js'
import { type EngravingToolkit, engraveLines, unitsOf } from '../../../web/src/charts/engrave.js'
import { WARMING } from '../../../web/src/charts/warming.js'
import { figure, processorMs } from '../figure.js'

const A4 = { width: 2100, height: 2970 }
const MARGINS = { left: 130, right: 110, top: 100, bottom: 150 }
const SCALE = 98

/** Two choruses of 32 bars, every bar written out, for the trumpet. */
function leadSheet(): EngravedChart {
  const read = readTune('abc', (DEMO_TUNES[0] as (typeof DEMO_TUNES)[number]).abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  const usual = defaultPlan(read.value)
  const roadmap = usual.roadmap.filter(({ kind }) => kind !== 'solo')
  const { arrangement } = compile({ ...usual, roadmap, lineup: LINEUPS['quartet-trumpet'] as Plan['lineup'] })
  return writeChart(arrangement, { part: 'trumpet' })
}

function pages(toolkit: EngravingToolkit, { musicXml, marks }: EngravedChart): number {
  const units = (tenthsMm: number): number => unitsOf(tenthsMm, SCALE)
  const { systems, shapes } = engraveLines(toolkit, musicXml, A4.width - MARGINS.left - MARGINS.right, SCALE)
  return composePages(systems, shapes, {
    marks,
    sheet: {
      width: units(A4.width),
      height: units(A4.height),
      margins: {
        left: units(MARGINS.left),
        right: units(MARGINS.right),
        top: units(MARGINS.top),
        bottom: units(MARGINS.bottom),
      },
    },
    head: { title: 'Lantern Slip', part: 'Trumpet', roadMap: ['A A B A', 'A A B A'] },
  }).length
}

it('[UI92] a lead sheet of 64 bars', async () => {
  const chart = leadSheet()
  const before = process.cpuUsage()
  const toolkit = new VerovioToolkit(await createEngraver()) as unknown as EngravingToolkit
  engraveLines(toolkit, WARMING, 1860, 100)
  const started = process.cpuUsage(before)
  const own = process.cpuUsage()
  const count = pages(toolkit, chart)
  const first = process.cpuUsage(own)
  const ms = ({ user, system }: NodeJS.CpuUsage): number => (user + system) / 1000
  const note = `processor time of the whole process; ${chart.marks.length} bars, ${count} pages; the engraver's start alone ${Math.round(ms(started))} ms, of which a page that is open has most behind it`
  figure({
    id: 'UI92',
    what: 'engraving a 64-bar lead sheet for the first time, the engraver’s start included',
    value: ms(started) + ms(first),
    unit: 'ms',
    target: { atMost: 1500 },
    note,
  })
  figure({
    id: 'UI92',
    what: 'engraving a 64-bar lead sheet again, nothing kept',
    value: processorMs(() => pages(toolkit, chart), 7),
    unit: 'ms',
    target: { atMost: 300 },
    note: 'processor time, median of seven',
  })
})
