/** One written note, rest or slash as a MusicXML element. */
import type { MelodyNote, PartNote } from '../../contract/index.js'
import {
  type Interval,
  LETTERS,
  type SpelledPitch,
  midiOf,
  must,
  parsePitch,
  transposePitch,
} from '../../units/index.js'
import type { AccidentalKeeper } from './accidentals.js'
import type { BeamSign } from './beams.js'
import { CUE_SIGN, drumSign } from './drum-notation.js'
import type { VoiceEvent } from './lay-out-voice.js'
import { type XmlChild, type XmlElement, el, leaf } from './xml.js'

export interface NoteContext {
  readonly voice: number
  /** Where the part has two staves. */
  readonly staff?: number
  readonly up?: Interval
  readonly accidentals: AccidentalKeeper
  /** 'P4-I36' for drums: instrument ids by percussion key. */
  readonly drumId?: (key: number) => string
  /** MIDI numbers tied in from what stands before this event. */
  readonly tiedIn: ReadonlySet<number>
  readonly hasFermata: boolean
  readonly beams: readonly BeamSign[]
  /** The voice is another player's: its rests are small too. */
  readonly isCue: boolean
  readonly isBassClef: boolean
  readonly tupletEdge: { readonly start: boolean; readonly stop: boolean }
  /** Beside a player who plays on: its rests stay unseen. */
  readonly hidesRests?: boolean
  /** Only the rhythm is shown, on one slash: the player voices the chord. */
  readonly isRhythm?: boolean
  /** The melody note sung or led here, for its words and graces. */
  readonly sung?: MelodyNote
}

/** The elements of one event: a chord is several notes. */
export function noteElements(event: VoiceEvent, context: NoteContext): XmlElement[] {
  if (event.kind !== 'notes') return [silentElement(event, context)]
  const graces = event.isFirst ? (context.sung?.grace ?? []) : []
  return [
    ...graces.map((name) => graceElement(name, context)),
    ...(context.isRhythm ? event.notes.slice(0, 1) : event.notes).map((note, index) =>
      soundingElement(note, index, event, context),
    ),
  ]
}

function silentElement(event: VoiceEvent, context: NoteContext): XmlElement {
  const isSlash = event.kind === 'slash'
  const isBar = event.kind === 'bar-rest'
  return el(
    'note',
    // A slash says "play on": a player program must not sound the line it stands on.
    isSlash ? { dynamics: 0 } : context.hidesRests ? { 'print-object': 'no' } : {},
    context.isCue && el('cue'),
    isSlash ? middleLine(context.isBassClef) : el('rest', { measure: isBar && 'yes' }),
    leaf('duration', event.durationTicks),
    leaf('voice', context.voice),
    !isBar && valueElements(event, context.isCue),
    isSlash && leaf('stem', 'none'),
    isSlash && leaf('notehead', 'slash'),
    context.staff !== undefined && leaf('staff', context.staff),
    notations([context.hasFermata && el('fermata', { type: 'upright' }), ...tupletMarks(event, context)]),
  )
}

/** Where slashes stand. Unpitched places are read as under a treble clef by some engravers, so a bass staff gets its D instead. */
function middleLine(isBassClef: boolean): XmlElement {
  return isBassClef
    ? el('pitch', {}, leaf('step', 'D'), leaf('octave', 3))
    : el('unpitched', {}, leaf('display-step', 'B'), leaf('display-octave', 4))
}

function soundingElement(note: PartNote, index: number, event: VoiceEvent, context: NoteContext): XmlElement {
  const tiedIn = !event.isFirst || context.tiedIn.has(note.midi)
  const tiedOn = !event.isLast || note.tiedToNext === true
  const isCue = note.printed === 'cue'
  const drum = context.drumId ? (isCue ? CUE_SIGN : drumSign(note.midi)) : undefined
  const pitch = drum || context.isRhythm ? undefined : writtenPitch(note, context.up)
  const shown = pitch && context.accidentals.show(pitch, tiedIn)
  return el(
    'note',
    {},
    isCue && el('cue'),
    index > 0 && el('chord'),
    drum
      ? el('unpitched', {}, leaf('display-step', drum.step), leaf('display-octave', drum.octave))
      : pitch
        ? pitchElement(pitch)
        : middleLine(context.isBassClef),
    leaf('duration', event.durationTicks),
    tiedIn && !isCue && el('tie', { type: 'stop' }),
    tiedOn && !isCue && el('tie', { type: 'start' }),
    context.drumId && !isCue && el('instrument', { id: context.drumId(note.midi) }),
    leaf('voice', context.voice),
    valueElements(event, isCue, shown && leaf('accidental', shown.sign, shown.isCourtesy ? { cautionary: 'yes' } : {})),
    drum && isCue && leaf('stem', 'up'),
    context.isRhythm ? leaf('notehead', 'slash') : drum?.head && leaf('notehead', drum.head),
    context.staff !== undefined && leaf('staff', context.staff),
    index === 0 && context.beams.map((sign, level) => leaf('beam', sign, { number: level + 1 })),
    notations([
      tiedIn && el('tied', { type: 'stop' }),
      tiedOn && el('tied', { type: 'start' }),
      ...(index === 0 ? [...slurs(note, event), ...tupletMarks(event, context), articulations(note, event)] : []),
      index === 0 && context.hasFermata && el('fermata', { type: 'upright' }),
    ]),
    index === 0 && event.isFirst && lyric(context.sung),
  )
}

function graceElement(name: string, context: NoteContext): XmlElement {
  const concert = must(parsePitch(name), `'${name}' is a pitch`)
  const pitch = context.up ? plainIfDoubled(concert, transposedPitch(name, context.up)) : concert
  const shown = context.accidentals.show(pitch, false)
  return el(
    'note',
    {},
    el('grace', { slash: 'yes' }),
    pitchElement(pitch),
    leaf('voice', context.voice),
    leaf('type', 'eighth'),
    shown && leaf('accidental', shown.sign),
    context.staff !== undefined && leaf('staff', context.staff),
  )
}

/** The pitch as printed. A name that is no pitch, or another sound than its MIDI number, gives way to the number. */
function writtenPitch(note: PartNote, up: Interval | undefined): SpelledPitch {
  const named = parsePitch(note.name)
  const sharps = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
  const sounding =
    named && midiOf(named) === note.midi
      ? note.name
      : `${sharps[((note.midi % 12) + 12) % 12]}${Math.floor(note.midi / 12) - 1}`
  const concert = must(parsePitch(sounding), `'${sounding}' is a pitch`)
  return up ? plainIfDoubled(concert, transposedPitch(sounding, up)) : concert
}

const transposedPitch = (name: string, up: Interval): SpelledPitch =>
  must(parsePitch(transposePitch(name, up)), `'${name}' is a pitch`)

/** What the transposition alone has made a double accidental is printed plain: a trumpet's D for an E𝄫 that sounds C. */
function plainIfDoubled(concert: SpelledPitch, written: SpelledPitch): SpelledPitch {
  if (Math.abs(written.alter) < 2 || Math.abs(concert.alter) === 2) return written
  const down = written.alter < 0 ? -1 : 1
  const step = (written.step + down + 7) % 7
  const octave = written.octave + Math.floor((written.step + down) / 7)
  const natural = { step, alter: 0, octave }
  return { ...natural, alter: midiOf(written) - midiOf(natural) }
}

function pitchElement({ step, alter, octave }: SpelledPitch): XmlElement {
  return el(
    'pitch',
    {},
    leaf('step', LETTERS[step] as string),
    alter !== 0 && leaf('alter', alter),
    leaf('octave', octave),
  )
}

function valueElements(event: VoiceEvent, isCue = false, accidental?: XmlElement): XmlElement[] {
  const { value, tuplet } = event
  return [
    leaf('type', value.type, isCue ? { size: 'cue' } : {}),
    ...(value.dots > 0 ? [el('dot')] : []),
    ...(accidental ? [accidental] : []),
    ...(tuplet
      ? [el('time-modification', {}, leaf('actual-notes', tuplet.actual), leaf('normal-notes', tuplet.normal))]
      : []),
  ]
}

function notations(children: readonly XmlChild[]): XmlElement | undefined {
  const element = el('notations', {}, ...children)
  return element.children.length > 0 ? element : undefined
}

function slurs(note: PartNote, event: VoiceEvent): XmlElement[] {
  if (note.slur === 'stop' && event.isLast) return [el('slur', { type: 'stop', number: 1 })]
  return note.slur === 'start' && event.isFirst ? [el('slur', { type: 'start', number: 1 })] : []
}

function tupletMarks(event: VoiceEvent, { tupletEdge }: NoteContext): XmlElement[] {
  if (!event.tuplet) return []
  return [
    ...(tupletEdge.start ? [el('tuplet', { type: 'start', bracket: 'yes', number: 1 })] : []),
    ...(tupletEdge.stop ? [el('tuplet', { type: 'stop', number: 1 })] : []),
  ]
}

const ARTICULATIONS = {
  staccato: ['staccato', true],
  tenuto: ['tenuto', true],
  accent: ['accent', true],
  marcato: ['strong-accent', true],
  fall: ['falloff', false],
} as const

/** An attack stands on the first piece of a tied note, a fall on its last. */
function articulations(note: PartNote, event: VoiceEvent): XmlElement | undefined {
  if (!note.articulation) return undefined
  const [name, onFirst] = ARTICULATIONS[note.articulation]
  return (onFirst ? event.isFirst : event.isLast) ? el('articulations', {}, el(name)) : undefined
}

/** Words: a trailing hyphen says that the word goes on. */
function lyric(sung: MelodyNote | undefined): XmlElement | undefined {
  if (!sung?.lyric) return undefined
  const goesOn = sung.lyric.endsWith('-')
  const text = goesOn ? sung.lyric.slice(0, -1) : sung.lyric
  return el('lyric', { number: 1 }, leaf('syllabic', goesOn ? 'begin' : 'single'), leaf('text', text))
}
