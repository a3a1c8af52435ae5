/** The bass stays on the tonic while the chords move over it. */
import { chord as parsed, pitchClassesOf } from '../../chords/index.js'
import { show } from '../../fit/index.js'
import { mod, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { isPlain } from './plain.js'
import { isDominant, type Span, spansOf, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

export const tonicPedal: HarmonyIdea = {
  id: 'tonic-pedal',
  rule: 'HA8',
  energy: -0.3,
  difficulty: 0.1,
  variants: (stretch) => {
    const over = pedalled(stretch, stretch.bars.length)
    if (over.length === 0) return 'Every chord here stands on the tonic already, or none can stand over it.'
    return [{ bars: stretch.bars.length }]
  },
  write: (stretch, params): Writing => {
    const asked = Number(params['bars'] ?? stretch.bars.length)
    const bars = Number.isInteger(asked) ? Math.min(Math.max(asked, 1), stretch.bars.length) : stretch.bars.length
    const chords = pedalled(stretch, bars)
    if (chords.length === 0)
      return { refused: 'Every chord here stands on the tonic already, or none can stand over it.' }
    const tonic = show(tonicOf(stretch.key.key))
    return {
      chords,
      title: `Tonic pedal, ${bars} bars`,
      summary: `In ${ofTheTune(barsInWords(stretch.numbers.slice(0, bars)))} the bass stays on ${tonic} while the tune's own chords move over it, so the stretch holds its breath.`,
      reason: [
        { rule: 'HA8', text: `${tonic} in the bass, the upper chords unchanged` },
        { rule: 'HA2', text: 'melody over the same chords as before' },
      ],
      suits: isPlain(stretch) ? 0.6 : 0.45,
    }
  },
}

function pedalled(stretch: Stretch, bars: number): readonly NewChord[] {
  const end = stretch.starts[bars] as number
  return spansOf(stretch)
    .filter((span) => span.startTick < end && canStandOver(stretch, span))
    .map(({ chord, startTick, endTick }) => ({
      startTick,
      endTick: Math.min(endTick, end),
      chord: parsed(`${withoutBass(chord.symbol, chord.bass)}/${tonicOf(stretch.key.key)}`),
    }))
}

/** A chord with the note a half step above the pedal grinds on it, unless it is the dominant on its way home. */
function canStandOver(stretch: Stretch, { chord, next }: Span): boolean {
  if (chord.root === '' || chord.over) return false
  const pedal = pitchClass(tonicOf(stretch.key.key))
  if (pitchClass(chord.root) === pedal) return false
  const grinds = pitchClassesOf(chord).some((pc) => mod(pc - pedal, 12) === 1)
  return !grinds || (isDominant(chord) && next !== undefined && pitchClass(next.root) === pedal)
}

const withoutBass = (symbol: string, bass: string | undefined): string =>
  bass === undefined ? symbol : symbol.slice(0, symbol.lastIndexOf('/'))
