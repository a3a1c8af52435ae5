/** Figures run together after the root, each accidental behind its own figure: '79♭', '7911♯13' as data sets of harmony write them. */
import { toneAt } from './chord-tones.js'

export interface FigureRun {
  /** 7, or 69 for 6/9. */
  readonly figure: 7 | 69
  /** The tensions in the order written; alter 0 is natural. */
  readonly tensions: readonly { readonly degree: number; readonly alter: number }[]
  /** The same signs could stand before their figures and name another chord: '79b13'. */
  readonly isOpen: boolean
  readonly length: number
}

const RUN = /^(7|69)((?:(?:9|11|13)[b#]?)+)(?![\db#])/
const BEHIND = /(9|11|13)([b#]?)/g
const BEFORE = /([b#]?)(9|11|13)/g
const ALTER: { readonly [sign: string]: number } = { '': 0, b: -1, '#': 1 }

/** The run that begins at `at`; undefined where an ordinary figure stands there. */
export function figureRun(text: string, at: number): FigureRun | undefined {
  const second = text.charCodeAt(at + 1)
  if (!(second >= 48 && second <= 57)) return undefined
  const found = RUN.exec(text.slice(at))
  if (!found) return undefined
  const rest = found[2] as string
  const behind = [...rest.matchAll(BEHIND)].map(([, degree, sign]) => tension(degree, sign))
  const before = /[b#]$/.test(rest) ? [] : [...rest.matchAll(BEFORE)].map(([, sign, degree]) => tension(degree, sign))
  const beforeReads = before.length > 0 && before.every(isTone)
  const behindReads = behind.every(isTone)
  if (new Set(behind.map(({ degree, alter }) => degree * 10 + alter)).size < behind.length) return undefined
  if (!behindReads && !beforeReads) return undefined
  return {
    figure: found[1] === '69' ? 69 : 7,
    tensions: behindReads ? behind : before,
    isOpen: behindReads && beforeReads && JSON.stringify(behind) !== JSON.stringify(before),
    length: found[0].length,
  }
}

const tension = (degree = '', sign = ''): { degree: number; alter: number } => ({
  degree: Number(degree),
  alter: ALTER[sign] ?? 0,
})

function isTone({ degree, alter }: { readonly degree: number; readonly alter: number }): boolean {
  return toneAt(degree, alter) !== 0
}
