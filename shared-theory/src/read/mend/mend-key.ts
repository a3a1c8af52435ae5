/** Another key for a tune that was read: the notes sound as they did, signature and spelling follow. */
import type {
  KeySignature,
  MelodyNote,
  Mode,
  NoteName,
  PlacedChord,
  Result,
  Tune,
  TuneBar,
} from '../../contract/index.js'
import { chord as chordOf } from '../../chords/index.js'
import { proposeChords } from '../../fit/index.js'
import {
  fail,
  issue,
  keySignature,
  mod,
  nameInKey,
  parseNoteName,
  pitchAs,
  pitchClass,
  pitchInKey,
  scaleOf,
} from '../../units/index.js'

/** The key from the beginning up to where the file itself changes it; later keys stay. */
export function setKey(tune: Tune, tonic: NoteName, mode: Mode): Result<Tune> {
  const key = parseNoteName(tonic) ? keySignature(tonic, mode) : undefined
  if (!key) return fail(issue('RD41', 'error', 'key', `No key signature has ${tonic} ${mode}; choose its other name.`))
  const change = tune.bars.findIndex((bar) => bar.key.fifths !== tune.key.fifths || bar.key.mode !== tune.key.mode)
  const until = change < 0 ? tune.bars.length : change
  const isPlayed = tune.source.format === 'midi'
  const bars = tune.bars.map((bar, index): TuneBar =>
    index >= until
      ? bar
      : {
          ...bar,
          key,
          melody: bar.melody.map((note) => ({ ...note, name: spelled(note, key, isPlayed) })),
          chords: isPlayed ? bar.chords.map((placed) => respelled(placed, key)) : bar.chords,
        },
  )
  const source = { ...tune.source, issues: tune.source.issues.filter(({ code }) => code !== 'RD11') }
  return { ok: true, value: proposedAnew({ ...tune, key, bars, source }) }
}

/** What was written keeps its name unless the key has a plain one for it; what was played takes the key's. */
function spelled(note: MelodyNote, key: KeySignature, isPlayed: boolean): string {
  const own = scaleOf(key.key).find((name) => pitchClass(name) === mod(note.midi, 12))
  if (own !== undefined) return pitchAs(note.midi, own)
  return isPlayed ? pitchInKey(note.midi, key) : note.name
}

function respelled(placed: PlacedChord, key: KeySignature): PlacedChord {
  const { root, bass, symbol, over } = placed.chord
  if (!placed.inferred || root === '' || over) return placed
  const name = (of: NoteName): NoteName => nameInKey(pitchClass(of), key)
  const suffix = symbol.slice(root.length, bass === undefined ? undefined : symbol.length - bass.length - 1)
  return { ...placed, chord: chordOf(name(root) + suffix + (bass === undefined ? '' : `/${name(bass)}`)) }
}

/** Chords that were all proposed from the key are proposed from the new one. */
function proposedAnew(tune: Tune): Tune {
  const chords = tune.bars.flatMap((bar) => bar.chords)
  const wereProposed = chords.length > 0 && chords.every(({ inferred }) => inferred) && saysProposed(tune)
  return wereProposed ? proposeChords({ ...tune, bars: tune.bars.map((bar) => ({ ...bar, chords: [] })) }) : tune
}

const saysProposed = (tune: Tune): boolean => tune.source.issues.some(({ code }) => code === 'RD16')
