/** Which recorded sound and which kit each part plays: by its instrument, by the groove for the guitar, by the strokes for the drums. */
import { type Arrangement, findInstrument, type PartSpec } from '@chartloft/shared-theory'
import type { Kit } from './zone-table.js'

export interface PartSound {
  readonly name: string
  readonly kit?: Kit
}

/** Instruments whose sound has another name. */
const NAMES: { readonly [instrument: string]: string } = { guitar: 'jazz-guitar' }
/** Grooves a guitarist takes the nylon strings for. Source: common practice. */
const NYLON_GROOVES: ReadonlySet<string> = new Set(['bossa', 'samba', 'ballad-even', 'rubato'])
const BRUSH_STROKES: ReadonlySet<string> = new Set(['btap', 'bslap', 'bsweep'])
const JAZZ_FEELS: ReadonlySet<string> = new Set(['swing', 'shuffle', 'rubato'])

export function soundsOf(arrangement: Pick<Arrangement, 'lineup' | 'groove' | 'bars'>): ReadonlyMap<string, PartSound> {
  return new Map(arrangement.lineup.map((part) => [part.id, soundOfPart(part, arrangement)]))
}

function soundOfPart(part: PartSpec, { groove, bars }: Pick<Arrangement, 'groove' | 'bars'>): PartSound {
  const instrument = findInstrument(part.instrument)
  if (part.role === 'drums' || instrument?.family === 'drums') return { name: 'drum-kit', kit: kitOf(part.id, bars) }
  if (instrument?.family === 'voice') return { name: part.role === 'lead' ? 'voice-aah' : 'voice-ooh' }
  if (instrument?.family === 'guitar' && NYLON_GROOVES.has(groove)) return { name: 'nylon-guitar' }
  const id = instrument?.id ?? 'piano'
  return { name: NAMES[id] ?? id }
}

/** Brushes where most bars the drummer plays have a stroke of them: a soft first section alone makes no brush kit. Jazz drums where most bars
 *  swing. */
function kitOf(partId: string, bars: Arrangement['bars']): Kit {
  const played = bars.filter(({ parts }) => (parts[partId]?.length ?? 0) > 0)
  const brushed = played.filter(({ parts }) => parts[partId]?.some(({ name }) => BRUSH_STROKES.has(name)))
  if (brushed.length > 0 && brushed.length * 2 >= played.length) return 'brushes'
  const swinging = bars.filter(({ feel }) => JAZZ_FEELS.has(feel)).length
  return swinging * 2 > bars.length ? 'jazz' : 'sticks'
}
