/** Both catalogues say the same things: the same keys, and whatever a sentence is given stands in it. */
import { afterEach, describe, expect, it } from 'vitest'
import { speak, words } from '../words.js'
import { german } from './de/index.js'
import { bringing } from './en/bringing.js'
import { compare } from './en/compare.js'
import { english } from './en/index.js'
import { localeOf } from './locale.js'

/** Every sentence and every sentence-maker with its path, as 'desk.lock'. */
function leaves(tree: object, path = ''): Map<string, unknown> {
  const found = new Map<string, unknown>()
  for (const [key, value] of Object.entries(tree)) {
    const here = path ? `${path}.${key}` : key
    if (typeof value === 'object' && value !== null) {
      for (const [inner, leaf] of leaves(value as object, here)) found.set(inner, leaf)
    } else found.set(here, value)
  }
  return found
}

const ENGLISH = leaves({ ...english, compare, bringing })
const GERMAN = leaves({ ...german.words, compare: german.compare, bringing: german.bringing })

/** Words that are the same in both languages, as names, trade terms and signs are. Anything else alike was forgotten. */
const ALIKE =
  /^(name|pages\.board|compare\.topic\.(tempo|voicings)|desk\.band|links\.member|people\.roleNames\.member|people\.links|details\.(instrument|readyNames\.duo)|bringing\.(form|steps\.\d\.status|typing\.helpLines\.\d\.0)|shortcuts\.list\.\d\.keys\.\d|charts\.(papers\.\w+|leadSheet|concert)|music\.(qualities\.(add|minor)|noteNameChoices\.solfege))$/

describe('[UI70] the second language', () => {
  it('has every key of the first, and none besides', () => {
    expect([...GERMAN.keys()].sort()).toEqual([...ENGLISH.keys()].sort())
  })

  it('has a sentence where the first has one, and leaves none in the other language', () => {
    const forgotten = [...ENGLISH].flatMap(([key, said]) => {
      const other = GERMAN.get(key)
      if (typeof said !== typeof other) return [`${key}: ${typeof said}, ${typeof other}`]
      if (typeof said !== 'string' || ALIKE.test(key)) return []
      return said === other || (said !== '' && other === '') ? [`${key}: “${said}”`] : []
    })
    expect(forgotten).toEqual([])
  })

  it('puts into each sentence what the first puts into it', () => {
    const missing: string[] = []
    let compared = 0
    for (const [key, said] of ENGLISH) {
      const other = GERMAN.get(key)
      if (typeof said !== 'function' || typeof other !== 'function') continue
      for (const given of trials(key)) {
        const [first, second] = [answer(said, given), answer(other, given)]
        if (first === undefined || second === undefined) {
          if (first !== second) missing.push(`${key}(${JSON.stringify(given)}): only one of them answers`)
          continue
        }
        compared++
        for (const mark of marksIn(first))
          if (!second.includes(mark)) missing.push(`${key}: ${mark} not in “${second}”`)
      }
    }
    expect(missing).toEqual([])
    expect(compared).toBeGreaterThan(150)
  })

  it('takes as many things as the first', () => {
    const other = [...ENGLISH].flatMap(([key, said]) => {
      const german = GERMAN.get(key)
      return typeof said === 'function' && typeof german === 'function' && said.length !== german.length ? [key] : []
    })
    expect(other).toEqual([])
  })
})

describe('[UI71] the language of a page', () => {
  afterEach(() => speak({ words: english, compare, bringing }))

  it('is the one spoken last, wherever a sentence is said', () => {
    expect(words.player.play).toBe('Play')
    speak(german)
    expect(words.player.play).toBe('Start')
    expect(words.board.left(2)).toBe('Noch zwei Sachen offen')
  })

  it('dates and numbers follow the reader’s own country where the browser names it', () => {
    expect(localeOf('de', 'de-DE', ['fr', 'de-AT'])).toBe('de-AT')
    expect(localeOf('en', 'en-GB', ['de'])).toBe('en-GB')
    expect(localeOf('de', 'de-DE', ['den-CA'])).toBe('de-DE')
  })
})

/** Things to put in: sentinels that can be found again, numbers too large to be written out, and the few shapes some sentences want. */
const TEXTS = ['⟦one⟧', '⟦two⟧', '⟦three⟧', '⟦four⟧']
const NUMBERS = [2347, 4591, 6173, 8219]
const SHAPES: { readonly [key: string]: readonly (readonly unknown[])[] } = {
  'board.sub': [[{ key: '⟦key⟧', bars: 2347, form: '⟦form⟧', groove: '⟦groove⟧', metre: '⟦metre⟧', bpm: 4591 }]],
  'desk.facts': [
    [{ addedBars: 23, addedSeconds: 45, energy: 0.5, difficulty: 0.5 }],
    [{ addedBars: 0, addedSeconds: -45, energy: -0.5, difficulty: 0.9 }],
  ],
  'details.outOfReach': [
    [
      {
        player: '⟦player⟧',
        high: { note: '⟦high⟧', by: 23 },
        low: { note: '⟦low⟧', by: 31 },
        other: '⟦other⟧',
        hasKey: true,
      },
    ],
  ],
  'merge.rewrote': [[{ mineStands: true }, '⟦who⟧', { bar: 2347, beat: 4591 }, { mine: undefined, theirs: undefined }]],
  'merge.tried': [
    [{ mineStands: true }, '⟦who⟧', 'lift', { mine: '⟦mine⟧', theirs: '⟦theirs⟧' }],
    [{ mineStands: false }, '⟦who⟧', undefined, { mine: '⟦mine⟧', theirs: '⟦theirs⟧' }],
  ],
  deed: [
    [
      { kind: 'edit', edit: { kind: 'chord', symbol: 'Db7' } },
      { bar: 2347, beat: 4591 },
    ],
    [{ kind: 'try', title: '⟦title⟧' }, {}],
  ],
  kept: [[{ state: 'offline', waiting: 2347 }, { kind: 'offline' }]],
  'compare.count': [[{ changed: 23, added: 31, gone: 47, alike: 59 }]],
  'compare.difference': [
    [{ kind: 'chords', before: ['Db7'], after: ['G7'] }, () => 3],
    [{ kind: 'chord-time', symbol: 'Db7', before: 23, after: 31 }, (tick: number) => tick],
    [{ kind: 'mark', before: '⟦before⟧', after: '⟦after⟧' }, () => 3],
    [{ kind: 'bars', before: 23, after: 31 }, () => 3],
    [{ kind: 'melody-note', before: 'Db4', after: 'G4', tick: 23 }, (tick: number) => tick],
  ],
  'compare.length': [
    [
      { bars: 23, seconds: 61 },
      { bars: 31, seconds: 95 },
    ],
  ],
  'compare.partAdded': [[{ name: '⟦name⟧' }]],
  'compare.partGone': [[{ name: '⟦name⟧' }]],
  'compare.partChanged': [
    [
      { name: '⟦before⟧', role: 'lead' },
      { name: '⟦after⟧', role: 'horn' },
    ],
  ],
  'compare.lead': [[{ name: '⟦before⟧' }, { name: '⟦after⟧' }]],
  'compare.place': [
    [{ card: '⟦card⟧', bar: 23 }],
    [
      { card: '⟦card⟧', bar: 23 },
      { card: '⟦other⟧', bar: 31 },
    ],
  ],
  'compare.entry': [[{ seq: 5, command: { kind: 'nameVersion', name: '⟦name⟧' }, by: { name: '' } }]],
  'history.row': ['lock', 'unlock', 'openPoll', 'nameVersion', 'restoreVersion', 'markPrinted', 'createBoard'].map(
    (kind) => [
      {
        command: {
          kind,
          slot: { decision: 'lift' },
          option: { title: '⟦title⟧' },
          reason: '⟦reason⟧',
          question: '⟦question⟧',
          name: '⟦name⟧',
          title: '⟦board⟧',
          toSeq: 2347,
          version: 4591,
        },
        by: { name: '⟦who⟧' },
      },
    ],
  ),
  ledgerNews: [[{ command: { kind: 'closePoll' }, by: { name: '⟦who⟧' } }]],
  'desk.frame': [['⟦one⟧'], ['opening']],
  'desk.nowInPlace': [['lift', '⟦title⟧']],
  pollQuestion: [['lift', '⟦title⟧']],
  'board.pass': [['chorus', 3, 9]],
  'board.card': [['⟦letter⟧', 5, 9]],
  'music.spokenNote': [['C']],
  'details.plays': [[['⟦one⟧', '⟦two⟧', '⟦three⟧']]],
  'desk.outOfRange': [[['⟦one⟧', '⟦two⟧']]],
  'polls.stands': [[['⟦one⟧']], [['⟦one⟧', '⟦two⟧']]],
  'polls.thanksFor': [[['⟦one⟧', '⟦two⟧']]],
  'compare.passOrder': [[['⟦one⟧', '⟦two⟧']]],
  'compare.differences': [[['⟦one⟧', '⟦two⟧']]],
  'bringing.formBars': [[[23, 31]], [[23, 23]]],
  'bringing.highest': [[[23, 31]]],
  'bringing.pickup': [[23]],
  'bringing.changeOf': [['⟦what⟧']],
  'bringing.pickupChoice': [[23]],
  'bringing.tooLarge': [['⟦name⟧', 2 * 1024 * 1024, 'midi', 1024 * 1024]],
  'bringing.lineFacts': [[23, '⟦low⟧', '⟦high⟧', '⟦instrument⟧', 0]],
  'bringing.barName': [['⟦number⟧', '⟦section⟧', '⟦chords⟧', true, 23]],
  'bringing.chordsProposed': [[23, 31]],
  'bringing.twins': [[[23, 31]]],
  'bringing.midi.hears': [[['⟦one⟧', '⟦two⟧']]],
  'wish.answer': [
    ['bars', 23],
    ['rate', 23],
    ['semitones', -23],
  ],
  'compare.stretch': [
    ['added', 1, 23],
    ['gone', 23, 1],
    ['other', 23, 31],
  ],
  // A key's tonic is small in a German minor key.
  'music.key': [['⟦tonic⟧', 'major']],
}

/** Argument lists for a sentence: its own shapes, or texts and numbers in every place. */
function trials(key: string): readonly (readonly unknown[])[] {
  return SHAPES[key] ?? [TEXTS, NUMBERS, ...MIXED]
}
const MIXED = [0b0001, 0b0010, 0b0011, 0b0100, 0b0101, 0b0110].map((mask) =>
  TEXTS.map((text, index) => ((mask >> index) & 1 ? NUMBERS[index] : text)),
)

/** What it says, or nothing where it cannot be given such things. */
function answer(say: (...given: never[]) => unknown, given: readonly unknown[]): string | undefined {
  try {
    const said = say(...(given as never[]))
    return typeof said === 'string' && !/undefined|NaN/.test(said) ? said : undefined
  } catch {
    return undefined
  }
}

const marksIn = (text: string): readonly string[] => text.match(/⟦\w+⟧|\d+|[A-G][♭♯]?7/g) ?? []
