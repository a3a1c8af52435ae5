/** Sentences of the music package on a page: with real signs, the reader's note names, and marked as English where the page speaks another language. */
import { html, type TemplateResult } from 'lit'
import { words } from '../words.js'
import { beatSign } from './signs.js'
import { noteName, noteNames, withSigns } from './note-names.js'

/** A note or a chord's root: a capital letter, its signs, then a chord's suffix, a figure, or the end of the word. */
const NOTE =
  /(?<![A-Za-z♭♯#])([A-G](?:b{1,2}|#{1,2}|♭{1,2}|♯{1,2})?)(?=(?:m|maj|min|dim|aug|sus|add|alt)(?![a-z]{2})|(?![A-Za-z]))/g
/** Sentences in which letters are sections of the form. */
const OF_SECTIONS = /\b(?:sections?|Free|freely|rubato for)\b/
/** 'A' before a word is the article, unless the word can follow a note. */
const ARTICLE =
  /^ (?!(?:is|major|minor|and|or|of|to|in|on|under|over|while|then|comes|with|are|becomes|leads?|stays?|for)\b)[a-z]/

/** Signs of chord qualities after a root, and how the bars on the page write them: one page, one spelling. Common practice. */
const SIGNS: readonly (readonly [RegExp, (figure: string) => string])[] = [
  [/(?<=[A-G][b#♭♯]{0,2})ø7?/g, () => 'm7♭5'],
  [/(?<=[A-G][b#♭♯]{0,2})m∆(\d*)/g, (figure) => `mMaj${figure || '7'}`],
  [/(?<=[A-G][b#♭♯]{0,2})∆(\d*)/g, (figure) => `maj${figure || '7'}`],
]

/** The sentence in plain text, as attributes and titles need it. */
export function musicWords(given: string): string {
  const text = SIGNS.reduce(
    (said, [sign, spelt]) =>
      said.replace(sign, (_all, figure: unknown) => spelt(typeof figure === 'string' ? figure : '')),
    given,
  )
  if (noteNames() === 'letters') return withSigns(text)
  const isOfSections = OF_SECTIONS.test(text)
  return text.replace(NOTE, (note: string, _letter: string, at: number) => {
    const rest = text.slice(at + note.length)
    if (note.length === 1 && (isOfSections || (note === 'A' && ARTICLE.test(rest)))) return note
    return noteName(note.replaceAll('♭', 'b').replaceAll('♯', '#'))
  })
}

/** The beat a tempo counts, as a note: 'quarter = 138', 'dotted quarter = 50'. */
const BEAT = /(?:dotted )?(?:quarter|half)(?= = \d)/

/** The sentence as content of a page. */
export function musicText(text: string): TemplateResult | string {
  const said = withBeats(musicWords(text))
  return words.music.inEnglish === '' ? said : html`<span lang="en">${said}</span>`
}

function withBeats(text: string): TemplateResult | string {
  const beat = BEAT.exec(text)
  if (!beat) return text
  const [name] = beat
  return html`${text.slice(0, beat.index)}<span class="nb"
      ><span class="vh">${name}</span>${beatSign(name.endsWith('half'), name.startsWith('dotted'))}${
        /^ = \d+/.exec(text.slice(beat.index + name.length))?.[0]
      }</span
    >${text.slice(beat.index + name.length).replace(/^ = \d+/, '')}`
}
