/** Rubato: No pattern: the melody leads and the chord follows; it still has bars, ticks and tempo marks. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const RUBATO: Groove = {
  id: 'rubato',
  name: 'Rubato',
  metre: 'any',
  groups: 'tune',
  grid: 4,
  span: 1,
  tempo: { low: 46, high: 76, default: 58 },
  feel: 'rubato',
  ratio: 100,
  dyn: 56,
  chordStep: 6,
  drums: {
    main: drumRows({
      crash: '....',
    }),
    var1: drumRows({
      crash: '..o-',
    }),
    var2: drumRows({
      tomfloor: '..o-',
      crash: '...o',
    }),
    fill: drumRows({
      hatfoot: '..xx',
    }),
    end: drumRows({
      crash: 'o---',
    }),
  },
  bass: {
    one: bassRow('0:1/4'),
    two: bassRow('0:1/2 2:1/2'),
    ped: bassRow('0:P/4'),
  },
  comp: cells('x---|x---', '.x--|x---', 'x-.x|-x--'),
  riff: ['....', '....'],
  voicing: { kind: 'spread', lowMidi: 43, highMidi: 76 },
  melody: { anticipations: 0, layBackMs: 0, articulation: 'legato', held: 'swell' },
  leftHand: 'B-C-',
  guitar: 'x---',
  duoGuitar: { way: 'ring' },
  level1: [],
  stop: ['fermata'],
  duo: 'guitar rolls the chord low to high under the first melody note of each chord; bass arco or tacet',
  thicken: 'var1 in the last bar of a phrase at 2; var2 (mallet swell) from 3',
}
