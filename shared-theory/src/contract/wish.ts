/** What a musician may ask of proposals beyond "the best ones". Every field is optional; a recipe that cannot follow one leaves it aside. */
export interface Wish {
  /** How far from the tune as written: ranks near options, or far ones, first. */
  readonly distance?: 'a little' | 'a lot'
  /** Bars an opening, a vamp, a tag or a delayed ending takes: options of this length first. */
  readonly bars?: number
  /** Chords a bar for lines that move at a rate. */
  readonly rate?: 1 | 2 | 4
  /** Half steps of a lift, −6…6. */
  readonly semitones?: number
  /** Lines drawn by chance begin at this seed. */
  readonly seed?: number
  /** How often "show me more" was asked: 1 gives further variants of every recipe that has them, 2 further ones still. The options
   *  of a smaller number are all among those of a greater one. */
  readonly more?: number
}
