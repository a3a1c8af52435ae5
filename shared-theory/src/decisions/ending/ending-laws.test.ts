import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { drawn, madeTune } from '../../../../tests/fixtures/made-tunes.js'
import { chordField, melodyField } from '../../../../tests/fixtures/rows.js'
import { validate } from '../../check/index.js'
import { barsBefore, defaultPlan } from '../../compile/index.js'
import type { ArrangedBar, Chosen, Option, Plan, Tune } from '../../contract/index.js'
import { fitOf, judgeMelody, neighboursOf } from '../../fit/index.js'
import { readTune } from '../../read/index.js'
import { barTicks, must, nameOfPitch } from '../../units/index.js'
import { openingRecipes } from '../opening/index.js'
import type { Offer } from '../recipe.js'
import { endingRecipes } from './index.js'

function chosenOf({ recipe, title, params, summary, reason }: Offer, kind: 'opening' | 'ending' = 'ending'): Chosen {
  return { kind, option: { id: `${recipe}-x`, kind, recipe, title, params, summary, reason, score: 0 } }
}

/** Hard notes by name and chord, wherever they stand. */
function clashes(bars: readonly ArrangedBar[]): ReadonlySet<string> {
  const found = new Set<string>()
  for (const [index, bar] of bars.entries()) {
    for (const { fit, noteIndex, chordIndex } of judgeMelody(bar, neighboursOf(bars, index))) {
      if (fit === 'hard') found.add(`${bar.melody[noteIndex]?.name}/${bar.chords[chordIndex]?.chord.symbol}`)
    }
  }
  return found
}

/** Every law an ending keeps on these bars; the broken ones in words. */
function broken(plan: Plan, before: readonly ArrangedBar[]): readonly string[] {
  const had = clashes(before)
  const out: string[] = []
  const seen = new Map<string, string>()
  let count = 0
  const hasPickup = must(before[0], 'a bar').lengthTicks < barTicks(must(before[0], 'a bar').metre)
  for (const recipe of endingRecipes) {
    const answer = recipe.offer({ tune: plan.tune, plan, bars: before, wish: {} })
    if ('absent' in answer) {
      if (!/^[A-Z].*\.$/.test(answer.absent)) out.push(`${recipe.id}: '${answer.absent}' is no sentence`)
      continue
    }
    for (const offer of answer.offers) {
      count++
      const say = (text: string): void => void out.push(`${offer.title}: ${text}`)
      const { bars, issues } = recipe.apply(before, chosenOf(offer), { tune: plan.tune, plan })
      if (issues.length > 0) say(issues[0]?.message ?? '')
      if (bars.length - before.length !== offer.params['bars'])
        say(`${bars.length - before.length} bars, params say ${String(offer.params['bars'])}`)
      if (!/^[A-Z♭♯0-9].*\.$/.test(offer.summary) || offer.reason.length === 0) say(`'${offer.summary}' or no reason`)
      const print = bars
        .map((bar) => `${chordField(bar.chords)} ${melodyField(bar)} ${bar.tempoEndBpm} ${bar.fermataTick}`)
        .join('|')
      if (seen.has(print)) say(`the same as ${seen.get(print)}`)
      seen.set(print, offer.title)
      const from = bars.findIndex((bar, index) => bar !== before[index])
      const tail = bars.slice(Math.max(0, from - 1))
      for (const clash of clashes(tail)) if (!had.has(clash)) say(`new clash ${clash}`)
      for (const [index, bar] of tail.entries()) {
        const isLast = index === tail.length - 1
        if (bar.lengthTicks !== barTicks(bar.metre) && !(isLast && hasPickup)) say(`a short bar`)
        let at = 0
        for (const placed of bar.chords) {
          if (placed.startTick !== at || placed.durationTicks <= 0) say('chords do not tile')
          at += placed.durationTicks
        }
        if (at !== bar.lengthTicks) say('a bar is not filled')
        for (const note of bar.melody) {
          if (note.startTick + note.durationTicks > bar.lengthTicks) say(`${note.name} runs past its bar`)
          const next = tail[index + 1]?.melody[0]
          const isTiedOn = note.startTick + note.durationTicks === bar.lengthTicks && next?.startTick === 0
          if (note.tiedToNext && note === bar.melody.at(-1) && !(isTiedOn && next?.midi === note.midi))
            say(`${note.name} is tied to nothing`)
        }
        if (bar.pass === 'ending' && bar.provenance.decision !== 'ending') say('provenance')
        if ((bar.pass === 'ending') !== (bar.sectionId === 'ending')) say('names')
      }
      const last = must(bars.at(-1), 'a last bar')
      const sung = bars.findLast(({ melody }) => melody.length > 0)?.melody.at(-1)
      const chord = must(last.chords.at(-1), 'a chord').chord
      if (sung && recipe.id !== 'as-written' && fitOf(chord, nameOfPitch(sung.name)) === 'hard')
        say(`${sung.name} on ${chord.symbol}`)
      if ((last.fermataTick === undefined) !== (recipe.id === 'button' || recipe.id === 'fade')) say('fermata')
      const faults = validate({ version: 1, title: '', lineup: [], groove: '', bars: tail }).filter(
        ({ code, severity }) => severity === 'error' && (code === 'VA1' || code === 'VA10') && !hasPickup,
      )
      for (const { message } of faults) say(message)
    }
  }
  if (count < 8) out.push(`only ${count} endings`)
  return out
}

const brokenOf = (plan: Plan): readonly string[] => broken(plan, barsBefore(plan, 'ending'))

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

describe('[EN14] laws of endings: eight or more, all different, no new clash', () => {
  for (const { title, abc } of DEMO_TUNES) {
    it(title, () => expect(brokenOf(defaultPlan(tuneOf(abc)))).toEqual([]))
  }
  it('made tunes in many keys and metres, with and without a pickup, closing on any note', () => {
    for (let seed = 1; seed <= 21; seed++) {
      const plan = defaultPlan(madeTune(seed))
      const one = { ...plan, roadmap: plan.roadmap.slice(0, 1) }
      expect(brokenOf(one), `seed ${seed}`).toEqual([])
      // After an opening the pickup is merged and the closing bar is full.
      const bars = barsBefore(one, 'ending')
      const vamp = must(
        openingRecipes.find(({ id }) => id === 'vamp'),
        'the vamp',
      )
      const offer: Offer = {
        recipe: 'vamp',
        title: 'x',
        params: { bars: 4 },
        summary: '',
        reason: [],
        suits: 0,
        energy: 0,
        distance: 0,
        difficulty: 0,
      }
      const opened = vamp.apply(bars, chosenOf(offer, 'opening'), { tune: one.tune, plan: one }).bars
      expect(broken(one, opened), `seed ${seed} after an opening`).toEqual([])
    }
  }, 60_000)
  it('a running order that ends with a solo', () => {
    const plan = defaultPlan(tuneOf(must(DEMO_TUNES[0], 'a tune').abc))
    expect(brokenOf({ ...plan, roadmap: plan.roadmap.slice(0, 2) })).toEqual([])
  })
  it('[EN13] any params leave whole bars behind', () => {
    const draw = drawn(11)
    const values = [undefined, 0, 1, 2, 3, 4, 6, 8, 65, -1, 0.5, 'bII', ['bVI', 'bII'], ['I'], [], true, null, 'I-bVII']
    const plan = defaultPlan(madeTune(5))
    const bars = barsBefore(plan, 'ending')
    for (let round = 0; round < 600; round++) {
      const recipe = must(endingRecipes[draw(endingRecipes.length)], 'a recipe')
      const entries = ['bars', 'chords', 'rate', 'times', 'form'].map((name) => [name, values[draw(values.length)]])
      const params = Object.fromEntries(entries.filter(([, value]) => value !== undefined)) as Option['params']
      const offer = { recipe: recipe.id, title: 'x', params, summary: '', reason: [] } as unknown as Offer
      const done = recipe.apply(bars, chosenOf(offer), { tune: plan.tune, plan })
      if (done.issues.some(({ message }) => message.endsWith('ends as written.'))) expect(done.bars).toBe(bars)
      for (const bar of done.bars)
        expect(bar.chords.reduce((sum, { durationTicks }) => sum + durationTicks, 0)).toBe(bar.lengthTicks)
    }
  })
})
