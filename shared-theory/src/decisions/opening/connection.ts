/** How one chord leads to another, said as a musician says it. */
import type { Chord } from '../../contract/index.js'
import { bassOf, pitchClassesOf, qualityOf } from '../../chords/index.js'
import { show } from '../../fit/index.js'
import { mod, pitchClass } from '../../units/index.js'
import { listInWords } from '../harmony/words.js'
import { shown } from '../lift/words.js'

export type ConnectionKind =
  | 'dominant'
  | 'half-step'
  | 'whole-step'
  | 'fifth'
  | 'plagal'
  | 'same-root'
  | 'common-tones'
  | 'unprepared'
  | 'none'

export interface Connection {
  readonly kind: ConnectionKind
  /** A clause: 'C7sus leads to F∆ as its dominant'. */
  readonly text: string
}

/** The strongest pull from one chord to the next: dominant, half step, whole step up, fifth, the same root, common tones; or none.
 *  Source: common practice. */
export function connectionTo(from: Chord, to: Chord | undefined, homePc: number): Connection {
  if (!to || to.root === '')
    return { kind: 'unprepared', text: 'the melody begins without a chord, so nothing has to be prepared' }
  const goal = shown(to)
  if (from.root === '') return { kind: 'unprepared', text: `no chord comes before ${goal}; the drum fill leads in` }
  const name = shown(from)
  const up = mod(pitchClass(from.root) - pitchClass(to.root), 12)
  const quality = qualityOf(from)
  const isPull = quality === 'dominant' || quality === 'sus'
  if (up === 7 && isPull) return { kind: 'dominant', text: `${name} leads to ${goal} as its dominant` }
  const bass = bassOf(from)
  if (bass !== undefined && mod(pitchClass(bass) - pitchClass(to.root), 12) === 7 && up !== 0) {
    return { kind: 'dominant', text: `${name} stands over ${show(bass)}, the dominant of ${goal}` }
  }
  if (up === 1) return { kind: 'half-step', text: `${name} falls a half step to ${goal}` }
  if (up === 11) return { kind: 'half-step', text: `${name} rises a half step to ${goal}` }
  if (up === 10) {
    const degrees = pitchClass(to.root) === homePc ? `, ♭VII to ${homeWord(to)}` : ''
    return { kind: 'whole-step', text: `${name} goes up a whole step to ${goal}${degrees}` }
  }
  if (up === 7) return { kind: 'fifth', text: `the root falls a fifth from ${name} to ${goal}` }
  if (up === 5 && pitchClass(to.root) === homePc)
    return { kind: 'plagal', text: `${name} goes home to ${goal}, IV to ${homeWord(to)}` }
  if (up === 0) return { kind: 'same-root', text: `${name} and ${goal} stand on the same root` }
  const own = new Set(pitchClassesOf(from))
  const common = pitchClassesOf(to).filter((pc) => own.has(pc))
  if (common.length >= 2) return { kind: 'common-tones', text: `${name} and ${goal} share ${spelledTones(to, common)}` }
  return { kind: 'none', text: `${name} does not lead to ${goal}; the first chord comes as a surprise` }
}

/** Tones of a chord by pitch class, named as the chord spells them: 'F, A and C'. */
function spelledTones(chord: Chord, pcs: readonly number[]): string {
  const names = [...chord.notes, ...(chord.bass === undefined ? [] : [chord.bass])]
  const found = pcs.map((pc) => names.find((name) => pitchClass(name) === pc)).filter((name) => name !== undefined)
  return listInWords(found.map(show))
}

/** I of a major or seventh chord, i of a minor one. */
const homeWord = (chord: Chord): string => (['minor', 'minor-sixth'].includes(qualityOf(chord)) ? 'i' : 'I')
