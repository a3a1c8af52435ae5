/** 6/8 ballad: Two slow dotted-quarter beats, rolling eighths, backbeat on the second. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BALLAD_6_8: Groove = {
  id: 'ballad-6-8',
  name: '6/8 ballad',
  metre: { beats: 6, beatType: 8 },
  groups: [3, 3],
  grid: 12,
  span: 1,
  tempo: { low: 66, high: 90, default: 75 },
  beat: { unit: 'dotted-quarter', low: 44, high: 60, default: 50 },
  feel: 'even',
  ratio: 100,
  dyn: 58,
  chordStep: 6,
  drums: {
    main: drumRows({
      hat: 'x.o.o.x.o.o.',
      xstick: '......x.....',
      kick: 'x.........o.',
    }),
    var1: drumRows({
      ride: 'x.o.o.x.o.o.',
      snare: '......X....o',
      hatfoot: '......x.....',
      kick: 'x...o.....x.',
    }),
    var2: drumRows({
      ride: 'x.x.x.X.x.x.',
      snare: '...o..X..o.o',
      kick: 'x..x......xo',
    }),
    fill: drumRows({
      hat: 'x.o.o.......',
      snare: '......X.oo..',
      tomhigh: '..........x.',
      tomfloor: '...........x',
      kick: 'x.....x.....',
    }),
    end: drumRows({
      crash: 'x-----------',
      kick: 'x...........',
    }),
  },
  bass: {
    one: bassRow('0:1/6 6:5/4 10:ap/2'),
    two: bassRow('0:1/6 6:1/4 10:ap/2'),
    ped: bassRow('0:P/10 10:P/2'),
  },
  comp: cells('x-----------|x-----------', 'x-o-o-x-o-o-|x-o-o-x-o-o-', '....x-x-----|..x-x-x-----'),
  riff: ['x-----x-----', 'x-----------'],
  voicing: { kind: 'spread', lowMidi: 48, highMidi: 71 },
  melody: { anticipations: 0, layBackMs: 15, articulation: 'legato', held: 'swell' },
  leftHand: 'B.C.C.B.C.C.',
  guitar: 'x.x.x.x.x.x.',
  duoGuitar: { rows: ['x.o.o.o.o.o.', 'x.o.o.o.o.o.'], way: 'up-down' },
  level1: ['hat'],
  stop: ['fermata'],
  duo: 'guitar arpeggio (gtr row, low to high to low); bass row one',
  thicken: 'snare from 4',
}
