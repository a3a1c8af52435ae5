/** Coda: the tune's own, after the last chorus, in whatever key, metre and groove that ended. */
import type { ArrangedBar, ArrangedNote, Section, Tune } from '../../contract/index.js'
import { rebar } from '../../rhythm/index.js'
import { soundingChords } from '../../tune/index.js'
import { barTicks, defaultGroups, mod, pitchClass, sameMetre, tonicOf } from '../../units/index.js'
import { filled, wholeBar } from '../bars.js'
import { movedBar } from '../lift/move.js'
import type { Close } from './close.js'
import { type EndingContext, type EndingIdea, lengthInWords } from './idea.js'

export const coda: EndingIdea = {
  id: 'coda',
  rule: 'EN11',
  energy: 0,
  distance: 0.05,
  difficulty: 0.1,
  variants: (_close, { tune, plan }) => {
    const section = codaOf(tune)
    if (!section) return 'The tune has no coda of its own.'
    const isPlayed = plan.roadmap.some(({ sections }) => sections.includes(section.id))
    return isPlayed ? 'The coda is in the running order already.' : [{ bars: section.bars }]
  },
  write: (close, _params, context) => {
    const section = codaOf(context.tune)
    if (!section) return { refused: 'The tune has no coda of its own.' }
    const made = codaBars(close, section, context)
    if (typeof made === 'string') return { refused: made }
    return {
      from: close.bars.length,
      bars: made,
      title: `The tune's own coda, ${lengthInWords(made.length)}`,
      summary: `After the last chorus the tune's own ${lengthInWords(section.bars)} bring it home, as the writer meant.`,
      reason: [{ rule: 'EN11', text: `section ${section.id} of the tune, in ${(made[0] as ArrangedBar).key.key}` }],
      suits: 0.88,
    }
  },
}

const codaOf = (tune: Tune): Section | undefined => tune.sections.find(({ role }) => role === 'coda')

function codaBars(close: Close, section: Section, { tune, plan }: EndingContext): readonly ArrangedBar[] | string {
  const last = close.bars.at(-1) as ArrangedBar
  const chords = soundingChords(tune)
  const written = tune.bars.slice(section.startBar, section.startBar + section.bars).map((bar): ArrangedBar =>
    wholeBar({
      ...last,
      metre: bar.metre,
      groups: sameMetre(bar.metre, last.metre) ? last.groups : defaultGroups(bar.metre),
      lengthTicks: bar.lengthTicks,
      key: bar.key,
      sectionId: 'ending',
      pass: 'ending',
      chords: filled(chords[bar.barIndex] ?? [], bar.lengthTicks),
      melody: bar.melody.map((note, index): ArrangedNote => ({ ...note, source: { bar: bar.barIndex, index } })),
      provenance: { decision: 'tune', rule: 'CO1', tuneBar: bar.barIndex },
    }),
  )
  const semitones = shiftOf(close.bars, tune)
  const moved = semitones === 0 ? written : written.map((bar) => movedBar(bar, semitones))
  const maps = plan.chosen.findLast(({ kind }) => kind === 'groove')?.option.params['maps']
  const isSame = moved.every(({ metre }) => sameMetre(metre, last.metre)) && !Array.isArray(maps)
  if (isSame) return moved
  const rebarred = rebar(
    moved,
    { metre: last.metre, groups: last.groups },
    Array.isArray(maps) ? maps.map(String) : undefined,
  )
  if (!rebarred) return `The coda can't go to ${last.metre.beats}/${last.metre.beatType}.`
  return rebarred.bars.every(({ lengthTicks, metre }) => lengthTicks === barTicks(metre))
    ? rebarred.bars
    : rebarred.bars.map(wholeBar)
}

/** How far the end has moved from the tune: by its last melody note, else by its key. */
function shiftOf(bars: readonly ArrangedBar[], tune: Tune): number {
  const note = bars.findLast(({ melody }) => melody.length > 0)?.melody.at(-1)
  const own = note?.source && tune.bars[note.source.bar]?.melody[note.source.index]
  if (note && own) return note.midi - own.midi
  const last = bars.at(-1)
  const from = tune.bars[last?.provenance.tuneBar ?? 0]?.key ?? tune.key
  const up = mod(pitchClass(tonicOf(last?.key.key ?? from.key)) - pitchClass(tonicOf(from.key)), 12)
  return up > 6 ? up - 12 : up
}
