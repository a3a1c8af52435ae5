/** Every sentence the pages say, in the language of this page: English from the start, another once `speak` was given it. */
import type { BringWords, Catalogue, CompareWords, Words } from './words/catalogue.js'
import { english } from './words/en/index.js'

/** A binding that `speak` moves: read it where a sentence is said, never keep a piece of it. */
export let words: Words = english
/** The other language's sentences about comparisons; English ones come with the history page. */
export let otherCompareWords: CompareWords | undefined
/** The other language's sentences for bringing a tune, likewise. */
export let otherBringWords: BringWords | undefined

/** The other language's sentences of the readers; English ones come with what was read. */
export let otherReading: Catalogue['reading'] | undefined

/** Before anything is drawn: says everything in this catalogue. */
export function speak(catalogue: Catalogue): void {
  words = catalogue.words
  otherCompareWords = catalogue.compare
  otherBringWords = catalogue.bringing
  otherReading = catalogue.reading
}
