/** The whole band: every part of the line-up filled for every bar. */
import type { ArrangedBar, HandEdit, PartNote, PartSpec, PassPlan } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import type { Groove } from '../rhythm/index.js'
import { playBass } from './bass.js'
import { type CompContext, playChords } from './comping.js'
import { playDrums } from './drums.js'
import { type BarFrame, framesOf } from './frame.js'
import { playHorns } from './horns.js'
import { fillUnderMelody, leftHand, melodyNotes } from './lead.js'
import { voicingsOf } from './voicings.js'

export interface BandContext {
  readonly lineup: readonly PartSpec[]
  readonly roadmap: readonly PassPlan[]
  readonly groove: Groove
  readonly seed: number
  /** Voicing edits, already placed: bar index → edits. */
  readonly voicings?: ReadonlyMap<number, readonly Extract<HandEdit, { kind: 'voicing' }>[]>
  /** How the last bar stops. */
  readonly stop?: 'button' | 'held' | 'fermata'
}

type PartBars = readonly (readonly PartNote[])[]

/** Fills `parts` of every bar (a key for every part of the line-up, in line-up order). Total and deterministic; bars whose feel is
 *  'rubato' use the rubato groove, bars in another metre than the groove's a relative or a plain pattern. */
export function realiseBand(bars: readonly ArrangedBar[], context: BandContext): readonly ArrangedBar[] {
  const { lineup } = context
  const frames = framesOf(bars, lineup, context.roadmap, context.groove)
  const last = bars.at(-1)
  const stop =
    context.stop ?? (last?.fermataTick !== undefined ? 'fermata' : (frames.bars.at(-1)?.groove.stop[0] ?? 'held'))
  const hasDrums = lineup.some(({ role }) => role === 'drums')
  const hasBass = lineup.some(({ role }) => role === 'bass')
  const chordPlayers = lineup.filter(({ role }) => role === 'chords')
  const drums = hasDrums ? playDrums(frames.bars, stop) : undefined
  const keysVoicings = voicingsOf(frames, 'keys')
  const isUnderVoice = frames.bars.map((frame) =>
    lineup.some(({ id, role }) => id === frame.leaderId && role === 'voice'),
  )
  const horns = lineup.filter(({ role }) => role === 'horn' || role === 'lead')
  const backgrounds = playHorns(
    horns.filter((part) => accompanies(part) === false),
    frames,
    (frame) => hornsPlay(frame, chordPlayers.length > 0),
  )

  const partBars = new Map<string, PartBars>()
  for (const part of lineup) {
    const lowest = instrumentOf(part).range[0]
    switch (part.role) {
      case 'drums':
        partBars.set(
          part.id,
          part.id === lineup.find(({ role }) => role === 'drums')?.id ? (drums ?? []).map(({ notes }) => notes) : [],
        )
        break
      case 'bass':
        partBars.set(part.id, playBass(part, { frames, drums, stop, seed: context.seed, isPlainer: !hasDrums }))
        break
      case 'chords': {
        const hand = instrumentOf(part).family === 'guitar' ? 'guitar' : 'keys'
        const isFirst = part.id === chordPlayers[0]?.id
        const comp: CompContext = {
          frames,
          voicings: hand === 'guitar' ? voicingsOf(frames, 'guitar') : keysVoicings,
          style: isFirst ? (hand === 'guitar' ? 'guitar' : 'cells') : 'pads',
          stop,
          edits: editsOf(part, context),
          isUnderVoice: isUnderVoice.some(Boolean),
        }
        const comped = playChords(comp)
        partBars.set(
          part.id,
          frames.bars.map((frame, index) => {
            if (frame.leaderId === part.id && frame.bar.melody.length > 0)
              return ownMelody(frame, keysVoicings, hasBass, lowest)
            const without = !hasBass && isFirst ? leftHand(frame, [], false, lowest) : []
            return inOrder([...(comped[index] ?? []), ...without])
          }),
        )
        break
      }
      case 'lead':
      case 'voice':
      case 'horn': {
        const held = backgrounds.get(part.id)
        const isAlone = accompanies(part) && chordPlayers.length === 0
        partBars.set(
          part.id,
          frames.bars.map((frame, index) => {
            if (frame.leaderId === part.id && frame.bar.melody.length > 0)
              return isAlone ? ownMelody(frame, keysVoicings, hasBass, lowest) : melodyNotes(frame)
            if (isAlone) return leftHand(frame, keysVoicings, hasBass, lowest)
            if (frame.plan?.soloist === part.id && frame.isSolo) return []
            return held?.[index] ?? []
          }),
        )
      }
    }
  }
  return bars.map((bar, index) => ({
    ...bar,
    parts: Object.fromEntries(lineup.map(({ id }) => [id, partBars.get(id)?.[index] ?? []])),
  }))
}

/** Whether an instrument can play chords under its own melody. */
function accompanies(part: PartSpec): boolean {
  const { family } = instrumentOf(part)
  return family === 'keys' || family === 'guitar'
}

/** Held backgrounds from level 4; behind a solo only where asked for; from level 2 where nobody else plays chords. */
function hornsPlay(frame: BarFrame, hasChords: boolean): boolean {
  if (frame.groove.feel === 'rubato' || frame.isDrumsAlone || frame.isLast) return false
  if (!hasChords) return frame.level >= 2
  return frame.isSolo ? frame.plan?.backgrounds === true : frame.level >= 4 && frame.plan !== undefined
}

function ownMelody(
  frame: BarFrame,
  voicings: readonly (readonly number[])[],
  hasBass: boolean,
  lowestMidi: number,
): PartNote[] {
  return inOrder([...fillUnderMelody(frame), ...leftHand(frame, voicings, hasBass, lowestMidi)])
}

function editsOf(part: PartSpec, context: BandContext): CompContext['edits'] {
  const edits = new Map<number, readonly Extract<HandEdit, { kind: 'voicing' }>[]>()
  for (const [barIndex, all] of context.voicings ?? []) {
    const own = all.filter(({ partId }) => partId === part.id)
    if (own.length > 0) edits.set(barIndex, own)
  }
  return edits
}

const inOrder = (notes: readonly PartNote[]): PartNote[] =>
  [...notes].sort((a, b) => a.startTick - b.startTick || (a.voice ?? 1) - (b.voice ?? 1) || a.midi - b.midi)
