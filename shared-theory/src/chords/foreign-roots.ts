/** Roots in other languages' names: never guessed at, each answered with the letter an English chart would have. */

/** German and Dutch note names that begin like an English chord. Common practice. */
const SHARP_OR_FLAT_WORD = /^([A-GH])(isis|is|eses|es|s)(?![a-z]*us)/
const SOLFEGE: { readonly [name: string]: string } = {
  do: 'C',
  ut: 'C',
  re: 'D',
  ré: 'D',
  mi: 'E',
  fa: 'F',
  sol: 'G',
  la: 'A',
  si: 'B',
}
const SOLFEGE_WORD = /^(do|ut|re|ré|mi|fa|sol|la|si)(?=$|[^a-z]|b|m|sus|dim|aug|maj|add)/i

/** The mend for a root that is no letter with signs, or undefined where the text is not one of those names. */
export function foreignRootMend(text: string): string | undefined {
  if (/^H(?:$|[^a-z]|m|s)/.test(text) || /^h(?:$|[^a-z])/.test(text))
    return "H is no root here: write 'B' (and 'Bb' for a German B)"
  const german = SHARP_OR_FLAT_WORD.exec(text)
  if (german) {
    const letter = german[1] === 'H' ? 'B' : (german[1] as string)
    const word = german[2] as string
    const sign = word === 'isis' ? '##' : word === 'is' ? '#' : word === 'eses' ? 'bb' : word === 'es' ? 'b' : undefined
    const name = sign !== undefined ? `'${letter}${sign}'` : /[EA]/.test(letter) ? `'${letter}b'` : `'${letter}#'`
    return `roots are named in English: write ${name}`
  }
  const solfege = SOLFEGE_WORD.exec(text)
  if (solfege) return `roots are letters: write '${SOLFEGE[(solfege[1] as string).toLowerCase()]}' for ${solfege[1]}`
  if (/^(?:VII|VI|IV|V|III|II|I)(?![A-Za-z]*[n-z])/.test(text) || /^[1-7](?:$|[-m°ø∆^(\d])/.test(text))
    return 'a degree of the key is no chord by itself: write its root'
  return undefined
}
