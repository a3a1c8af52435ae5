/** What a catalogue is: the English one's keys, with sentences of any language. */
import type { SlotStatus } from '../state/slots.js'
import type { bringing } from './en/bringing.js'
import type { compare } from './en/compare.js'
import type { english } from './en/index.js'

/** The same shape with any words: a literal sentence becomes a string, a sign stays one, a function keeps what it is given. */
export type Said<T> = [T] extends [string]
  ? [SlotStatus] extends [T]
    ? T
    : string
  : T extends (...given: infer Given) => infer Answer
    ? (...given: Given) => Said<Answer>
    : T extends object
      ? { readonly [Key in keyof T]: Said<T[Key]> }
      : T

export type Words = Said<typeof english>
export type CompareWords = Said<typeof compare>
export type BringWords = Said<typeof bringing>

/** A whole language: what the pages say, what the history page says of a comparison, and the page that brings a tune. */
export interface Catalogue {
  readonly words: Words
  readonly compare: CompareWords
  readonly bringing: BringWords
  /** Sentences of the readers of files, by the English one with {} where its values stand; fetched with the first file. */
  readonly reading: () => Promise<{ readonly [sentence: string]: string }>
}
