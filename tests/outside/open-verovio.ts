/** Verovio as an independent reader: what it says, and which notes it hears where. */
import createVerovioModule from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'

export interface HeardPitch {
  readonly quarter: number
  readonly midi: number
}
export interface VerovioReading {
  readonly isLoaded: boolean
  readonly complaints: readonly string[]
  /** Quarters played, repeats expanded. */
  readonly quarters: number
  /** Attacks in order of time; tied notes once, slashes left out. */
  readonly notes: readonly HeardPitch[]
  readonly pages: number
  readonly mei: string
}

let module: Promise<unknown> | undefined

const idsIn = (mei: string, pattern: RegExp): ReadonlySet<string> =>
  new Set([...mei.matchAll(pattern)].map((found) => found[1] as string))
const withoutPlaying = (id: string): string => id.replace(/-rend\d+$/, '')

/** Loads a MusicXML text; `notes` and `quarters` have its repeats expanded. */
export async function readWithVerovio(xml: string): Promise<VerovioReading> {
  const complaints: string[] = []
  const listen = (...words: readonly unknown[]): void => {
    const text = words.join(' ').trim()
    if (text) complaints.push(text)
  }
  const consoles = [console.error, console.warn] as const
  console.error = listen
  console.warn = listen
  try {
    module ??= createVerovioModule()
    const toolkit = new VerovioToolkit(await module)
    const isLoaded = Boolean(toolkit.loadData(xml))
    const mei = toolkit.getMEI({})
    toolkit.renderToSVG(1)
    const opened = complaints.length
    const slashes = idsIn(mei, /<note [^>]*xml:id="(\w+)"[^>]*head\.shape="slash"/g)
    const tiedIn = idsIn(mei, /<tie [^>]*endid="#(\w+)"/g)
    // Element pitches are as written; the staff says how far that is from the sound.
    const semitones = Number(/trans\.semi="(-?\d+)"/.exec(mei)?.[1] ?? 0)
    const timemap = toolkit.renderToTimemap({ includeRests: true }) as readonly {
      readonly qstamp: number
      readonly on?: readonly string[]
    }[]
    const notes = timemap.flatMap(({ qstamp, on }) =>
      (on ?? [])
        .filter((id) => !slashes.has(withoutPlaying(id)) && !tiedIn.has(withoutPlaying(id)))
        .map((id) => ({ quarter: qstamp, midi: Number(toolkit.getMIDIValuesForElement(id).pitch) + semitones })),
    )
    return {
      isLoaded,
      complaints: [
        ...complaints,
        ...toolkit
          .getLog()
          .split('\n')
          .filter((line: string) => line.trim() !== ''),
      ],
      quarters: timemap.at(-1)?.qstamp ?? 0,
      notes: notes.sort((a, b) => a.quarter - b.quarter || a.midi - b.midi),
      pages: toolkit.getPageCount(),
      mei,
    }
  } finally {
    ;[console.error, console.warn] = consoles
  }
}
