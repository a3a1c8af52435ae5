/** How English counts, lists and dates things. */
import { localeOf } from '../locale.js'

const LOCALE = localeOf('en', 'en-GB')
export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
export const COUNTED = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]
export const counted = (count: number): string => COUNTED[count] ?? String(count)
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
/** 'piano, bass and drums'. */
export const listed = (names: readonly string[], and: 'and' | 'or' = 'and'): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${and} ${names.at(-1) ?? ''}`
export const halfSteps = (count: number): string => (count === 1 ? 'a half step' : `${counted(count)} half steps`)
export const date = new Intl.DateTimeFormat(LOCALE, { weekday: 'long', day: 'numeric', month: 'long' })
export const printDate = new Intl.DateTimeFormat(LOCALE, { day: 'numeric', month: 'short', year: 'numeric' })
export const moment = new Intl.DateTimeFormat(LOCALE, { weekday: 'long', hour: '2-digit', minute: '2-digit' })
export const dateTime = new Intl.DateTimeFormat(LOCALE, {
  day: 'numeric',
  month: 'long',
  hour: '2-digit',
  minute: '2-digit',
})
