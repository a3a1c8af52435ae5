/** Which language and which note names a page uses: what this browser chose, else what it asks for. */
import { nameNotes, NOTE_NAMES, type NoteNames } from '../look/note-names.js'
import { speak } from '../words.js'
import type { Catalogue } from '../words/catalogue.js'

/** Each by its own name, so that whoever lands in the wrong one finds the way back. */
export const LANGUAGES = { en: 'English', de: 'Deutsch' } as const
export type Language = keyof typeof LANGUAGES

/** Other catalogues than the English one are fetched when they are wanted. */
const CATALOGUES: { readonly [language in Exclude<Language, 'en'>]: () => Promise<Catalogue> } = {
  de: async () => (await import('../words/de/index.js')).german,
}

export interface Speech {
  readonly language: Language
  readonly noteNames: NoteNames
}
/** What was chosen; absent parts follow the browser. */
export type Chosen = Partial<Speech>
const KEY = 'chartloft:speech'

const isLanguage = (text: unknown): text is Language => typeof text === 'string' && Object.hasOwn(LANGUAGES, text)

export function chosenSpeech(storage: Pick<Storage, 'getItem'> | undefined): Chosen {
  try {
    const { language, noteNames } = JSON.parse(storage?.getItem(KEY) ?? '{}') as Record<string, unknown>
    const names = NOTE_NAMES.find((one) => one === noteNames)
    return { ...(isLanguage(language) ? { language } : {}), ...(names ? { noteNames: names } : {}) }
  } catch {
    return {}
  }
}

export function chooseSpeech(storage: Pick<Storage, 'getItem' | 'setItem'> | undefined, chosen: Chosen): void {
  try {
    storage?.setItem(KEY, JSON.stringify({ ...chosenSpeech(storage), ...chosen }))
  } catch {
    // reason: a private window without storage only forgets the choice
  }
}

/** The first language the browser asks for that there is; English where there is none. */
export function languageFor(wanted: readonly string[]): Language {
  for (const tag of wanted) {
    const language = tag.split('-')[0]?.toLowerCase()
    if (isLanguage(language)) return language
  }
  return 'en'
}

/** Before anything is drawn: the page's language and its note names. Without the catalogue the page speaks English. */
export async function setSpeech(
  storage: Pick<Storage, 'getItem'> | undefined,
  wanted: readonly string[],
  root: { lang: string },
): Promise<Speech> {
  const chosen = chosenSpeech(storage)
  const noteNames = chosen.noteNames ?? 'letters'
  nameNotes(noteNames)
  let language = chosen.language ?? languageFor(wanted)
  if (language !== 'en') {
    try {
      speak(await CATALOGUES[language]())
    } catch {
      // reason: the catalogue cannot be fetched now; English is here
      language = 'en'
    }
  }
  root.lang = language
  return { language, noteNames }
}
