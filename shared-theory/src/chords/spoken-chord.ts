/** Chord names written out in words, 'B flat half-diminished seventh', brought to the signs of the grammar. */

/** Longer phrases first. A number word stands for its figure only where a chord has one. Common practice. */
const WORDS: readonly (readonly [RegExp, string])[] = [
  [/half[- ]dim(?:inished)?(?: ?(?:7(?:th)?|seventh))?/g, 'ø7'],
  [/diminished/g, 'dim'],
  [/augmented/g, 'aug'],
  [/dominant/g, 'dom'],
  [/suspended/g, 'sus'],
  [/added/g, 'add'],
  [/(?:omitted|without)/g, 'no'],
  [/\b(?:seventh|seven)\b/g, '7'],
  [/\b(?:ninth|nine)\b/g, '9'],
  [/\b(?:eleventh|eleven)\b/g, '11'],
  [/\b(?:thirteenth|thirteen)\b/g, '13'],
  [/\b(?:sixth|six)\b/g, '6'],
  [/\b(?:fifth|five)\b/g, '5'],
  [/\b(?:fourth|four)\b/g, '4'],
  [/\b(?:third|three)\b/g, '3'],
  [/\b(?:second|two)\b/g, '2'],
  [/(?<=\d)(?:th|rd|nd|st)\b/g, ''],
  [/\bpower\b/g, '5'],
  [/\b(?:triad|chord)\b/g, ''],
  [/\band\b/g, ','],
  [/[- ]?double[- ]?flat[- ]?/g, 'bb'],
  [/[- ]?double[- ]?sharp[- ]?/g, '##'],
  [/[- ]?flat(?:ted)?[- ]?/g, 'b'],
  [/[- ]?sharp(?:ed)?[- ]?/g, '#'],
]
const HAS_WORD = /[a-z]{3}|\dth/i

/** The same chord in signs; undefined where no word of these stands in it. The root's letter and case are kept. */
export function spokenToSigns(text: string): string | undefined {
  if (!HAS_WORD.test(text)) return undefined
  const root = text.slice(0, 1)
  let rest = text.slice(1).toLowerCase()
  const before = rest
  for (const [word, sign] of WORDS) rest = rest.replace(word, sign)
  if (rest === before) return undefined
  // A bass note keeps its capital: 'c flat major over g' is not said with small letters.
  rest = rest.replace(/\/ ?([a-g])/g, (_, bass: string) => `/${bass.toUpperCase()}`)
  return root + rest.replace(/ {2,}/g, ' ').trimEnd()
}
