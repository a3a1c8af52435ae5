/** Street beat: Eighths between even and triplet (1.4:1), press-roll snare, bass drum with the big four. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const STREET_BEAT: Groove = {
  id: 'street-beat',
  name: 'Street beat',
  metre: { beats: 4, beatType: 4 },
  groups: [2, 2],
  grid: 8,
  span: 2,
  tempo: { low: 160, high: 212, default: 184 },
  counted: 'half',
  feel: 'street',
  ratio: 140,
  dyn: 72,
  drums: {
    main: drumRows({
      snare: 'xoXoxoXo|XoxXoxXo',
      kick: 'x..x..x.|....x.X.',
      hatfoot: '..x...x.',
    }),
    var1: drumRows({
      snare: 'xXoxXoxX|oXoxxoXx',
      kick: 'x..x..x.|x...x.X.',
      hatfoot: '..x...x.',
      cowbell: 'x.x.x.x.',
    }),
    var2: drumRows({
      snare: 'XoxXoxXo|xXoxXoXx',
      kick: 'x..x..x.|x..x..X.',
      hatfoot: '..x...x.',
      crash: '........|......x.',
    }),
    fill: drumRows({
      snare: 'XoxXoxXX',
      tomlow: '....x...',
      kick: 'x..x..X.',
    }),
    end: drumRows({
      crash: 'X.......',
      snare: 'X.......',
      kick: 'X.......',
    }),
  },
  bass: {
    one: bassRow('0:1/2 2:3/2 4:5/2 6:3/2|0:1/3 3:5/3 6:ap/2'),
    two: bassRow('0:1/2 2:5_/2 4:1/2 6:5_/2'),
    ped: bassRow('0:P/3 3:P/3 6:P_/2'),
  },
  comp: cells('..x...x.|..x...x.', 'x..x..x.|..x..x..', '.x.x..x.|...x..x>'),
  riff: ['x..x..x-', '..x-x---'],
  voicing: { kind: 'close', lowMidi: 50, highMidi: 70 },
  melody: { anticipations: 1, layBackMs: 0, articulation: 'short', held: 'fill' },
  leftHand: 'B.C.B.C.',
  guitar: '..X...X.',
  duoGuitar: { way: 'strum', strings: 3 },
  level1: ['snare', 'kick'],
  thickened: [
    { levels: [1, 1], rows: drumRows({ btap: 'ooxoooxo|xooxooxo' }), instead: ['snare'] },
    { levels: [5, 5], rows: drumRows({ handclap: '..x...x.' }) },
  ],
  stop: ['button'],
  duo: 'guitar chops 2 and 4; bass plays in two (0,4) with a pickup at 6',
  thicken: '1 with brushes; 5 handclap on 2 and 4, all horns',
}
