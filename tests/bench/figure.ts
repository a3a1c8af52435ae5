/** A measured figure with its target: what `npm run bench` prints, keeps as JSON, and fails by. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect } from 'vitest'

export type Target = { readonly atLeast: number } | { readonly atMost: number } | { readonly exactly: number }

export interface Figure {
  /** The rule that promises it, as in SPEC.md. */
  readonly id: string
  /** What was measured, in words that need no context. */
  readonly what: string
  readonly value: number
  /** 'symbols/s', '%', 'ms', 'MB' …; '' for counts. */
  readonly unit: string
  readonly target: Target
  /** Sample size, seed, source, conditions. */
  readonly note?: string
  /** Something else measured in the same run, by its name, in the same unit: the page tells how many times as much this is. */
  readonly baseline?: { readonly name: string; readonly value: number }
  /** Where the value is an exponent: what it was fitted on. */
  readonly growth?: {
    readonly by: string
    readonly unit: string
    readonly points: readonly { readonly size: number; readonly cost: number }[]
    readonly r2: number
  }
}

const OUT = fileURLToPath(new URL('../out/bench', import.meta.url))

/** Keeps a figure for the table, then holds it to its target. */
export function figure(measured: Figure): void {
  mkdirSync(OUT, { recursive: true })
  const name = `${measured.id} ${measured.what}`.toLowerCase().replace(/[^a-z0-9]+/g, '-')
  writeFileSync(join(OUT, `${name.slice(0, 120)}.json`), `${JSON.stringify(measured)}\n`)
  const { value, target, what } = measured
  if ('atLeast' in target) expect.soft(value, what).toBeGreaterThanOrEqual(target.atLeast)
  else if ('atMost' in target) expect.soft(value, what).toBeLessThanOrEqual(target.atMost)
  else expect.soft(value, what).toBe(target.exactly)
}

/** Milliseconds of processor time some work takes, the median of several runs: the promises are for one core, whatever else the machine does. */
export function processorMs(work: () => void, rounds = 5): number {
  const times = Array.from({ length: rounds }, () => {
    const start = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(start)
    return (user + system) / 1000
  })
  return times.sort((a, b) => a - b)[Math.floor(rounds / 2)] as number
}
