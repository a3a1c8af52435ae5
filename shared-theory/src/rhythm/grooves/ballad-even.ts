/** Even-eighth ballad: Clean and floating, no swing: the ride carries the eighths, weight on 1, cross-stick late in the bar. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BALLAD_EVEN: Groove = {
  id: 'ballad-even',
  name: 'Even-eighth ballad',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 16,
  span: 1,
  tempo: { low: 56, high: 84, default: 66 },
  feel: 'even',
  ratio: 100,
  dyn: 52,
  chordStep: 6,
  drums: {
    main: drumRows({
      ride: 'x.o.x.o.x.o.x.o.',
      hatfoot: '....x.......x...',
      xstick: '............x...',
      kick: 'x.........o.....',
    }),
    var1: drumRows({
      hat: 'x.o.x.o.x.o.x.oo',
      xstick: '........x.......',
      kick: 'x.....o.......o.',
    }),
    var2: drumRows({
      ride: 'x.o.X.o.x.o.X.o.',
      snare: '....x..o....X..o',
      kick: 'x.....o.x.....o.',
    }),
    fill: drumRows({
      ride: 'x.o.x.o.........',
      tomhigh: '........x.o.....',
      tommid: '...........ox...',
      tomfloor: '..............x.',
      kick: 'x...........x...',
    }),
    end: drumRows({
      crash: 'x---------------',
      kick: 'x...............',
    }),
  },
  bass: {
    one: bassRow('0:1/10 10:5/4 14:ap/2'),
    two: bassRow('0:1/8 8:1/6 14:ap/2'),
    ped: bassRow('0:P/10 10:P/6'),
  },
  comp: cells(
    'x---------------|x---------------',
    'x-------..x-----|x-----------x---',
    '....x-------x---|..x-----x-------',
  ),
  riff: ['x-------x-------', 'x---------------'],
  voicing: { kind: 'spread', lowMidi: 48, highMidi: 72 },
  melody: { anticipations: 0, layBackMs: 15, articulation: 'tenuto', held: 'swell' },
  leftHand: 'B...C...B...C...',
  guitar: 'x...x...x...x...',
  duoGuitar: { rows: ['x.o.o.o.x.o.o.o.', 'x.o.o.o.x.o.o.o.'], way: 'up' },
  level1: ['ride', 'hatfoot'],
  thickened: [
    { levels: [4, 5], rows: drumRows({ snare: '........x.......' }), instead: ['xstick'] },
    { levels: [5, 5], rows: drumRows({ bell: '....x.......x...' }) },
  ],
  stop: ['fermata'],
  duo: 'guitar arpeggiates the voicing upward in eighths, lets ring; bass plays row one',
  thicken: 'snare takes over xstick at 4; 5 ride bell on 2 and 4',
}
