/** Jazz waltz: Ride {0,3,5,6} and hat {3} on nine slots; floats in one, two against three every second bar. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const JAZZ_WALTZ: Groove = {
  id: 'jazz-waltz',
  name: 'Jazz waltz',
  metre: { beats: 3, beatType: 4 },
  groups: [3],
  grid: 9,
  span: 2,
  tempo: { low: 108, high: 200, default: 152 },
  feel: 'swing',
  ratio: 'table',
  dyn: 60,
  drums: {
    main: drumRows({
      ride: 'X..x.xx..',
      hatfoot: '...x.....',
      kick: 'o........|o....o...',
    }),
    var1: drumRows({
      ride: 'X..x.xx.x|x..X.xx..',
      hatfoot: '...x.....|...x..x..',
      snare: '.....o...|......o..',
      kick: 'o........|.....o...',
    }),
    var2: drumRows({
      ride: 'X..x.xx..|..x..x..x',
      hatfoot: '...x.....|...x.....',
      snare: '.....x..o|..x..x...',
      kick: 'x........|.....x...',
    }),
    fill: drumRows({
      ride: 'X........',
      snare: '..xX.xoxo',
      tomlow: '......x..',
      hatfoot: '...x.....',
      kick: 'x.....x..',
    }),
    end: drumRows({
      ride: 'X--------',
      kick: 'x........',
      snare: 'x........',
    }),
  },
  bass: {
    one: bassRow('0:1/9|0:1/6 6:5/3'),
    two: bassRow('0:1/6 6:1/3'),
    walk: bassRow('0:w/3 3:w/3 6:w/3'),
    ped: bassRow('0:P/9|0:P/6 6:P_/3'),
  },
  comp: cells('.....x---|--.......', '...x--x--|.....x---', 'x----x---|x----x---', '.....x---|...x....>'),
  riff: ['x----x---', '...x-----'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 74 },
  melody: { anticipations: 1, layBackMs: 'table', articulation: 'swing', held: 'swell' },
  leftHand: 'B..C..C..',
  guitar: 'o..x..x..',
  duoGuitar: { rows: ['...o..o..', '...o..o..'], way: 'strum', strings: 3 },
  level1: ['ride', 'hatfoot'],
  thickened: [{ levels: [1, 1], rows: drumRows({ bsweep: 'x--------' }), instead: ['ride'] }],
  stop: ['held'],
  walkFromLevel: 4,
  duo: 'guitar 2 and 3 lightly (short), bass in one; level 4 bass walk',
  thicken: '1 with brushes: one bsweep circle a bar for ride; bass walk from level 4',
}
