/** Fast swing: The medium ride, flatter and lighter; bass in four, everything else sparser as the tempo grows. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SWING_FAST: Groove = {
  id: 'swing-fast',
  name: 'Fast swing',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 12,
  span: 2,
  tempo: { low: 190, high: 320, default: 240 },
  feel: 'swing',
  ratio: 'table',
  dyn: 64,
  drums: {
    main: drumRows({
      ride: 'x..X.xx..X.x',
      hatfoot: '...x.....x..',
    }),
    var1: drumRows({
      ride: 'x..X..x..X.x|x..X.xx..X..',
      hatfoot: '...x.....x..|...x.....x..',
      snare: '...........o|.....x......',
    }),
    var2: drumRows({
      ride: 'x..X.xx..X..|x..X.xx..X.x',
      hatfoot: '...x.....x..|...x.....x..',
      snare: '.....x......|..x........x',
      kick: '...........x|.....x......',
    }),
    fill: drumRows({
      ride: 'x...........',
      hatfoot: '...x.....x..',
      snare: '...X.xx..X.x',
      kick: 'x....x.....x',
    }),
    end: drumRows({
      crash: 'X...........',
      snare: 'X...........',
      kick: 'X...........',
    }),
  },
  bass: {
    one: bassRow('0:w/3 3:w/3 6:w/3 9:w/3'),
    two: bassRow('0:1/3 3:ap/3 6:1/3 9:ap/3'),
    ped: bassRow('0:P/3 3:P/3 6:P_/3 9:P/3'),
  },
  comp: cells(
    '...........>|--..........',
    '.....x......|............',
    '............|......x.....',
    '.....x......|.....x.....>',
  ),
  riff: ['x----x------', '............'],
  voicing: { kind: 'rootless', lowMidi: 52, highMidi: 74 },
  melody: { anticipations: 1, layBackMs: 'table', articulation: 'swing', held: 'plain' },
  leftHand: '......C.....',
  guitar: 'o..x..o..x..',
  duoGuitar: { way: 'strum', strings: 3, cellsAbove: 220 },
  level1: ['ride', 'hatfoot'],
  stop: ['button'],
  duo: 'guitar plays single accents (cells), not four-to-the-bar, above 220',
  thicken: 'snare chatter from 4',
}
