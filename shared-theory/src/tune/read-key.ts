/** Which key a tune is in, and why: signature, final note and chord, leading notes, cadences and the notes as a whole. */
import { endsInRun, qualityOf, rankKeys } from '../chords/index.js'
import type { Chord, KeyName, MelodyNote, Tune } from '../contract/index.js'
import { isMinorKey, keySignatureOf, mod, pitchClass, tonicOf } from '../units/index.js'
import { firstFormBar, soundingChords } from './sounding.js'

export interface KeyReading {
  readonly key: KeyName
  readonly runnerUp: KeyName
  /** 0…1; above 0.75 the evidence leaves little doubt. */
  readonly confidence: number
  /** Each in words: 'ends on G4 over Gm6'. */
  readonly evidence: readonly string[]
  readonly ranking: readonly { readonly key: KeyName; readonly score: number }[]
}

/**
 * What each kind of evidence weighs beside the notes, whose best key has 1 and others lose by how far `rankKeys` puts them behind; the last
 * note is counted there already. From judgement, checked on labelled tunes with chords and without, with their signature and without.
 */
const WEIGHT = {
  signature: 1,
  finalNote: 0,
  finalChord: 0.6,
  firstChord: 0.2,
  /** What the last chord gives up to the first where the melody runs on to the beginning. */
  leadsOn: 0.4,
  cadence: 0.5,
  leadingNote: 0.1,
  tonicTime: 0.3,
} as const

/** A lead in `rankKeys` that chords and signature have to work against. From judgement. */
const SURE_LEAD = 4

interface TuneFacts {
  readonly profile: ReadonlyMap<KeyName, number>
  readonly signature: number
  /** The key as written where it is modal: D dorian's signature speaks for D minor. */
  readonly modalKey: KeyName | undefined
  readonly finalNote: { readonly pc: number; readonly name: string } | undefined
  readonly firstChord: Chord | undefined
  readonly finalChord: Chord | undefined
  readonly leadsOn: boolean
  /** Dominant chords that fall a fifth, by the root they reach and whether it is minor. */
  readonly arrivals: ReadonlyMap<string, number>
  readonly arrivalCount: number
  readonly rootTime: ReadonlyMap<string, number>
  readonly chordTime: number
  /** Melody notes outside the signature, by pitch class. */
  readonly raised: ReadonlyMap<number, string>
}

/** Reads the key from the music; `bySignature: false` leaves the written signature out of it (for files that carry none). */
export function readKey(tune: Tune, options: { readonly bySignature?: boolean } = {}): KeyReading {
  const facts = factsOf(tune)
  const ranking = [...facts.profile]
    .map(([key, profile]) => ({ key, score: profile + evidenceFor(key, facts, options.bySignature ?? true).score }))
    .sort((a, b) => b.score - a.score || (a.key < b.key ? -1 : 1))
  const [best, second] = ranking
  if (!best || !second) return { key: tune.key.key, runnerUp: tune.key.key, confidence: 0, evidence: [], ranking: [] }
  const margin = best.score - second.score
  return {
    key: best.key,
    runnerUp: second.key,
    confidence: Math.round(Math.min(1, 0.5 + margin / 2) * 100) / 100,
    evidence: evidenceFor(best.key, facts, options.bySignature ?? true).words,
    ranking,
  }
}

function factsOf(tune: Tune): TuneFacts {
  const chords = soundingChords(tune)
  const flat = chords.flat().filter((one) => one.chord.root !== '')
  let at = 0
  const notes = tune.bars.flatMap((bar) => {
    const start = at
    at += bar.lengthTicks
    return bar.melody.map((note) => ({
      midi: note.midi,
      durationTicks: note.durationTicks,
      startTick: start + note.startTick,
    }))
  })
  const heard =
    notes.length > 0
      ? notes
      : flat.flatMap((one) =>
          one.chord.notes.map((name) => ({ midi: 60 + pitchClass(name), durationTicks: one.durationTicks })),
        )
  const ranked = rankKeys(heard)
  const top = ranked[0]?.score ?? 0
  const final = finalNoteOf(tune)
  const arrivals = new Map<string, number>()
  let arrivalCount = 0
  const rootTime = new Map<string, number>()
  let chordTime = 0
  for (const [index, one] of flat.entries()) {
    const side = sideOf(one.chord)
    if (side) rootTime.set(side, (rootTime.get(side) ?? 0) + one.durationTicks)
    chordTime += one.durationTicks
    const next = flat[index + 1]?.chord
    const quality = qualityOf(one.chord)
    const arrives =
      next &&
      (quality === 'dominant' || quality === 'sus') &&
      mod(pitchClass(one.chord.root) - pitchClass(next.root), 12) === 7
    const reached = arrives ? sideOf(next) : undefined
    if (reached) {
      arrivals.set(reached, (arrivals.get(reached) ?? 0) + 1)
      arrivalCount++
    }
  }
  const signature = tune.key.fifths
  const inSignature = new Set(Array.from({ length: 7 }, (_, step) => mod((signature - 1 + step) * 7, 12)))
  const raised = new Map<number, string>()
  for (const bar of tune.bars)
    for (const note of bar.melody)
      if (!inSignature.has(mod(note.midi, 12))) raised.set(mod(note.midi, 12), note.name.replace(/-?\d+$/, ''))
  const underLast = final && chords[final.barIndex]?.findLast((one) => one.startTick <= final.note.startTick)?.chord
  const finalChord = underLast ?? flat.at(-1)?.chord
  const firstChord = chords.slice(firstFormBar(tune)).flat()[0]?.chord
  return {
    profile: new Map(ranked.map((one) => [one.key, Math.max(0, 1 - (top - one.score) / SURE_LEAD)])),
    signature,
    modalKey: tune.key.mode === 'major' || tune.key.mode === 'minor' ? undefined : tune.key.key,
    finalNote: final && { pc: mod(final.note.midi, 12), name: final.note.name },
    firstChord,
    finalChord,
    leadsOn: endsInRun(notes.map(({ durationTicks }) => durationTicks)),
    arrivals,
    arrivalCount,
    rootTime,
    chordTime,
    raised,
  }
}

/** The last note where it is struck: ties are followed back. */
function finalNoteOf(tune: Tune): { readonly note: MelodyNote; readonly barIndex: number } | undefined {
  const all = tune.bars.flatMap((bar) => bar.melody.map((note) => ({ note, barIndex: bar.barIndex })))
  let at = all.length - 1
  while (at > 0 && all[at - 1]?.note.tiedToNext) at--
  return all[at]
}

/** 'pitch class + major|minor' of a chord that can be a tonic; a dominant seventh counts as major (blues). */
function sideOf(chord: Chord): string | undefined {
  if (chord.root === '') return undefined
  const quality = qualityOf(chord)
  if (quality === 'major' || quality === 'dominant') return `${pitchClass(chord.root)} major`
  return quality === 'minor' || quality === 'minor-sixth' ? `${pitchClass(chord.root)} minor` : undefined
}

function evidenceFor(key: KeyName, facts: TuneFacts, bySignature: boolean): { score: number; words: string[] } {
  const tonic = pitchClass(tonicOf(key))
  const isMinor = isMinorKey(key)
  const own = `${tonic} ${isMinor ? 'minor' : 'major'}`
  const words: string[] = []
  let score = 0
  const say = (weight: number, text: string): void => {
    score += weight
    words.push(text)
  }
  const isSigned =
    facts.modalKey === undefined ? keySignatureOf(key).fifths === facts.signature : facts.modalKey === key
  if (bySignature && isSigned) say(WEIGHT.signature, `signature of ${describeSignature(facts.signature)}`)
  if (facts.finalNote?.pc === tonic) say(WEIGHT.finalNote, `the melody ends on ${facts.finalNote.name}`)
  const { finalChord, firstChord } = facts
  const shift = facts.leadsOn ? WEIGHT.leadsOn : 0
  if (finalChord && sideOf(finalChord) === own)
    say(WEIGHT.finalChord - shift, `the last chord under the melody is ${finalChord.symbol}`)
  if (firstChord && sideOf(firstChord) === own) say(WEIGHT.firstChord + shift, `begins on ${firstChord.symbol}`)
  const arrived = facts.arrivals.get(own) ?? 0
  if (arrived > 0)
    say((WEIGHT.cadence * arrived) / facts.arrivalCount, `${arrived} of ${facts.arrivalCount} dominants resolve to it`)
  const leading = facts.raised.get(mod(tonic + 11, 12))
  if (isMinor && leading) say(WEIGHT.leadingNote, `${leading} in the melody is its leading note`)
  const time = facts.rootTime.get(own) ?? 0
  if (facts.chordTime > 0) score += (WEIGHT.tonicTime * time) / facts.chordTime
  return { score, words }
}

function describeSignature(fifths: number): string {
  if (fifths === 0) return 'no sharps or flats'
  const count = Math.abs(fifths)
  return `${count} ${fifths < 0 ? 'flat' : 'sharp'}${count === 1 ? '' : 's'}`
}
