/** Swing ballad: Quiet triplets under brushes: the left hand sweeps, the right taps the ride rhythm; ratio fixed at 2:1 because everybody shares the triplet. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BALLAD_SWING: Groove = {
  id: 'ballad-swing',
  name: 'Swing ballad',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 12,
  span: 1,
  tempo: { low: 52, high: 80, default: 62 },
  feel: 'swing',
  ratio: 200,
  dyn: 48,
  chordStep: 6,
  drums: {
    main: drumRows({
      bsweep: 'x-----x-----',
      btap: 'o..x.oo..x.o',
      hatfoot: '...x.....x..',
      kick: 'o.....o.....',
    }),
    var1: drumRows({
      bsweep: 'x--x--x--x--',
      btap: 'o..x..o..x.o',
      hatfoot: '...x.....x..',
      kick: 'o........o..',
    }),
    var2: drumRows({
      ride: 'x..x.xx..x.x',
      xstick: '.........x..',
      hatfoot: '...x.....x..',
      kick: 'o.....o.....',
    }),
    fill: drumRows({
      bsweep: 'x-----......',
      btap: 'o..x..oxoxox',
      hatfoot: '...x.....x..',
      kick: 'o........x..',
    }),
    end: drumRows({
      ride: 'x-----------',
      bsweep: 'x-----------',
      kick: 'o...........',
    }),
  },
  bass: {
    one: bassRow('0:1/6 6:5/5 11:ap/1'),
    two: bassRow('0:1/5 5:ap/1 6:1/5 11:ap/1'),
    walk: bassRow('0:w/3 3:w/3 6:w/3 9:w/3'),
    ped: bassRow('0:P/6 6:P_/6'),
  },
  comp: cells('x-----------|x-----------', '..x---------|..x---..x---', 'x-----...oo-|x-----..>---'),
  riff: ['x-----x-----', 'x-----------'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 72 },
  melody: { anticipations: 1, layBackMs: 60, articulation: 'legato', held: 'swell' },
  leftHand: 'B-----C-----',
  guitar: 'x-----x-----',
  duoGuitar: { way: 'inner' },
  level1: ['bsweep', 'hatfoot'],
  thickened: [
    {
      levels: [4, 4],
      rows: drumRows({ ride: 'x..x.xx..x.x', xstick: '.........x..' }),
      instead: ['btap', 'bsweep', 'ride'],
    },
    {
      levels: [5, 5],
      rows: drumRows({ ride: 'x.Xxx.Xxx.Xxx.Xx', xstick: '.........x..' }),
      instead: ['btap', 'bsweep', 'ride'],
    },
  ],
  stop: ['fermata'],
  walkFromLevel: 5,
  duo: 'guitar plays the chord on 1 and a moving inner voice on 3; bass two-feel with triplet pickups at 10,11',
  thicken: 'sticks (var2) from 4; 5 double-time feel: ride of swing-medium, every beat halved, S1 at twice the tempo',
}
