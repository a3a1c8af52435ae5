import { describe, expect, it } from 'vitest'
import { ferryBell, lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { compileForm, defaultPlan } from '../compile/index.js'
import type { Chosen, KeyFit, Option, Plan, Tune } from '../contract/index.js'
import { INSTRUMENTS, LINEUPS } from '../instruments/index.js'
import { keySignatureOf, must } from '../units/index.js'
import { writtenInterval, writtenKey } from '../write/index.js'
import { keysForRange, proposeOptions } from './index.js'

const tune = lanternSlip()
const plan: Plan = { ...defaultPlan(tune), lineup: must(LINEUPS['septet'], 'a septet') }
const lift = (base: Plan, semitones: number, recipe = 'sus-dominant'): Plan => {
  const option = proposeOptions(base.tune, 'lift', base, undefined, { semitones }).find(
    (one: Option) => one.recipe === recipe,
  )
  const known = must(option, `up ${semitones}`)
  const chosen: Chosen = { kind: 'lift', option: known, ...(known.at ? { at: known.at } : {}) }
  return { ...base, chosen: [...base.chosen, chosen] }
}
const spanOf = (base: Plan): readonly [number, number] => {
  const midi = compileForm(base).bars.flatMap(({ melody }) => melody.map((note) => note.midi))
  return [Math.min(...midi), Math.max(...midi)]
}
const at = (fits: readonly KeyFit[], semitones: number): KeyFit =>
  must(
    fits.find((fit) => fit.semitones === semitones),
    `a fit at ${semitones}`,
  )

describe('[PR10] keys for a range', () => {
  it('measures the arrangement as it will sound, with any lift, up or down, in every key', { timeout: 60_000 }, () => {
    for (const made of [tune, ferryBell()] as readonly Tune[]) {
      for (const semitones of [3, -2, 5]) {
        const lifted = lift({ ...plan, tune: made }, semitones, 'direct')
        for (const fit of keysForRange(made, lifted, [55, 72])) {
          expect(spanOf({ ...lifted, key: fit.key }), fit.key).toEqual([fit.lowMidi, fit.highMidi])
          expect(fit.fits).toBe(fit.lowMidi >= 55 && fit.highMidi <= 72)
        }
      }
    }
  })
  it('a lift up asks for a lower start, a lift down for a higher one', () => {
    const range: readonly [number, number] = [62, 79]
    const first = (base: Plan): number => must(keysForRange(tune, base, range)[0], 'a key').semitones
    expect(first(lift(plan, 3))).toBeLessThan(first(plan))
    expect(first(lift(plan, -4, 'direct'))).toBeGreaterThan(first(plan))
  })
  it('the alto voice: only C fits the tune of a twelfth, and a whole step of lift leaves nothing', () => {
    // Alto G3–C5 (55–72); the tune spans E4–F5, thirteen half steps; lifted at its highest section fifteen.
    const fits = keysForRange(tune, plan, [55, 72])
    expect(fits.filter((fit) => fit.fits).map(({ key }) => key)).toEqual(['C major'])
    const lifted = keysForRange(tune, lift(plan, 2), [55, 72])
    expect(lifted.filter((fit) => fit.fits)).toEqual([])
    expect(lifted[0]?.reason).toMatch(/^D5 is 2 half steps too high\./)
  })
  it('what fits comes first, what is nearer the middle of the range before the rest, scores fall', () => {
    const fits = keysForRange(tune, plan, [57, 81])
    const inside = fits.filter((fit) => fit.fits)
    expect(fits.slice(0, inside.length)).toEqual(inside)
    const off = ({ lowMidi, highMidi }: KeyFit): number => Math.abs(lowMidi + highMidi - 57 - 81)
    expect(off(must(inside[0], 'a key'))).toBeLessThanOrEqual(off(must(inside.at(-1), 'a key')))
    for (const [index, { score }] of fits.entries()) expect(score).toBeLessThanOrEqual(fits[index - 1]?.score ?? 1)
  })
  it('the reason says what the transposing players read, before the lift and after', () => {
    const reason = at(keysForRange(tune, lift(plan, 2), [55, 84]), 0).reason
    expect(reason).toContain(
      'Written for Trumpet and Tenor sax: G major, then A major; Alto sax: D major, then E major.',
    )
    expect(at(keysForRange(tune, { ...plan, lineup: [] }, [55, 84]), 0).reason).not.toContain('Written')
  })
  it('a voice an octave away is told so', () => {
    // Baritone A2–E4 (45–64).
    expect(at(keysForRange(tune, plan, [45, 66]), 0).reason).toContain('An octave lower it lies inside.')
  })
  it('equal room: the key that is easier to read wins, for the transposing players too', () => {
    const flat = keysForRange(tune, plan, [40, 100])
    const [sharp, plain] = [at(flat, 6), at(flat, 5)]
    expect(plain.score).toBeGreaterThan(sharp.score)
  })
  it('no part in any of the keys, nor after any lift, has more than six accidentals', () => {
    for (const { key } of keysForRange(tune, plan, [40, 100])) {
      for (const instrument of INSTRUMENTS) {
        const { fifths } = writtenKey(keySignatureOf(key), writtenInterval(instrument, 'written'))
        expect(Math.abs(fifths), `${key} ${instrument.id}`).toBeLessThanOrEqual(6)
      }
    }
  })
})
