/** How a value given by a user comes back: read, read with remarks, or refused with issues that name the place. */
export type Result<T> =
  | { readonly ok: true; readonly value: T; readonly issues?: readonly Issue[] } // ok with warnings (what was not understood)
  | { readonly ok: false; readonly issues: readonly Issue[] } // at least one
export interface Issue {
  readonly code: string // 'VA3'
  readonly severity: 'error' | 'warning' | 'note'
  readonly path: string // 'bars/12/chords/0'
  readonly bar?: number // reading a tune: the bar it concerns, an index into Tune.bars
  readonly message: string
  /** Of a reader: the message with {} where its values stand, for pages in other languages. */
  readonly sentence?: { readonly id: string; readonly values: readonly (string | number)[] }
}
