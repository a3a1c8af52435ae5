/** One correction to a tune that was read: title, tempo, key, bar lines, section marks, chords, notes. Each gives a whole tune again. */
import type { Metre, Mode, NoteName, Result, Tune } from '../../contract/index.js'
import { proposeChords } from '../../fit/index.js'
import { sectionsOf } from '../../tune/index.js'
import { fail, issue } from '../../units/index.js'
import { confirmChords, setChord } from './mend-chords.js'
import { setBarLines } from './mend-bar-lines.js'
import { setKey } from './mend-key.js'
import { setNotes } from './mend-notes.js'
import { moveSection, nameSection, removeSection } from './mend-sections.js'

/** Bars are indices into `Tune.bars`, ticks count within their bar. */
export type TuneMend =
  | { readonly kind: 'title'; readonly title: string }
  /** Quarter notes a minute; absent: the groove's own. */
  | { readonly kind: 'tempo'; readonly tempoBpm?: number }
  | { readonly kind: 'key'; readonly tonic: NoteName; readonly mode: Mode }
  /** The notes stay, the bar lines move; `pickupTicks` is how long before the first full bar the tune begins. */
  | { readonly kind: 'bar-lines'; readonly metre: Metre; readonly pickupTicks: number }
  /** A section begins at the bar, or the one that begins there takes another name. */
  | { readonly kind: 'section'; readonly bar: number; readonly name: string }
  | { readonly kind: 'move-section'; readonly from: number; readonly to: number }
  | { readonly kind: 'remove-section'; readonly bar: number }
  /** Sections by what repeats in melody and chords. */
  | { readonly kind: 'find-form' }
  /** An empty symbol takes the chord away. Several bars where the same bar is played more than once. */
  | { readonly kind: 'chord'; readonly bars: readonly number[]; readonly startTick: number; readonly symbol: string }
  /** A bar's notes as ABC, in its key, a letter an eighth; the first bar is the one that was written, the others are like it. */
  | { readonly kind: 'notes'; readonly bars: readonly number[]; readonly text: string }
  /** Proposed chords become the tune's own: of these bars, or all. */
  | { readonly kind: 'confirm'; readonly bars?: readonly number[] }
  /** What was not sure is seen to: an index into `source.issues`. */
  | { readonly kind: 'settle'; readonly issue: number }
  /** Every chord goes and plain ones are proposed. */
  | { readonly kind: 'propose' }

const TEMPO = { least: 20, most: 400 }
const TITLE_LETTERS = 200

/** The tune put right, or why it can't be; never throws on what users give. */
export function mendTune(tune: Tune, mend: TuneMend): Result<Tune> {
  switch (mend.kind) {
    case 'title': {
      const title = mend.title.trim().slice(0, TITLE_LETTERS)
      return title === '' ? refuse('title', 'The tune needs a title.') : done({ ...tune, title })
    }
    case 'tempo':
      return setTempo(tune, mend.tempoBpm)
    case 'key':
      return setKey(tune, mend.tonic, mend.mode)
    case 'bar-lines':
      return setBarLines(tune, mend.metre, mend.pickupTicks)
    case 'section':
      return nameSection(tune, mend.bar, mend.name)
    case 'move-section':
      return moveSection(tune, mend.from, mend.to)
    case 'remove-section':
      return removeSection(tune, mend.bar)
    case 'find-form':
      return done({ ...tune, sections: sectionsOf(tune, []) })
    case 'chord':
      return setChord(tune, mend.bars, mend.startTick, mend.symbol)
    case 'notes':
      return setNotes(tune, mend.bars, mend.text)
    case 'confirm':
      return done(confirmChords(tune, mend.bars))
    case 'settle': {
      const issues = tune.source.issues.filter((_found, at) => at !== mend.issue)
      if (issues.length === tune.source.issues.length) return refuse('issues', 'That is seen to already.')
      return done({ ...tune, source: { ...tune.source, issues } })
    }
    case 'propose':
      return done(proposeChords({ ...tune, bars: tune.bars.map((bar) => ({ ...bar, chords: [] })) }))
  }
}

function setTempo(tune: Tune, tempoBpm: number | undefined): Result<Tune> {
  const { tempoBpm: _before, ...rest } = tune
  if (tempoBpm === undefined) return done(rest)
  if (!(tempoBpm >= TEMPO.least && tempoBpm <= TEMPO.most))
    return refuse('tempo', `A tempo lies between ${TEMPO.least} and ${TEMPO.most} quarter notes a minute.`)
  return done({ ...rest, tempoBpm: Math.round(tempoBpm * 1000) / 1000 })
}

const done = (value: Tune): Result<Tune> => ({ ok: true, value })
const refuse = (path: string, message: string): Result<Tune> => fail(issue('RD40', 'error', path, message))
