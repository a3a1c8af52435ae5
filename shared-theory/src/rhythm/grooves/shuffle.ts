/** Shuffle: Strict triplet long–short from everyone, heavy 2 and 4. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SHUFFLE: Groove = {
  id: 'shuffle',
  name: 'Shuffle',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 12,
  span: 2,
  tempo: { low: 88, high: 144, default: 116 },
  feel: 'shuffle',
  ratio: 200,
  dyn: 76,
  drums: {
    main: drumRows({
      hat: 'x.oX.ox.oX.o',
      snare: '...X.....X..',
      kick: 'x..o..x..o..',
    }),
    var1: drumRows({
      ride: 'x.oX.ox.oX.o|x.oX.ox.oX.o',
      hatfoot: '...x.....x..|...x.....x..',
      snare: '..oX.o..oX.o|..oX.o..oX.o',
      kick: 'x..o..x..o..|x..o.xx..o..',
    }),
    var2: drumRows({
      ride: 'x.xX.xx.xX.x|x.xX.xx.xX.x',
      hatfoot: '...x.....x..|...x.....x..',
      snare: 'o.oX.oo.oX.o|o.oX.oo.oX.x',
      kick: 'x....xx.....|x....xx....x',
    }),
    fill: drumRows({
      hat: 'x.oX........',
      snare: '...X..xoxXxX',
      kick: 'x.....x..x..',
    }),
    end: drumRows({
      crash: 'X...........',
      snare: 'X...........',
      kick: 'X...........',
    }),
  },
  bass: {
    one: bassRow('0:1/3 3:3/3 6:5/3 9:ap/3'),
    two: bassRow('0:1/3 3:ap/3 6:1/3 9:ap/3'),
    ped: bassRow('0:P/3 3:P/3 6:P/3 9:P_/3'),
  },
  comp: cells('..x..x..x..x|..x..x..x..x', '...x.....x..|...x....xx..', '.....x......|..x..x......'),
  riff: ['x----x......', 'x----x...x..'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 70 },
  melody: { anticipations: 1, layBackMs: 20, articulation: 'swing', held: 'fill' },
  leftHand: 'B.oC.oB.oC.o',
  guitar: 'x.oX.ox.oX.o',
  duoGuitar: { rows: ['x.xx.xx.xx.x', 'x.xx.xx.xx.x'], way: 'low-strings' },
  level1: ['hat'],
  stop: ['button'],
  duo: 'guitar plays root-fifth/root-sixth on the low strings in shuffle eighths; bass four quarters',
  thicken: 'var2 ghosts at 5',
}
