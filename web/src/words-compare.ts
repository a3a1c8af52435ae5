/** What the history page says of a comparison, in the language of this page; loaded with that page. */
import { compare } from './words/en/compare.js'
import type { CompareWords } from './words/catalogue.js'
import { otherCompareWords } from './words.js'

export type { Place } from './words/en/compare.js'
export const compareWords: CompareWords = otherCompareWords ?? compare
