/** Fresh ids for commands, ballots, comments: 20 letters and digits from the browser's own source of chance. */

const LETTERS = 'abcdefghijkmnpqrstuvwxyz23456789'
const LENGTH = 20

/** 32 letters divide 256 evenly, so every letter is as likely as another. */
export function idMaker(bytes: (size: number) => Uint8Array): () => string {
  return () => Array.from(bytes(LENGTH), (byte) => LETTERS[byte % LETTERS.length]).join('')
}
