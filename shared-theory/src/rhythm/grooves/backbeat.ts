/** Straight backbeat: Even eighths, snare on 2 and 4, kick with the bass. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BACKBEAT: Groove = {
  id: 'backbeat',
  name: 'Straight backbeat',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 16,
  span: 2,
  tempo: { low: 80, high: 124, default: 100 },
  feel: 'even',
  ratio: 100,
  dyn: 76,
  drums: {
    main: drumRows({
      hat: 'X.x.X.x.X.x.X.x.',
      snare: '....X.......X...',
      kick: 'x.....x.x.......|x.....x.x.x.....',
    }),
    var1: drumRows({
      hat: 'XoxoXoxoXoxoXoxo',
      snare: '....X..o.o..X..o',
      kick: 'x.....x.x.......|x..x....x.x.....',
    }),
    var2: drumRows({
      ride: 'X.x.X.x.X.x.X.x.',
      hatfoot: '....x.......x...',
      snare: '....X..o....X.oo|....X..o.o..X..o',
      kick: 'x..x..x.x..x....|x..x..x...x....x',
    }),
    fill: drumRows({
      hat: 'X.x.X.x.........',
      snare: '....X...xx.xx.xx',
      tomfloor: '..............x.',
      kick: 'x.....x.x.......',
    }),
    end: drumRows({
      crash: 'X...............',
      snare: 'X...............',
      kick: 'X...............',
    }),
  },
  bass: {
    one: bassRow('0:1/6 6:1/2 8:5/6 14:ap/2'),
    two: bassRow('0:1/6 6:ap/2 8:1/6 14:ap/2'),
    ped: bassRow('0:P/6 6:P/2 8:P/8'),
  },
  comp: cells(
    'x-------x-------|x-----x---------',
    '..x...x...x...x.|..x...x...x...>-',
    'x-----x-----x---|..x-....x-......',
  ),
  riff: ['x-x...x-....x-..', '..x-..x---......'],
  voicing: { kind: 'spread', lowMidi: 48, highMidi: 72 },
  melody: { anticipations: 2, layBackMs: 10, articulation: 'tenuto', held: 'fill' },
  leftHand: 'B...C.B.B...C...',
  guitar: 'x.oxX.ox..xoX.ox',
  duoGuitar: { way: 'damped' },
  level1: ['hat'],
  thickened: [
    { levels: [1, 1], rows: drumRows({ xstick: '............x...' }) },
    { levels: [5, 5], rows: drumRows({ tambourine: 'x.x.X.x.x.x.X.x.' }) },
  ],
  stop: ['button'],
  duo: 'guitar plays gtr row with damped strings on o; bass row one',
  thicken: '1 adds xstick on 12; tambourine eighths at 5',
}
