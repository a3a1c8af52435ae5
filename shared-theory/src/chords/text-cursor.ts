/** A place in a chord symbol's text: takes signs, words and figures one after another and keeps the first trouble. */

export interface Trouble {
  /** Index in the text read. */
  readonly at: number
  readonly message: string
}

export class TextCursor {
  trouble: Trouble | undefined

  constructor(
    protected readonly text: string,
    protected at: number,
  ) {}

  protected fail(at: number, message: string): void {
    this.trouble ??= { at, message }
  }

  protected take(sign: string): boolean {
    return this.text[this.at] === sign && this.skip(1)
  }

  protected skip(count: number): true {
    this.at += count
    return true
  }

  protected skipSpaces(): void {
    while (this.text[this.at] === ' ') this.at++
  }

  /** A word of the grammar in any capitals. */
  protected word(word: string): boolean {
    if ((this.text.charCodeAt(this.at) | 32) !== word.charCodeAt(0) || !this.continues(word)) return false
    this.at += word.length
    return true
  }

  protected continues(word: string): boolean {
    return this.text.slice(this.at, this.at + word.length).toLowerCase() === word
  }

  protected number(): number | undefined {
    let end = this.at
    while (end < this.at + 3 && isDigit(this.text.charCodeAt(end))) end++
    if (end === this.at) return undefined
    const value = Number(this.text.slice(this.at, end))
    this.at = end
    return value
  }

  /** A run of one or two like accidentals as a signed count; 0 where none stands here. */
  protected accidentals(): number {
    const sign = this.text[this.at]
    if (sign !== 'b' && sign !== '#') return 0
    const count = this.text[this.at + 1] === sign ? 2 : 1
    this.at += count
    return sign === 'b' ? -count : count
  }
}

export function isDigit(code: number): boolean {
  return code >= 48 && code <= 57
}
