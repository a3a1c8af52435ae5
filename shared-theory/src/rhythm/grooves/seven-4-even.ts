/** Relaxed 7/4: Tresillo over the four, two evenly spaced strokes in the three; bass and kick are this figure, all else is air. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SEVEN_4_EVEN: Groove = {
  id: 'seven-4-even',
  name: 'Relaxed 7/4',
  metre: { beats: 7, beatType: 4 },
  groups: [4, 3],
  grid: 14,
  span: 1,
  tempo: { low: 96, high: 136, default: 116 },
  feel: 'even',
  ratio: 100,
  dyn: 56,
  drums: {
    main: drumRows({
      hat: 'xoxoxoxoxoxoxo',
      xstick: '....x.......x.',
      kick: 'x..o..o.x..o..',
    }),
    var1: drumRows({
      ride: 'xoxoxoxoxoxoxo',
      xstick: '....x.......x.',
      hatfoot: '..x...x...x...',
      kick: 'x..x..x.x..x..',
    }),
    var2: drumRows({
      ride: 'x.xxx.xxx.xx.x',
      snare: '..o.X..o..o.X.',
      hatfoot: '..x...x...x.x.',
      kick: 'x..x..x.x..x..',
    }),
    fill: drumRows({
      hat: 'xoxoxoxo......',
      snare: '........oxoxox',
      tomlow: '..........x...',
      kick: 'x..o..o.x..x..',
    }),
    end: drumRows({
      crash: 'x-------------',
      kick: 'x.............',
      xstick: 'x.............',
    }),
  },
  bass: {
    one: bassRow('0:1/3 3:5/3 6:8/2 8:1/3 11:5/3'),
    two: bassRow('0:1/3 3:5/3 6:ap/2 8:1/3 11:ap/3'),
    ped: bassRow('0:P/3 3:P/3 6:P_/2 8:P/3 11:P/3'),
  },
  comp: cells('x..x..x-x..x..|x..x..x-x..x..', '...x-...x--...|...x-.x-...x-.', 'x-----..x-----|....x-....x-.>'),
  riff: ['x--x-...x--...', 'x--x-...x-----'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 71 },
  melody: { anticipations: 0, layBackMs: 20, articulation: 'tenuto', held: 'swell' },
  leftHand: 'B..C..C.B..C..',
  guitar: 'x.xx.xx.x.xx.x',
  duoGuitar: { rows: ['xooxooxoxooxoo', 'xooxooxoxooxoo'], way: 'up' },
  level1: ['hat', 'xstick'],
  stop: ['held'],
  duo: 'guitar arpeggiates comp a, bass row one',
  thicken: 'ride from 4',
}
