/** Lifts between all keys: how many of the 552 ordered pairs have a prepared path, how long paths are, what players read. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { keyAway, keySignatureOf, modulationPaths, readTune, type Tune } from '@chartloft/shared-theory'
import { APPROACHES, KEYS_24, PAIR_METRES, keyPairs } from '../../fixtures/key-pair-tunes.js'
import { measurePair, measureSameMode } from '../../laws/lift-pairs.js'
import { readingsOf } from '../../laws/lift-parts.js'
import { figure } from '../figure.js'

const DISTANCES = [-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6]

it('552 pairs, each with melody resting, held and busy before the lift', () => {
  const found = APPROACHES.flatMap((approach) => keyPairs([approach]).map((pair) => measurePair(pair)))
  const withPath = found.filter(({ prepared }) => prepared.length > 0).length
  const ways = found.reduce((sum, { prepared }) => sum + prepared.length, 0)
  figure({
    id: 'LI17',
    what: 'ordered key pairs with a prepared lift',
    value: withPath / APPROACHES.length,
    unit: '',
    target: { exactly: 552 },
    note: `of 552, with three melodies each; ${(ways / found.length).toFixed(1)} prepared ways a pair, at least ${Math.min(...found.map(({ prepared }) => prepared.length))}`,
  })
  figure({
    id: 'LI17',
    what: 'faults in them: new errors, unmoved bars, keys missed, spellings unsaid',
    value: found.reduce((sum, { faults }) => sum + faults.length, 0),
    unit: '',
    target: { exactly: 0 },
    note: 'best option of each preparation compiled with the band and checked',
  })
  figure({
    id: 'LI17',
    what: 'most chords of a path between two keys',
    value: Math.max(...found.map(({ mostChords }) => mostChords)),
    unit: 'chords',
    target: { atMost: 2 },
    note: 'Reger 1903 is the model of few chords; his worked answers are not at hand, so nothing is compared',
  })
})

it('paths before any melody', () => {
  const counts = KEYS_24.flatMap((from) =>
    KEYS_24.filter((to) => to !== from).map(
      (to) => modulationPaths(from, to).filter(({ preparation }) => preparation !== 'direct').length,
    ),
  )
  figure({
    id: 'LI17',
    what: 'fewest prepared paths of any key pair',
    value: Math.min(...counts),
    unit: '',
    target: { atLeast: 5 },
    note: `${counts.length} pairs`,
  })
})

it('24 keys by every distance of their mode', () => {
  const found = KEYS_24.flatMap((from) =>
    DISTANCES.map((lift, index) =>
      measureSameMode({
        from,
        to: keyAway(keySignatureOf(from), lift).key,
        lift,
        metre: PAIR_METRES[index % PAIR_METRES.length] ?? { beats: 4, beatType: 4 },
        approach: 'rest',
        isOffTonic: index % 3 === 2,
      }),
    ),
  )
  figure({
    id: 'LI13',
    what: 'lifts of 24 keys by ±1 to ±6 that are prepared, every refusal in words',
    value: found.filter(({ prepared, unexplained, faults }) => prepared > 0 && unexplained.length + faults.length === 0)
      .length,
    unit: '',
    target: { exactly: 288 },
    note: 'of 288',
  })
})

it('what players read after a lift', () => {
  const tunes = DEMO_TUNES.slice(0, 3).map(({ abc }) => (readTune('abc', abc) as { value: Tune }).value)
  const found = tunes.map((tune) => readingsOf(tune))
  const sum = (pick: (one: (typeof found)[number]) => number): number =>
    found.reduce((total, one) => total + pick(one), 0)
  figure({
    id: 'LI8',
    what: 'most accidentals in a written signature after a lift',
    value: Math.max(...found.map(({ mostInSignature }) => mostInSignature)),
    unit: '',
    target: { atMost: 6 },
    note: `${sum(({ parts }) => parts)} parts: 3 tunes, 12 lifts, every instrument`,
  })
  figure({
    id: 'LI8',
    what: 'written notes with a double flat or sharp',
    value: Math.round((sum(({ doubles }) => doubles) / sum(({ notes }) => notes)) * 100_000) / 1000,
    unit: '%',
    target: { atMost: 0.5 },
    note: 'they keep the letter of their interval; chord roots have none',
  })
})
