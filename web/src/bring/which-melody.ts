/** Which line of a MIDI file or part of a score is the tune: each can be heard and its beginning seen before it is chosen. */
import type { FileContents, Section, Tune } from '@chartloft/shared-theory'
import { html, nothing, type ReactiveController, type ReactiveControllerHost, type TemplateResult } from 'lit'
import type { Engraver } from '../charts/engraver.js'
import type { Theory } from '../state/theory.js'
import { bringWords } from '../words-bring.js'
import type { Read } from './brought.js'
import { type Candidate, candidateSound, linesAsked, melodyChoice, partsAsked } from './file-choice.js'
import type { TuneListener } from './tune-listener.js'

interface Host extends ReactiveControllerHost {
  readonly read: Read
  readonly theory: Theory
  readonly engraver: Engraver
  readonly listener: TuneListener
  readonly choose: (chosen: Read['chosen']) => Promise<void>
  readonly sayNext: (text: string) => void
}

const PREVIEW_BARS = 4

export class WhichMelody implements ReactiveController {
  #shown: { readonly index: number; readonly tune: Tune } | undefined

  constructor(private readonly host: Host) {
    host.addController(this)
  }

  hostDisconnected(): void {
    this.#shown = undefined
  }

  /** Nothing where there is nothing to choose. */
  row(): TemplateResult | typeof nothing {
    const { read, listener, theory, engraver } = this.host
    const { contents, chosen } = read
    const candidates = candidatesOf(contents)
    if (candidates.length < 2) return nothing
    const isParts = contents?.kind === 'parts'
    const shown = this.#shown
    return melodyChoice(candidates, {
      note: isParts ? bringWords.partNote(candidates.length) : bringWords.lineNote(candidates.length),
      chosen: isParts ? chosen.part : chosen.line,
      heard: listener.heard.value,
      shown: shown && {
        index: shown.index,
        sheet: html`<loft-sheet isStill .tune=${shown.tune} .theory=${theory} .engraver=${engraver}></loft-sheet>`,
      },
      choose: (index) => void this.#choose(index, candidates),
      listen: (index) => void this.#listen(index),
      look: (index) => void this.#look(index),
    })
  }

  async #choose(index: number, candidates: readonly Candidate[]): Promise<void> {
    const chosen = candidates[index]
    if (chosen) this.host.sayNext(bringWords.said.line(chosen.name))
    await this.host.choose(this.#asChoice(index))
  }

  #asChoice(index: number): Read['chosen'] {
    return this.host.read.contents?.kind === 'parts' ? { part: index } : { line: index }
  }

  /** As it would be read, were it chosen. */
  async #tune(index: number): Promise<Tune | undefined> {
    const { read, theory } = this.host
    const answer = await theory.ask('read', read.brought.format, read.brought.content, this.#asChoice(index))
    return answer.ok ? answer.value.tune : undefined
  }

  async #listen(index: number): Promise<void> {
    const { listener } = this.host
    const what = candidateSound(index)
    const heard = listener.heard.value
    if (heard.stage !== 'silent' && heard.what === what) return listener.stop()
    const tune = await this.#tune(index)
    if (tune) await listener.play(what, tune, { isMelodyOnly: true })
  }

  async #look(index: number): Promise<void> {
    const tune = this.#shown?.index === index ? undefined : await this.#tune(index)
    this.#shown = tune && { index, tune: beginningOf(tune) }
    this.host.requestUpdate()
  }
}

function candidatesOf(contents: FileContents | undefined): readonly Candidate[] {
  if (contents?.kind === 'lines') return linesAsked(contents.lines)
  return contents?.kind === 'parts' ? partsAsked(contents.parts) : []
}

/** A few bars from that of its first note on: a part that waits shows what it plays. */
export function beginningOf(tune: Tune): Tune {
  const first = Math.max(
    0,
    tune.bars.findIndex(({ melody }) => melody.length > 0),
  )
  const pickupTicks = first === 0 ? tune.pickupTicks : 0
  const startBar = pickupTicks > 0 ? 1 : 0
  const bars = tune.bars.slice(first, first + PREVIEW_BARS + startBar).map((bar, barIndex) => ({ ...bar, barIndex }))
  const section = tune.sections[0] as Section
  return { ...tune, pickupTicks, bars, sections: [{ ...section, startBar, bars: Math.max(1, bars.length - startBar) }] }
}
