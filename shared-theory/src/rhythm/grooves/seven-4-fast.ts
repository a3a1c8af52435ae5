/** Fast 7/4: Nearly even at this tempo; bass walks seven quarters, the ride leaves out a skip before the turn. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SEVEN_4_FAST: Groove = {
  id: 'seven-4-fast',
  name: 'Fast 7/4',
  metre: { beats: 7, beatType: 4 },
  groups: [4, 3],
  grid: 14,
  span: 1,
  tempo: { low: 176, high: 256, default: 212 },
  feel: 'even',
  ratio: 100,
  dyn: 66,
  drums: {
    main: drumRows({
      ride: 'x.Xxx.X.x.Xxx.',
      hatfoot: '..x...x...x...',
      kick: 'o.......o.....',
    }),
    var1: drumRows({
      ride: 'x.Xxx.Xxx.Xxx.',
      hatfoot: '..x...x...x...',
      snare: '...o.......o..',
      kick: 'x.....o.x.....',
    }),
    var2: drumRows({
      ride: 'x.Xxx.X.X.Xxx.',
      snare: '.....x.x...x.x',
      hatfoot: '..x...x...x...',
      kick: 'x..x....x..x..',
    }),
    fill: drumRows({
      ride: 'x.Xxx.X.......',
      snare: '........xoxXxX',
      hatfoot: '..x...x...x...',
      kick: 'x.......x....x',
    }),
    end: drumRows({
      crash: 'X.............',
      snare: 'X.............',
      kick: 'X.............',
    }),
  },
  bass: {
    one: bassRow('0:1/2 2:w/2 4:w/2 6:w/2 8:1/2 10:w/2 12:ap/2'),
    two: bassRow('0:1/2 2:w/2 4:w/2 6:ap/2 8:1/2 10:w/2 12:ap/2'),
    ped: bassRow('0:P/2 2:P/2 4:P_/2 6:P/2 8:P/2 10:P/2 12:P_/2'),
  },
  comp: cells('...x....x.....|...x....x..x..', 'x.....x.......|........x..x..', '.....x-......>|--......x-....'),
  riff: ['x.....x-......', '........x..x--'],
  voicing: { kind: 'rootless', lowMidi: 52, highMidi: 74 },
  melody: { anticipations: 0, layBackMs: 5, articulation: 'swing', held: 'plain' },
  leftHand: 'B...C...B...C.',
  guitar: 'x.x.x.x.x.x.x.',
  duoGuitar: { rows: ['X.x.x.x.X.x.x.', 'X.x.x.x.X.x.x.'], way: 'strum', strings: 3 },
  level1: ['ride', 'hatfoot'],
  stop: ['button'],
  duo: 'guitar quarters, accent 1 and 5; bass row one',
  thicken: 'snare chatter from 4',
}
