/** Verovio as an independent reader: what it says, and which notes it hears where. */
import createVerovioModule, { type VerovioModule } from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'

export interface HeardPitch {
  readonly quarter: number
  readonly midi: number
  /** Small notes that another part plays. */
  readonly isCue?: true
}
export interface VerovioReading {
  readonly isLoaded: boolean
  /** What it printed while loading and engraving. */
  readonly complaints: readonly string[]
  /** Quarters played, repeats expanded. */
  readonly quarters: number
  /** Attacks in order of time; tied notes once, slashes left out. */
  readonly notes: readonly HeardPitch[]
  readonly pages: number
  readonly mei: string
}

/** What the engraver prints, of whichever file: one voice for the whole module. */
const heard: string[] = []
let module: Promise<VerovioModule> | undefined

const idsIn = (mei: string, pattern: RegExp): ReadonlySet<string> =>
  new Set([...mei.matchAll(pattern)].map((found) => found[1] as string))
const withoutPlaying = (id: string): string => id.replace(/-rend\d+$/, '')
const listen = (...words: readonly unknown[]): void => {
  const text = words.join(' ').trim()
  if (text) heard.push(text)
}
/** Verovio speaks through the console, by name at the moment it speaks. */
function withConsoleHeard<T>(work: () => T): T {
  const { error, warn, log } = console
  Object.assign(console, { error: listen, warn: listen, log: listen })
  try {
    return work()
  } finally {
    Object.assign(console, { error, warn, log })
  }
}

/** Loads and engraves a MusicXML text; `notes` and `quarters` have its repeats expanded. */
export async function readWithVerovio(xml: string): Promise<VerovioReading> {
  module ??= createVerovioModule()
  const toolkit = new VerovioToolkit(await module)
  heard.length = 0
  const isLoaded = withConsoleHeard(() => {
    const loaded = Boolean(toolkit.loadData(xml))
    toolkit.renderToSVG(1)
    return loaded
  })
  const mei = toolkit.getMEI({})
  const complaints = [...heard]
  const slashes = idsIn(mei, /<note [^>]*xml:id="(\w+)"[^>]*head\.shape="slash"/g)
  const cues = idsIn(mei, /<(?:note|chord) (?=[^>]*\bcue="true")[^>]*xml:id="(\w+)"/g)
  const tiedIn = idsIn(mei, /<tie [^>]*endid="#(\w+)"/g)
  // Element pitches are as written; the staff says how far that is from the sound.
  const semitones = Number(/trans\.semi="(-?\d+)"/.exec(mei)?.[1] ?? 0)
  const timemap = withConsoleHeard(() => toolkit.renderToTimemap({}))
  const notes = timemap.flatMap(({ qstamp, on }) =>
    (on ?? [])
      .filter((id) => !slashes.has(withoutPlaying(id)) && !tiedIn.has(withoutPlaying(id)))
      .map((id) => ({
        quarter: qstamp,
        midi: toolkit.getMIDIValuesForElement(id).pitch + semitones,
        ...(cues.has(withoutPlaying(id)) ? { isCue: true as const } : {}),
      })),
  )
  const pages = toolkit.getPageCount()
  toolkit.destroy()
  return {
    isLoaded,
    complaints,
    quarters: timemap.at(-1)?.qstamp ?? 0,
    notes: notes.sort((a, b) => a.quarter - b.quarter || a.midi - b.midi),
    pages,
    mei,
  }
}
