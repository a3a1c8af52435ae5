/** What is not sure about a tune, as its page says it beside the place: in the page's language where that has the reader's sentence. */
import type { Issue } from '@chartloft/shared-theory'
import { html, type TemplateResult } from 'lit'
import { musicText, musicWords } from '../look/music-text.js'
import { sayKey } from '../look/say.js'
import { otherReading } from '../words.js'
import { bringWords } from '../words-bring.js'

type Sentences = { readonly [sentence: string]: string }
type Sentence = NonNullable<Issue['sentence']>

const NONE: Sentences = {}
let sentences = NONE

/** Before a file is read: the other language's sentences. Without them the page says the English ones. */
export async function fetchSentences(): Promise<void> {
  if (otherReading && sentences === NONE) sentences = await otherReading().catch(() => sentences)
}

/** The reader's sentence without the place that the page names already. */
export function bareText(message: string): string {
  const text = message.replace(/^(?:Line \d+|(?:Bar \d+|Pickup)(?: \(line \d+\))?(?:, line \d+)?): /, '')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

export const issueText = (issue: Issue): TemplateResult | string =>
  (issue.sentence && translated(issue.sentence, false)) ?? musicText(bareText(issue.message))

/** With its place in the file, where nothing else on the page names it. */
export const placedText = (issue: Issue): TemplateResult | string =>
  (issue.sentence && translated(issue.sentence, true)) ?? musicText(issue.message)

const PLACES = /^(Line \{\}(?:, column \{\}|, K)?|\{\}(?:, line \{\})?|Bar \{\}|Track \{\}): (?=.)/
const TIMES = / \(\{\} places in all\.\)$/

/** A sentence in the other language: values in their places, those that are English still marked so; undefined where it has none. */
export function translated(
  { id, values }: Sentence,
  withPlace: boolean,
  known: Sentences = sentences,
): TemplateResult | undefined {
  const times = TIMES.test(id) ? values.at(-1) : undefined
  const whole = id.replace(TIMES, '')
  const place = whole in known ? '' : (PLACES.exec(whole)?.[1] ?? '')
  const pattern = known[place === '' ? whole : whole.slice(place.length + 2)]
  if (pattern === undefined) return undefined
  const before = place.split('{}').length - 1
  const own = values.slice(before)
  const parts = pattern.split(/\{(\d+e?)\}/).map((part, at) => {
    if (at % 2 === 0) return part
    const value = valueText(own[Number.parseInt(part, 10)] ?? '')
    return part.endsWith('e') ? html`<span lang="en">${value}</span>` : value
  })
  return html`${withPlace && place !== '' ? `${placeText(place, values)}: ` : ''}${parts}${
    times === undefined ? '' : ` ${bringWords.inAll(Number(times))}`
  }`
}

/** 'F major', 'Bar 3 (line 12)', and notes and chords by the names this reader uses. */
function valueText(value: string | number): string {
  const text = String(value)
  const key = /^[A-G][b#]? (major|minor)$/.exec(text)
  if (key) return sayKey({ key: text, mode: key[1] as 'major' | 'minor', fifths: 0 })
  const bar = /^(?:Bar (\d+)|Pickup)(?: \(line (\d+)\))?$/.exec(text)
  if (!bar) return musicWords(text)
  return bringWords.placeOfBar(
    bar[1] === undefined ? 0 : Number(bar[1]),
    bar[2] === undefined ? undefined : Number(bar[2]),
  )
}

function placeText(place: string, values: Sentence['values']): string {
  const [first = '', second] = values
  if (place.startsWith('Line'))
    return bringWords.typing.goTo(Number(first), place.includes('column') ? Number(second) : undefined)
  if (place.startsWith('Track')) return bringWords.track(Number(first))
  if (place.startsWith('Bar')) return bringWords.placeOfBar(Number(first), undefined)
  return valueText(first) + (place.includes('line') ? `, ${bringWords.typing.goTo(Number(second), undefined)}` : '')
}
