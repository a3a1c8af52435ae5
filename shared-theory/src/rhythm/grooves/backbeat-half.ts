/** Half-time backbeat: The backbeat with the snare on 3 only: twice as much room. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BACKBEAT_HALF: Groove = {
  id: 'backbeat-half',
  name: 'Half-time backbeat',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 16,
  span: 2,
  tempo: { low: 120, high: 168, default: 140 },
  feel: 'even',
  ratio: 100,
  dyn: 74,
  drums: {
    main: drumRows({
      hat: 'x...x...x...x...',
      snare: '........X.......',
      kick: 'x.........x.....|x.....x.........',
    }),
    var1: drumRows({
      hat: 'x.o.x.o.x.o.x.o.',
      snare: '........X......o',
      kick: 'x.....x...x.....|x...........x...',
    }),
    var2: drumRows({
      ride: 'x...x...x...x...',
      snare: '....o...X..o..o.',
      hatopen: '..............x.',
      kick: 'x.....x...x.....|x..x..x...x...x.',
    }),
    fill: drumRows({
      hat: 'x...x...........',
      snare: '........X...xxxx',
      tomfloor: '..........x.....',
      kick: 'x.....x.........',
    }),
    end: drumRows({
      crash: 'x---------------',
      snare: 'X...............',
      kick: 'X...............',
    }),
  },
  bass: {
    one: bassRow('0:1/10 10:5/4 14:ap/2'),
    two: bassRow('0:1/8 8:1/6 14:ap/2'),
    ped: bassRow('0:P/10 10:P/6'),
  },
  comp: cells(
    'x---------------|x---------------',
    'x-----x---------|..........x-----',
    '......x-....x---|........x-..>---',
  ),
  riff: ['x-----x---------', '........x-..x---'],
  voicing: { kind: 'spread', lowMidi: 45, highMidi: 72 },
  melody: { anticipations: 1, layBackMs: 15, articulation: 'tenuto', held: 'swell' },
  leftHand: 'B...B...C.......',
  guitar: 'x-----x---x-----',
  duoGuitar: { way: 'ring' },
  level1: ['hat'],
  stop: ['held'],
  duo: 'guitar lets chords ring; bass row one',
  thicken: 'hat eighths from 4; ride at 5',
}
