/** What a fade does to the notes. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { compile, defaultPlan } from '../compile/index.js'
import type { Chosen } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
import { proposeOptions } from '../propose/index.js'
import { readTune } from '../read/index.js'
import { scheduleEvents } from './schedule.js'

describe('[SC7] a fade', () => {
  it.each(DEMO_TUNES.map(({ id, abc }) => [id, abc] as const))('of %s sounds softer bar after bar', (_id, abc) => {
    const read = readTune('abc', abc)
    if (!read.ok) throw new Error('the tune does not read')
    const plan = { ...defaultPlan(read.value), lineup: LINEUPS['quintet'] ?? [] }
    const option = proposeOptions(read.value, 'ending', plan).find(({ recipe }) => recipe === 'fade')
    if (!option) throw new Error('no fade is offered')
    const { arrangement } = compile({ ...plan, chosen: [{ kind: 'ending', option } satisfies Chosen] })
    const from = arrangement.bars.findIndex(({ mark }) => mark === 'fade')
    const events = scheduleEvents(arrangement, { humanise: false })
    const loudest = arrangement.bars.map(({ barIndex }) =>
      Math.max(0, ...events.filter((event) => event.barIndex === barIndex).map(({ velocity }) => velocity)),
    )
    const own = loudest.slice(from)
    expect(own.length).toBeGreaterThanOrEqual(4)
    // Accents fall where the groove has them: two bars are compared with the two before.
    const pairs = own.slice(0, -1).map((velocity, index) => velocity + (own[index + 1] as number))
    expect(pairs.every((sum, index) => index === 0 || sum <= (pairs[index - 1] as number))).toBe(true)
    expect(own.at(-1)).toBeLessThan((loudest[from - 1] as number) / 10)
    // Before it nothing is softer than without it.
    const plain = scheduleEvents(compile(plan).arrangement, { humanise: false })
    const before = (all: typeof events) => all.filter(({ barIndex }) => barIndex < from - 2)
    expect(before(events)).toEqual(before(plain))
  })
})
