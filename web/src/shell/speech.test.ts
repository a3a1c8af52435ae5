import { afterEach, describe, expect, it } from 'vitest'
import { nameNotes, noteNames } from '../look/note-names.js'
import { compare } from '../words/en/compare.js'
import { english } from '../words/en/index.js'
import { speak, words } from '../words.js'
import { chooseSpeech, chosenSpeech, languageFor, setSpeech } from './speech.js'

const memory = () => {
  const held = new Map<string, string>()
  return {
    getItem: (key: string) => held.get(key) ?? null,
    setItem: (key: string, value: string) => void held.set(key, value),
  }
}

describe('[UI71] the language and the note names of a page', () => {
  afterEach(() => {
    speak({ words: english, compare })
    nameNotes('letters')
  })

  it('follow the browser until somebody chooses, and then the choice', async () => {
    const storage = memory()
    const root = { lang: '' }
    expect(await setSpeech(storage, ['fr-FR', 'de-AT', 'en'], root)).toEqual({ language: 'de', noteNames: 'letters' })
    expect([root.lang, words.pages.charts]).toEqual(['de', 'Noten'])
    chooseSpeech(storage, { language: 'en' })
    chooseSpeech(storage, { noteNames: 'german' })
    expect(chosenSpeech(storage)).toEqual({ language: 'en', noteNames: 'german' })
    speak({ words: english, compare })
    expect(await setSpeech(storage, ['de'], root)).toEqual({ language: 'en', noteNames: 'german' })
    expect([root.lang, words.pages.charts, noteNames()]).toEqual(['en', 'Charts', 'german'])
  })

  it('are English where the browser asks for none there is, and stay so without storage or with nonsense in it', async () => {
    expect(languageFor(['pt-BR', 'ja'])).toBe('en')
    expect(languageFor([])).toBe('en')
    expect(chosenSpeech(undefined)).toEqual({})
    for (const held of ['', 'null', '[]', '{"language":"toString","noteNames":7}', '{'])
      expect(chosenSpeech({ getItem: () => held })).toEqual({})
    const broken = {
      getItem: () => null,
      setItem: () => {
        throw new Error('full')
      },
    }
    expect(() => chooseSpeech(broken, { language: 'de' })).not.toThrow()
  })
})
