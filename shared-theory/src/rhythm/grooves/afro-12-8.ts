/** Afro-Cuban 12/8: Twelve eighths, four dotted-quarter beats, the seven-stroke bell; never swung. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const AFRO_12_8: Groove = {
  id: 'afro-12-8',
  name: 'Afro-Cuban 12/8',
  metre: { beats: 12, beatType: 8 },
  groups: [3, 3, 3, 3],
  grid: 12,
  span: 1,
  tempo: { low: 138, high: 204, default: 168 },
  beat: { unit: 'dotted-quarter', low: 92, high: 136, default: 112 },
  feel: 'even',
  ratio: 100,
  dyn: 66,
  drums: {
    main: drumRows({
      bell: 'x.x.xx.x.x.x',
      hatfoot: 'x..x..x..x..',
      xstick: '...x.....x..',
      kick: '......x..o..',
      congalow: '....x....x..',
      congaopen: '..x..x..x..x',
    }),
    var1: drumRows({
      cowbell: 'X.x.xX.x.x.x',
      hatfoot: '...x.....x..',
      snare: '...x..o..x.o',
      kick: 'x.....x.....',
      congalow: '....xx....xx',
      congaopen: '..x.....x...',
    }),
    var2: drumRows({
      bell: 'X.x.xX.x.X.x',
      tomhigh: '..x.....x...',
      tomlow: '....xx....xx',
      snare: '...X..o..X.o',
      kick: 'x....x..x..x',
      hatfoot: 'x..x..x..x..',
    }),
    fill: drumRows({
      bell: 'x.x.x.......',
      tomhigh: '......xx....',
      tomlow: '........xx..',
      tomfloor: '..........xX',
      kick: 'x.....x..x..',
    }),
    end: drumRows({
      crash: 'X...........',
      kick: 'X...........',
      cowbell: 'X...........',
    }),
  },
  bass: {
    one: bassRow('0:1/4 4:5/2 6:8/3 9:5/2 11:n1/1'),
    two: bassRow('0:1/4 4:5/2 6:1/3 9:5/2 11:n1/1'),
    ped: bassRow('0:P/4 4:P_/2 6:P/3 9:P_/3'),
  },
  comp: cells('x.x.x.x.x.x.|x.x.x.x.x.x.', '..x-.x-..x-.|..x-.x-..x->', 'x-....x-....|..x-..x-.x-.'),
  voicing: { kind: 'quartal', lowMidi: 50, highMidi: 72 },
  melody: { anticipations: 0, layBackMs: 0, articulation: 'tenuto', held: 'plain' },
  leftHand: 'B...C.B..C..',
  guitar: 'x.xx.xx.xx.x',
  level1: ['bell', 'hatfoot'],
  stop: ['held'],
  duo: 'guitar plays comp a softly (six against four), bass row one',
  thicken: 'cowbell from 4; toms at 5',
}
