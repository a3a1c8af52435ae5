/** Medium swing: Ride {0,3,5,6,9,11} and hat {3,9} on twelve slots; two-feel at levels 1–2, walking from 3; the kick is felt, not heard. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SWING_MEDIUM: Groove = {
  id: 'swing-medium',
  name: 'Medium swing',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 12,
  span: 2,
  tempo: { low: 108, high: 190, default: 138 },
  feel: 'swing',
  ratio: 'table',
  dyn: 66,
  drums: {
    main: drumRows({
      ride: 'x..X.xx..X.x',
      hatfoot: '...x.....x..',
      kick: 'o..o..o..o..',
    }),
    two: drumRows({
      hat: 'x..X.xx..X.x',
      hatfoot: '...x.....x..',
      kick: 'o.....o.....',
    }),
    var1: drumRows({
      ride: 'x..X.xx..X.x|x..X.xx..X.x',
      hatfoot: '...x.....x..|...x.....x..',
      snare: '.....o......|..o........x',
      kick: 'o..o..o..o..|o..o.....x..',
    }),
    var2: drumRows({
      ride: 'x..X..x.xX..|x.xX..x..X.x',
      hatfoot: '...x.....x..|...x.....x..',
      snare: '..o.....x..o|......o..x..',
      kick: 'o....x......|.....x.....x',
    }),
    fill: drumRows({
      ride: 'x..X........',
      hatfoot: '...x.....x..',
      snare: '.....xoxoXox',
      tomlow: '.........x..',
      kick: 'o........x..',
    }),
    end: drumRows({
      crash: 'X...........',
      snare: 'X...........',
      kick: 'X...........',
    }),
  },
  bass: {
    'two-feel': bassRow('0:1/6 6:5/6|0:1/6 6:5/3 9:ap/3'),
    one: bassRow('0:w/3 3:w/3 6:w/3 9:w/3'),
    two: bassRow('0:1/3 3:ap/3 6:1/3 9:ap/3'),
    ped: bassRow('0:P/6 6:P/3 9:P_/3'),
  },
  comp: cells(
    'x----x......|............',
    '.....x.....>|-----.......',
    '..x..x......|...x-......>',
    '......x-....|..x.....x-..',
  ),
  riff: ['x----x------', '...x..x--...'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 74 },
  melody: { anticipations: 1, layBackMs: 'table', articulation: 'swing', held: 'swell' },
  leftHand: 'B..C..B..C..',
  guitar: 'x..X..x..X..',
  duoGuitar: { way: 'strum', strings: 3 },
  level1: ['hat', 'hatfoot'],
  stop: ['button', 'fermata'],
  duo: 'guitar: four short quarters, 3-note shells, 2 and 4 a little louder; bass walks',
  thicken: 'two at 1-2, walking from 3; 5 crash at starts',
}
