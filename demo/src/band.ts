/** The demo's people: a five-piece from an invented harbour town, preparing a boat-shed concert. */
import type { PartSpec } from '@chartloft/shared-theory'

export interface DemoPlayer {
  readonly name: string
  readonly partId: PartSpec['id']
  readonly isLeader?: true
}

export interface DemoBand {
  readonly name: string
  readonly town: string
  readonly occasion: string
  readonly players: readonly DemoPlayer[]
  /** Score order; the first part leads. */
  readonly lineup: readonly PartSpec[]
}

export const DEMO_BAND: DemoBand = {
  name: 'The Slipway Five',
  town: 'Skerrow Haven',
  occasion: 'Boat-shed concert at the spring tide',
  players: [
    { name: 'Ilse Morrow', partId: 'trumpet', isLeader: true },
    { name: 'Bram Tarn', partId: 'tenor-sax' },
    { name: 'Odile Fenwater', partId: 'piano' },
    { name: 'Penn Harrow', partId: 'bass' },
    { name: 'Sunniva Leck', partId: 'drums' },
  ],
  lineup: [
    { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' },
    { id: 'tenor-sax', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' },
    { id: 'piano', instrument: 'piano', name: 'Piano', role: 'chords' },
    { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' },
    { id: 'drums', instrument: 'drum-kit', name: 'Drums', role: 'drums' },
  ],
}
