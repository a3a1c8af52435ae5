/** Lifts between any keys, two in one arrangement, and what players read after them. LONG=1 for every pair and every instrument. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type ArrangedBar,
  type Chosen,
  type Option,
  type Plan,
  type SectionRef,
  type Tune,
  compile,
  defaultPlan,
  findOption,
  keyAway,
  keySignatureOf,
  LINEUPS,
  proposeOptions,
  readTune,
  validate,
} from '@chartloft/shared-theory'
import { KEYS_24, PAIR_METRES, keyPairs, nameOfPair } from '../fixtures/key-pair-tunes.js'
import { drawn, madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { choose, measurePair, measureSameMode } from './lift-pairs.js'
import { readingsOf } from './lift-parts.js'

const LONG = process.env['LONG'] === '1'
const DISTANCES = [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6]

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}
const [lantern, bell] = DEMO_TUNES.map(({ abc }) => tuneOf(abc)) as [Tune, Tune]

const errorsOf = (plan: Plan): readonly string[] => {
  const { arrangement, issues } = compile(plan)
  return [...issues, ...validate(arrangement, { plan })]
    .filter(({ severity }) => severity === 'error')
    .map(({ code, message }) => `${code} ${message}`)
}

/** Errors by kind and place: a tune that clashes of itself clashes on in another key, in other words. */
const faultsOf = (plan: Plan): readonly string[] => {
  const { arrangement, issues } = compile(plan)
  return [...issues, ...validate(arrangement, { plan })]
    .filter(({ severity }) => severity === 'error')
    .map(({ code, path }) => `${code} ${path}`)
}

describe('[LI17] from any key to any other', () => {
  const pairs = keyPairs().filter((_, index) => LONG || index % 13 === 0)
  it(
    `${pairs.length} of the 552 ordered pairs: prepared, arrived, moved, spelled, no new error`,
    { timeout: 600_000 },
    () => {
      const found = pairs.map((pair) => measurePair(pair))
      expect(found.filter(({ prepared }) => prepared.length === 0).map(({ name }) => name)).toEqual([])
      expect(found.flatMap(({ name, faults }) => faults.map((fault) => `${name}: ${fault}`)).slice(0, 10)).toEqual([])
      expect(Math.max(...found.map(({ mostChords }) => mostChords))).toBeLessThanOrEqual(3)
    },
  )
  it('all pairs are meant: 24 keys, every distance, metre and approach among them', () => {
    const all = keyPairs()
    expect(new Set(all.map(({ from, to }) => `${from} ${to}`)).size).toBe(552)
    expect(new Set(all.map(({ lift }) => lift))).toEqual(new Set(DISTANCES))
    expect(new Set(all.map(({ metre }) => metre)).size).toBe(PAIR_METRES.length)
    expect(new Set(all.map(nameOfPair)).size).toBe(552)
  })
  it(
    '24 keys by every distance of their mode: each preparation is offered or refused in words',
    { timeout: 600_000 },
    () => {
      const cases = KEYS_24.flatMap((from) => DISTANCES.map((lift) => ({ from, lift }))).filter(
        (_, index) => LONG || index % 7 === 0,
      )
      for (const [index, { from, lift }] of cases.entries()) {
        const to = keyAway(keySignatureOf(from), lift).key
        const metre = PAIR_METRES[index % PAIR_METRES.length] ?? { beats: 4, beatType: 4 }
        const found = measureSameMode({ from, to, lift, metre, approach: 'rest', isOffTonic: false })
        expect(found.prepared, found.name).toBeGreaterThanOrEqual(1)
        expect([...found.unexplained, ...found.faults], found.name).toEqual([])
      }
    },
  )
})

describe('[LI10] two lifts in one arrangement', () => {
  const plan = defaultPlan(lantern)
  const B: SectionRef = { passId: 'chorus-last', sectionId: 'B1' }
  const A3: SectionRef = { passId: 'chorus-last', sectionId: 'A3' }
  const pick = (options: readonly Option[], id: string): Option => {
    const option = options.find((one) => one.id === id)
    if (!option) throw new Error(`${id} is not among ${options.map((one) => one.id).join(' ')}`)
    return option
  }
  const first = pick(proposeOptions(lantern, 'lift', plan, B), 'up-2-sus-dominant')
  const once: Plan = { ...plan, chosen: [choose(first)] }
  const second = pick(proposeOptions(lantern, 'lift', once, A3), 'up-1-dominant')
  const twice: Plan = { ...once, chosen: [...once.chosen, choose(second)] }
  const keysOf = (bars: readonly ArrangedBar[]): readonly string[] => [...new Set(bars.map(({ key }) => key.key))]
  const barsOf = (made: Plan): readonly ArrangedBar[] => compile(made).arrangement.bars

  it('the second is proposed from where the first has moved the music', () => {
    expect(second.title).toBe('Up a half step to A♭ major, V7')
    expect(second.summary).toContain('all is in A♭ major')
    expect(proposeOptions(lantern, 'lift', once, B)).toEqual(proposeOptions(lantern, 'lift', plan, B))
    expect(proposeOptions(lantern, 'lift', once)).toEqual(proposeOptions(lantern, 'lift', plan))
  })
  it('key, melody and chords add up; what is before each stays', () => {
    const [plain, lifted, both] = [plan, once, twice].map(barsOf) as [ArrangedBar[], ArrangedBar[], ArrangedBar[]]
    expect(keysOf(both)).toEqual(['F major', 'G major', 'Ab major'])
    const start = both.findIndex(({ key }) => key.key === 'Ab major')
    expect(both.slice(0, start - 1)).toEqual(lifted.slice(0, start - 1))
    for (const [index, bar] of both.entries()) {
      const shift = bar.key.key === 'F major' ? 0 : bar.key.key === 'G major' ? 2 : 3
      expect(bar.melody.map(({ midi }) => midi - shift)).toEqual(plain[index]?.melody.map(({ midi }) => midi))
    }
    expect(errorsOf(twice)).toEqual([])
  })
  it('with an opening, an ending, new harmony and backgrounds: everything after moves', () => {
    const septet: Plan = { ...twice, lineup: LINEUPS['septet'] ?? [] }
    for (const kind of ['ending', 'opening', 'harmony'] as const) {
      for (const option of proposeOptions(lantern, kind, septet).slice(0, LONG ? 12 : 3)) {
        const made = { ...septet, chosen: [...septet.chosen, choose(option)] }
        expect(errorsOf(made), option.id).toEqual([])
        if (kind !== 'ending') continue
        const { bars } = compile(made).arrangement
        expect(bars.at(-1)?.key.key, option.id).toBe('Ab major')
        expect(bars.at(-1)?.chords.at(-1)?.chord.root, option.id).toBe('Ab')
      }
    }
    const solo: Plan = {
      ...septet,
      chosen: [first, second].map((option, index): Chosen => ({
        kind: 'lift',
        option,
        at: { passId: index === 0 ? 'solo-1' : 'chorus-last', sectionId: 'B1' },
      })),
    }
    expect(solo.roadmap.some(({ id }) => id === 'solo-1')).toBe(true)
    expect(errorsOf(solo)).toEqual([])
  })
  it('without the first, the second goes as far as before from where the music is, and says that its key is another', () => {
    const alone: Plan = { ...plan, chosen: [choose(second)] }
    expect(keysOf(barsOf(alone))).toEqual(['F major', 'Gb major'])
    expect(errorsOf(alone)).toEqual([])
    expect(compile(alone).issues.map(({ code, severity, message }) => `${code} ${severity} ${message}`)).toEqual([
      'LI10 note Up a half step to A♭ major, V7: it starts from another key now, so it leads to G♭ major.',
    ])
    expect(compile(twice).issues).toEqual([])
  })
  it('up and down again comes home', () => {
    const back = proposeOptions(lantern, 'lift', once, A3).find(({ params }) => params['semitones'] === -2)
    if (!back) throw new Error('no way back')
    expect(back.title).toContain('to F major')
    expect(keysOf(barsOf({ ...once, chosen: [...once.chosen, choose(back)] }))).toEqual(['F major', 'G major'])
  })
  it('two at one bar are one place: the last counts, and it is said', () => {
    const whole: Chosen = { kind: 'lift', option: second, at: { passId: 'chorus-last' } }
    const section: Chosen = { kind: 'lift', option: first, at: { passId: 'chorus-last', sectionId: 'A1' } }
    const { arrangement, issues } = compile({ ...plan, chosen: [whole, section] })
    expect(keysOf(arrangement.bars)).toEqual(['F major', 'G major'])
    expect(issues.map(({ code, severity }) => `${code} ${severity}`)).toContain('CO12 warning')
    expect(errorsOf({ ...plan, chosen: [whole, section] })).toEqual([])
  })
  it('one bar after another: the first arrives in peace, the second comes unprepared and says so', () => {
    const close: Plan = {
      ...once,
      chosen: [...once.chosen, { kind: 'lift', option: second, at: { ...B, fromBar: 1 } }],
    }
    const bars = barsOf(close)
    const arrival = bars.findIndex(({ key }) => key.key === 'G major')
    expect(bars[arrival]?.chords[0]?.chord.symbol).toBe('Cmaj7')
    expect(bars[arrival + 1]?.key.key).toBe('Ab major')
    expect(
      compile(close)
        .issues.map(({ code, message }) => `${code} ${message}`)
        .join(),
    ).toMatch(/LI10 .*unprepared/)
  })
  it('any two places of made tunes: no new error, keys add up', () => {
    for (let seed = 1; seed <= (LONG ? 60 : 5); seed++) {
      const tune = seed % 4 === 0 ? tuneOf(MORE_TUNES[seed % MORE_TUNES.length] as string) : madeTune(seed)
      const draw = drawn(seed * 31)
      const base = defaultPlan(tune)
      const known = new Set(faultsOf(base))
      const places = base.roadmap.flatMap(({ id, sections }, pass) =>
        sections.flatMap((sectionId, place) => (pass + place > 0 ? [{ passId: id, sectionId }] : [])),
      )
      const one = draw(places.length - 1)
      const two = one + 1 + draw(places.length - one - 1)
      let made = base
      for (const at of [places[one], places[two]] as readonly SectionRef[]) {
        const options = proposeOptions(tune, 'lift', made, at)
        const option = options[draw(Math.min(12, options.length))] as Option
        made = { ...made, chosen: [...made.chosen, { kind: 'lift', at, option }] }
      }
      const named = `seed ${seed}: ${made.chosen.map(({ option, at }) => `${option.id}@${JSON.stringify(at)}`).join(' ')}`
      expect(
        faultsOf(made).filter((fault) => !known.has(fault)),
        named,
      ).toEqual([])
      const sum = made.chosen.reduce((total, { option }) => total + Number(option.params['semitones']), 0)
      const [before, after] = [base, made].map((each) => compile(each).arrangement.bars.at(-1))
      expect(
        after?.melody.map(({ midi }) => (midi - sum + 120) % 12),
        named,
      ).toEqual(before?.melody.map(({ midi }) => midi % 12))
    }
  })
})

describe('[PR9] rare distances', () => {
  it('go by their short names where "show me more" or a wish has brought them', () => {
    const plan = defaultPlan(lantern)
    for (const [name, semitones] of [
      ['up-5', 5],
      ['down-6', -6],
    ] as const) {
      expect(findOption(proposeOptions(lantern, 'lift', plan), name)).toBeUndefined()
      for (const wish of [{ more: 1 }, { semitones }])
        expect(findOption(proposeOptions(lantern, 'lift', plan, undefined, wish), name)?.params['semitones']).toBe(
          semitones,
        )
    }
  })
})

describe('[LI8] what players read after a lift', () => {
  it('never more than six accidentals in a signature, no chord root with a double one', { timeout: 600_000 }, () => {
    const read = [lantern, bell].map((tune) => readingsOf(tune, LONG ? 1 : 8))
    for (const { parts, mostInSignature, doubleRoots, notes, doubles } of read) {
      expect(parts).toBeGreaterThanOrEqual(24)
      expect(mostInSignature).toBeLessThanOrEqual(6)
      expect(doubleRoots).toBe(0)
      // A lowered third or a raised leading note keeps its letter: at most one note in two hundred.
      expect(doubles / notes).toBeLessThanOrEqual(0.005)
    }
  })
})

describe('[PR13] mends for a part out of range', () => {
  const trumpet = { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' } as const
  const remedy = (plan: Plan, semitones: number): string =>
    proposeOptions(plan.tune, 'lift', plan, undefined, { semitones })
      .find(({ params }) => params['octave'] === undefined && params['semitones'] === semitones)
      ?.reason.find(({ rule }) => rule === 'PR13')?.text ?? ''
  const septet: Plan = { ...defaultPlan(lantern), lineup: LINEUPS['septet'] ?? [] }
  it('an octave, another lead, a lower start: those that work in this band', () => {
    // Worked examples, section 5: the trumpet's top is G5; +3 reaches A♭5, +4 A5; the alto's top is A♭5.
    expect(remedy(septet, 3)).toBe(
      "A♭5 is above the trumpet's G5; what helps: the trumpet plays an octave lower from there, or the alto sax takes the lead, or the tune starts a half step lower",
    )
    expect(remedy(septet, 4)).toBe(
      "A5 is above the trumpet's G5; what helps: the trumpet plays an octave lower from there, or the tune starts a whole step lower",
    )
    expect(remedy(septet, 2)).toBe('')
  })
  it('each mend, carried out, mends', () => {
    const alone: Plan = { ...defaultPlan(lantern), lineup: [trumpet] }
    const options = proposeOptions(lantern, 'lift', alone, undefined, { semitones: 3 })
    const high = (plan: Plan): readonly string[] =>
      validate(compile(plan).arrangement, { plan }).flatMap(({ code, message }) => (code === 'VA6' ? [message] : []))
    const [plain, low] = [undefined, -1].map((octave) => options.find(({ params }) => params['octave'] === octave))
    if (!plain || !low) throw new Error('the octave is not offered')
    expect(plain.effects?.outOfRange).toEqual(['trumpet'])
    expect(low.effects?.outOfRange).toBeUndefined()
    expect(high({ ...alone, chosen: [choose(plain)] }).length).toBeGreaterThan(0)
    expect(high({ ...alone, chosen: [choose(low)] })).toEqual([])
    expect(high({ ...alone, chosen: [choose(plain)], key: 'E major' })).toEqual([])
    const alto: Plan = { ...septet, roadmap: septet.roadmap.map((pass) => ({ ...pass, melody: 'alto-sax' })) }
    expect(proposeOptions(lantern, 'lift', alto, undefined, { semitones: 3 })[0]?.effects?.outOfRange).toBeUndefined()
  })
})
