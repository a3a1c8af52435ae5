/** How German counts, lists and dates things. */
import { localeOf } from '../locale.js'

const LOCALE = localeOf('de', 'de-DE')

export const plural = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`
const COUNTED = [
  'keine',
  'eine',
  'zwei',
  'drei',
  'vier',
  'fünf',
  'sechs',
  'sieben',
  'acht',
  'neun',
  'zehn',
  'elf',
  'zwölf',
]
/** 'eine', 'zwei' …: in front of a feminine noun where it is one. */
export const counted = (count: number): string => COUNTED[count] ?? String(count)
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
/** 'Klavier, Bass und Schlagzeug'. */
export const listed = (names: readonly string[], and: 'und' | 'oder' = 'und'): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} ${and} ${names.at(-1) ?? ''}`
export const halfSteps = (count: number): string => (count === 1 ? 'einen Halbton' : `${counted(count)} Halbtöne`)
export const date = new Intl.DateTimeFormat(LOCALE, { weekday: 'long', day: 'numeric', month: 'long' })
export const printDate = new Intl.DateTimeFormat(LOCALE, { day: 'numeric', month: 'short', year: 'numeric' })
export const moment = new Intl.DateTimeFormat(LOCALE, { weekday: 'long', hour: '2-digit', minute: '2-digit' })
export const dateTime = new Intl.DateTimeFormat(LOCALE, {
  day: 'numeric',
  month: 'long',
  hour: '2-digit',
  minute: '2-digit',
})
