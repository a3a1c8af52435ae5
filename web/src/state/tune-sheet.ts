/** A tune that was read, as bars to engrave and to hear: nothing decided yet, melody and chords as they were understood. */
import {
  type ArrangedBar,
  type Arrangement,
  defaultGroups,
  type PartNote,
  type PartSpec,
  pitchAs,
  type Tune,
  type TuneBar,
  voiceProgression,
} from '@chartloft/shared-theory'

const MELODY: PartSpec = { id: 'lead', instrument: 'clarinet', name: '', role: 'lead' }
const CHORDS: PartSpec = { id: 'piano', instrument: 'piano', name: '', role: 'chords' }
/** Read from a bass clef. */
const LOW_MELODY: PartSpec = { ...MELODY, instrument: 'trombone' }
const LOW_MIDI = 58
/** Where the tune says no tempo: an easy one to check it by. */
const USUAL_BPM = 112

/** One staff with chord symbols. */
export function sheetOf(tune: Tune): Arrangement {
  return {
    version: 1,
    title: '',
    lineup: [isLow(tune) ? LOW_MELODY : MELODY],
    groove: '',
    bars: tune.bars.map((bar, index) => asArranged(tune, bar, index)),
  }
}

/** Melody on a clarinet, chords held on a piano; the melody alone where somebody listens for it. */
export function heardTune(tune: Tune, { isMelodyOnly }: { readonly isMelodyOnly: boolean }): Arrangement {
  const sheet = sheetOf(tune)
  const sounding = tune.bars.flatMap((bar) => bar.chords)
  const voicings = voiceProgression(
    sounding.map(({ chord }) => chord),
    { voices: 4 },
  )
  let at = 0
  const bars = sheet.bars.map((bar): ArrangedBar => {
    const chords = bar.chords.flatMap(({ startTick, durationTicks }): PartNote[] => {
      const voicing = voicings[at++]
      return (voicing?.midi ?? []).map((midi, voice) => ({
        startTick,
        durationTicks,
        midi,
        name: pitchAs(midi, voicing?.notes[voice] ?? ''),
        velocity: 52,
      }))
    })
    const lead = bar.melody.map(({ startTick, durationTicks, midi, name, tiedToNext }): PartNote => ({
      startTick,
      durationTicks,
      midi,
      name,
      velocity: 88,
      ...(tiedToNext ? { tiedToNext } : {}),
    }))
    return { ...bar, parts: { lead, ...(isMelodyOnly ? {} : { piano: chords }) } }
  })
  return { ...sheet, title: tune.title, lineup: isMelodyOnly ? sheet.lineup : [...sheet.lineup, CHORDS], bars }
}

/** Whether most of the melody lies below where a treble clef is read with ease. */
function isLow(tune: Tune): boolean {
  const pitches = tune.bars.flatMap((bar) => bar.melody.map(({ midi }) => midi)).sort((a, b) => a - b)
  return (pitches[Math.floor(pitches.length / 2)] ?? 60) < LOW_MIDI
}

function asArranged(tune: Tune, bar: TuneBar, index: number): ArrangedBar {
  const section =
    tune.sections.find(({ startBar, bars }) => index >= startBar && index < startBar + bars) ?? tune.sections[0]
  return {
    ...bar,
    barIndex: index,
    sectionId: section?.id ?? '',
    pass: '',
    groups: defaultGroups(bar.metre),
    tempoBpm: tune.tempoBpm ?? USUAL_BPM,
    feel: '',
    parts: {},
    provenance: { decision: 'tune', rule: '', tuneBar: index },
  }
}
