/** The demo: five tunes and a band, all invented for this project. */
import { FERRY_BELL, LANTERN_SLIP, LOW_WATER_LETTER, PAINTED_DORIES, SLACK_TIDE } from './tunes/index.js'

export { DEMO_BAND, type DemoBand, type DemoPlayer } from './band.js'
export * from './tunes/index.js'

export interface DemoTune {
  /** Short stable name, usable in a file name. */
  readonly id: string
  readonly title: string
  /** The whole tune as ABC 2.1. */
  readonly abc: string
}

export const DEMO_TUNES: readonly DemoTune[] = [
  { id: 'lantern-slip', title: 'Lantern Slip', abc: LANTERN_SLIP },
  { id: 'ferry-bell', title: 'Ferry Bell', abc: FERRY_BELL },
  { id: 'slack-tide', title: 'Slack Tide', abc: SLACK_TIDE },
  { id: 'low-water-letter', title: 'Low Water Letter', abc: LOW_WATER_LETTER },
  { id: 'painted-dories', title: 'Painted Dories', abc: PAINTED_DORIES },
]
