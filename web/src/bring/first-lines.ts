/** The beginning of a tune as a line of the chart: what the demo's card shows. */
import type { ArrangedBar, TuneBar } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import { barList } from '../look/bars.js'
import { sayKeyShort, sayMetre } from '../look/say.js'
import type { TuneReading } from '../state/theory-protocol.js'
import { words } from '../words.js'
import { bringWords } from '../words-bring.js'

/** The tune's first section as a chart, up to eight bars. */
export function firstLines({ tune }: TuneReading): TemplateResult | typeof nothing {
  const section = tune.sections[0]
  if (!section) return nothing
  const bars = tune.bars.slice(section.startBar, section.startBar + Math.min(8, section.bars))
  const pitches = tune.bars.flatMap((bar) => bar.melody.map((note) => note.midi))
  const range = [pitches.reduce((a, b) => Math.min(a, b), 127), pitches.reduce((a, b) => Math.max(a, b), 0)] as const
  return html`<header>
      <span class="letter ${section.letter.length > 2 ? 'word' : ''}">${section.letter}</span>
      <p class="facts">${words.board.bars(section.bars)} · ${sayKeyShort(tune.key)} · ${sayMetre(tune.metre)}</p>
    </header>
    ${barList(
      bars.map((bar, index) => ({
        bar: asShown(bar, index),
        ...(index === bars.length - 1 ? { closes: 'section' as const } : {}),
      })),
      { label: `${section.letter}, ${bringWords.chords}`, range },
    )}`
}

/** A bar of the tune with the little a chart line asks of an arranged one. */
const asShown = (bar: TuneBar, index: number): ArrangedBar => ({
  ...bar,
  barIndex: index,
  sectionId: '',
  pass: '',
  groups: [bar.metre.beats],
  tempoBpm: 120,
  feel: '',
  parts: {},
  provenance: { decision: 'tune', rule: '', tuneBar: bar.barIndex },
})
