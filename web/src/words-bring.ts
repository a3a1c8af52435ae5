/** What the page says on which a tune is brought in, in the language of this page; loaded with that page. */
import { bringing } from './words/en/bringing.js'
import type { BringWords } from './words/catalogue.js'
import { otherBringWords } from './words.js'

export const bringWords: BringWords = otherBringWords ?? bringing
