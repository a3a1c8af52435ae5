/** How wide words are in a Times-like face, near enough to place what stands beside them; a worker has no page to ask. */

/** Thousandths of the size, bold. Source: the face's published metrics, from memory. */
const WIDTHS: { readonly [letter: string]: number } = {
  ...widths(250, ' .,·'),
  ...widths(278, 'il'),
  ...widths(333, 'fjt-():;/'),
  ...widths(389, 'sI'),
  ...widths(444, 'cerz'),
  ...widths(500, 'agovxyJ0123456789–'),
  ...widths(556, 'bdhknpquS'),
  ...widths(611, 'FP'),
  ...widths(667, 'BELTZ'),
  ...widths(722, 'wACDNRUVXY'),
  ...widths(778, 'GHKOQ'),
  ...widths(833, 'm'),
  ...widths(1000, 'WM'),
}
const USUAL = 570

function widths(width: number, letters: string): { [letter: string]: number } {
  return Object.fromEntries(letters.split('').map((letter) => [letter, width]))
}

export const textWidth = (text: string, size: number): number =>
  (text.split('').reduce((sum, letter) => sum + (WIDTHS[letter] ?? USUAL), 0) * size) / 1000
