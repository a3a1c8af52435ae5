/** The tune's own verse, before the chorus that everybody knows; free or in time. Its length is its own, whatever metre it goes to. */
import type { ArrangedBar, Section } from '../../contract/index.js'
import { rubatoTempo } from '../../rhythm/index.js'
import { isShort, wholeBar } from '../bars.js'
import { sectionBars } from '../section-bars.js'
import { type Doorway, lengthInWords, type OpeningBar, type OpeningIdea } from './idea.js'
import { lastFermata, phrasesOf, RUBATO_BPM } from './rubato.js'

const FEELS = ['rubato', 'in-time'] as const

export const ownVerse: OpeningIdea = {
  id: 'own-verse',
  rule: 'OP6',
  energy: -0.2,
  distance: 0.05,
  difficulty: 0.3,
  variants: (door) => {
    const verse = verseOf(door)
    if (!verse) return 'The tune has no verse of its own.'
    if (door.bars.some(({ sectionId }) => sectionId === verse.id)) return 'The verse is in the running order already.'
    const made = barsOf(door, verse)
    return typeof made === 'string' ? made : FEELS.map((feel) => ({ bars: made.length, feel }))
  },
  write: (door, params) => {
    const verse = verseOf(door)
    if (!verse) return { refused: 'The tune has no verse of its own.' }
    const feel = params['feel'] ?? 'rubato'
    if (feel !== 'rubato' && feel !== 'in-time')
      return { refused: `The verse is free or in time, not '${String(feel)}'.` }
    const made = barsOf(door, verse)
    if (typeof made === 'string') return { refused: made }
    const isFree = feel === 'rubato'
    const played = isFree ? freely(made) : made
    const full = made.filter((bar) => !isShort(bar)).length
    return {
      bars: played.map((bar): OpeningBar => ({
        chords: bar.chords,
        melody: bar.melody,
        frame: frameOf(bar),
        ...tuneBarOf(bar),
      })),
      title: `The tune's own verse, ${isFree ? 'free' : 'in time'}, ${lengthInWords(full)}`,
      says: `the verse of ${lengthInWords(full)} tells the story ${isFree ? 'freely, nobody counting,' : 'in the groove'} before the chorus`,
      reason: [
        { rule: 'OP6', text: `section ${verse.id} of the tune, ${isFree ? `rubato around ${RUBATO_BPM}` : 'in time'}` },
      ],
      suits: isFree ? 0.88 : 0.8,
    }
  },
}

const verseOf = ({ tune }: Doorway): Section | undefined =>
  tune.sections.find(({ role }) => role === 'verse') ?? tune.sections.find(({ role }) => role === 'intro')

function barsOf({ tune, plan, first }: Doorway, section: Section): readonly ArrangedBar[] | string {
  const bars = sectionBars({ tune, plan, section, like: first, name: 'opening' })
  if (typeof bars === 'string') return bars
  // Only a pickup at the very start may be short.
  return bars.map((bar, index) => (index === 0 && bars.length > 1 ? bar : wholeBar(bar)))
}

function freely(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  const hasPickup = bars[0] !== undefined && isShort(bars[0])
  const phrases = phrasesOf(bars.length - (hasPickup ? 1 : 0))
  return bars.map((bar, index) => {
    const [inPhrase, length] = phrases[Math.max(0, index - (hasPickup ? 1 : 0))] as readonly [number, number]
    const { tempoBpm, tempoEndBpm } = rubatoTempo(RUBATO_BPM, inPhrase, length)
    if (hasPickup && index === 0) return { ...bar, feel: 'rubato', tempoBpm }
    const held = index === bars.length - 1 ? lastFermata(bar) : undefined
    return { ...bar, feel: 'rubato', tempoBpm, tempoEndBpm, ...(held === undefined ? {} : { fermataTick: held }) }
  })
}

const tuneBarOf = ({ provenance: { tuneBar } }: ArrangedBar): { readonly tuneBar?: number } =>
  tuneBar === undefined ? {} : { tuneBar }

function frameOf(bar: ArrangedBar): NonNullable<OpeningBar['frame']> {
  const { metre, groups, lengthTicks, key, feel, tempoBpm, tempoEndBpm, fermataTick } = bar
  return {
    metre,
    groups,
    lengthTicks,
    key,
    feel,
    tempoBpm,
    ...(tempoEndBpm === undefined ? {} : { tempoEndBpm }),
    ...(fermataTick === undefined ? {} : { fermataTick }),
  }
}
