import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { drawn, madeTune } from '../../../../tests/fixtures/made-tunes.js'
import { chordField, melodyField } from '../../../../tests/fixtures/rows.js'
import { bassOf } from '../../chords/index.js'
import { validate } from '../../check/index.js'
import { barsBefore, defaultPlan } from '../../compile/index.js'
import type { ArrangedBar, Chosen, Option, Plan, Tune } from '../../contract/index.js'
import { judgeMelody, neighboursOf } from '../../fit/index.js'
import { readTune } from '../../read/index.js'
import { barTicks, mod, must, pitchClass, tonicOf } from '../../units/index.js'
import type { Offer } from '../recipe.js'
import { openingRecipes } from './index.js'

interface Opened {
  readonly offer: Offer
  readonly bars: readonly ArrangedBar[]
  readonly made: readonly ArrangedBar[]
}

function chosenOf({ recipe, title, params, summary, reason }: Offer): Chosen {
  const option: Option = { id: `${recipe}-x`, kind: 'opening', recipe, title, params, summary, reason, score: 0 }
  return { kind: 'opening', option }
}

function openings(plan: Plan, bars: readonly ArrangedBar[]): readonly Opened[] {
  return openingRecipes.flatMap((recipe) => {
    const answer = recipe.offer({ tune: plan.tune, plan, bars, wish: {} })
    if ('absent' in answer) {
      expect(answer.absent, recipe.id).toMatch(/^[A-Z].*\.$/)
      return []
    }
    return answer.offers.map((offer) => {
      const done = recipe.apply(bars, chosenOf(offer), { tune: plan.tune, plan })
      expect(done.issues, offer.title).toEqual([])
      return { offer, bars: done.bars, made: done.bars.filter(({ pass }) => pass === 'opening') }
    })
  })
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

/** Every law an opening keeps; the broken ones in words. */
function broken(plan: Plan): readonly string[] {
  const before = barsBefore(plan, 'opening')
  const had = clashes(before)
  const first = must(
    before.find((bar) => bar.lengthTicks === barTicks(bar.metre)),
    'a full bar',
  )
  const hasPickup = before[0] !== first
  const out: string[] = []
  const seen = new Map<string, string>()
  const all = openings(plan, before)
  for (const { offer, bars, made } of all) {
    const say = (text: string): void => void out.push(`${offer.title}: ${text}`)
    const added = made.length
    if (added !== offer.params['bars']) say(`${added} bars, params say ${String(offer.params['bars'])}`)
    if (!/^[A-Z♭♯0-9].*\.$/.test(offer.summary)) say(`'${offer.summary}' is no sentence`)
    if (offer.reason.length === 0) say('no reason')
    const print = bars.map((bar) => `${chordField(bar.chords)} ${melodyField(bar)} ${bar.feel}`).join('|')
    if (seen.has(print)) say(`the same as ${seen.get(print)}`)
    seen.set(print, offer.title)
    // The tune's own bars are compared below.
    const around = bars.slice(0, added + 2)
    for (const clash of clashes(around)) if (!had.has(clash)) say(`new clash ${clash}`)
    for (const [index, bar] of bars.entries()) {
      const isShortLead = index === 0 && bar.lengthTicks < barTicks(bar.metre)
      const isClosing = index === bars.length - 1 && must(bars[0], 'a bar').lengthTicks < barTicks(bar.metre)
      if (bar.lengthTicks !== barTicks(bar.metre) && !isShortLead && !isClosing) say(`bar ${index + 1} is short`)
      if (bar.chords[0]?.startTick !== 0) say(`bar ${index + 1} has no first chord`)
      if (bar.chords.reduce((sum, { durationTicks }) => sum + durationTicks, 0) !== bar.lengthTicks)
        say(`bar ${index + 1} is not filled`)
      for (const note of bar.melody)
        if (note.startTick + note.durationTicks > bar.lengthTicks) say(`${note.name} runs past bar ${index + 1}`)
    }
    for (const bar of made) {
      const { decision, optionId, tuneBar } = bar.provenance
      if (decision !== 'opening' || optionId !== `${offer.recipe}-x`) say('provenance')
      const isQuoted = offer.recipe === 'quote' || offer.recipe === 'own-verse'
      if ((tuneBar !== undefined) !== isQuoted) say('tune bar')
      if (bar.metre.beats !== first.metre.beats || bar.metre.beatType !== first.metre.beatType) say('metre')
      if (bar.key.fifths !== first.key.fifths || bar.sectionId !== 'opening') say('key or section')
      if (bar.feel !== first.feel && offer.recipe !== 'own-verse') say('feel')
    }
    // The tune itself: every note and chord of it, after the opening, in its order.
    const rest = bars.slice(added)
    const own = hasPickup && added > 0 ? before.slice(1) : before
    if (rest.length !== own.length) say('the tune lost bars')
    for (const [index, bar] of rest.entries()) {
      if (bar.melody !== own[index]?.melody) say(`melody of tune bar ${index + 1}`)
      if (bar.chords[0]?.chord !== own[index]?.chords[0]?.chord) say(`chord of tune bar ${index + 1}`)
    }
    if (hasPickup && added > 0) {
      const lead = must(before[0], 'a pickup').melody.map(({ midi }) => midi)
      const end = must(made.at(-1), 'the last opening bar').melody.map(({ midi }) => midi)
      if (end.slice(-lead.length).join() !== lead.join()) say('the pickup is lost')
    }
    if (offer.recipe === 'dominant-pedal') {
      for (const bar of made) {
        const bass = bassOf(must(bar.chords[0], 'a chord').chord)
        const five = mod(pitchClass(tonicOf(first.key.key)) + 7, 12)
        if (bass === undefined || pitchClass(bass) !== five) say(`bass ${bass}`)
      }
    }
    if (added > 0 && !offer.reason.some(({ rule }) => rule === 'OP2')) say('no connection named')
    const loose = offer.reason.some(({ rule, text }) => rule === 'OP2' && text.includes('does not lead'))
    const flagged = validate({ version: 1, title: '', lineup: [], groove: '', bars: around }).some(
      ({ code, message }) => code === 'VA12' && message.includes('opening'),
    )
    if (flagged && !loose && offer.recipe !== 'vamp') say('the checker finds no connection')
  }
  const count = all.length
  if (count < 8) out.push(`only ${count} openings`)
  return out
}

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

describe('[OP15] laws of openings: eight or more, all different, no new clash', () => {
  for (const { title, abc } of DEMO_TUNES) {
    it(title, () => expect(broken(defaultPlan(tuneOf(abc)))).toEqual([]))
  }
  it('made tunes in many keys and metres, with and without a pickup', () => {
    for (let seed = 1; seed <= 28; seed++) {
      const plan = defaultPlan(madeTune(seed))
      expect(broken({ ...plan, roadmap: plan.roadmap.slice(0, 1) }), `seed ${seed}`).toEqual([])
    }
  }, 60_000)
  it('[OP11] in another key, after a lift inside the only chorus, in the groove chosen', () => {
    const tune = tuneOf(must(DEMO_TUNES[0], 'a tune').abc)
    const plan = defaultPlan(tune)
    const one = { ...plan, roadmap: plan.roadmap.slice(0, 1), key: 'Db major' as const }
    const lift = {
      id: 'l',
      kind: 'lift',
      recipe: 'sus-dominant',
      title: 'lift',
      params: { semitones: 2, preparation: 'sus-dominant', aim: 'arrival' },
      summary: '',
      reason: [],
      score: 0,
      at: { passId: 'chorus-1', sectionId: 'B1' },
    } as const
    const groove = {
      ...lift,
      id: 'g',
      kind: 'groove',
      recipe: 'seven-4-even',
      params: { groove: 'seven-4-even', metre: '7/4', tempoBpm: 140 },
    } as const
    const { at: _at, ...grooveOption } = groove
    for (const chosen of [
      [],
      [{ kind: 'lift', option: lift }],
      [{ kind: 'groove', option: grooveOption }],
      [
        { kind: 'lift', option: lift },
        { kind: 'groove', option: grooveOption },
      ],
    ] as const) {
      expect(broken({ ...one, chosen }), JSON.stringify(chosen.map(({ kind }) => kind))).toEqual([])
    }
  })
  it('[OP13] any params leave whole bars behind', () => {
    const draw = drawn(7)
    const values = [undefined, 0, 1, 3, 4, 8, 65, -1, 0.5, 'rising', 'rubato', true, ['bII'], null, 58]
    const plan = defaultPlan(madeTune(3))
    const bars = barsBefore(plan, 'opening')
    for (let round = 0; round < 400; round++) {
      const recipe = must(openingRecipes[draw(openingRecipes.length)], 'a recipe')
      const entries = ['bars', 'form', 'connected', 'feel', 'sections', 'tempoBpm'].map((name) => [
        name,
        values[draw(values.length)],
      ])
      const params = Object.fromEntries(entries.filter(([, value]) => value !== undefined)) as Option['params']
      const offer = { recipe: recipe.id, title: 'x', params, summary: '', reason: [] } as unknown as Offer
      const done = recipe.apply(bars, chosenOf(offer), { tune: plan.tune, plan })
      if (done.issues.length > 0) expect(done.bars).toBe(bars)
      else
        for (const bar of done.bars)
          expect(bar.chords.reduce((sum, { durationTicks }) => sum + durationTicks, 0)).toBe(bar.lengthTicks)
    }
  })
})
