/** Samba: Double time over the same tune bars: each half bar is one 2/4 samba bar in sixteenths; the heavy stroke is the second of each pair. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const SAMBA: Groove = {
  id: 'samba',
  name: 'Samba',
  metre: { beats: 4, beatType: 4 },
  groups: [2, 2],
  grid: 16,
  span: 1,
  tempo: { low: 88, high: 120, default: 104 },
  feel: 'even',
  ratio: 100,
  dyn: 66,
  drums: {
    main: drumRows({
      shaker: 'XooxXooxXooxXoox',
      xstick: 'x..x.x.x..x.x.x.',
      hatfoot: '..x...x...x...x.',
      kick: 'o..oX..oo..oX..o',
    }),
    var1: drumRows({
      ride: 'xoxxxoxxxoxxxoxx',
      snare: 'o.oxo.xoo.oxo.xo',
      hatfoot: '..x...x...x...x.',
      kick: 'o..oX..oo..oX..o',
    }),
    var2: drumRows({
      bell: 'x.x.xx.x.xx.x.x.',
      snare: 'oXooXooXoXooXoXo',
      hatfoot: '..x...x...x...x.',
      tomfloor: '....X.......X...',
      kick: 'x..xX..xx..xX..x',
    }),
    fill: drumRows({
      shaker: 'XooxXoox........',
      snare: '........xoxxoxxX',
      tomfloor: '............x..x',
      kick: 'o..oX..oo..oX..o',
    }),
    end: drumRows({
      crash: 'X...............',
      snare: 'X...............',
      kick: 'X...............',
    }),
  },
  bass: {
    one: bassRow('0:1/3 3:1/1 4:5/3 7:5/1 8:1/3 11:1/1 12:5/3 15:n1/1'),
    two: bassRow('0:1/3 3:1/1 4:5/3 7:n1/1 8:1/3 11:1/1 12:5/3 15:n1/1'),
    ped: bassRow('0:P/3 3:P/1 4:P_/3 7:P/1 8:P/3 11:P/1 12:P_/3 15:P/1'),
  },
  comp: cells(
    'x..x.x.x..x.x.x.|x..x.x.x..x.x.x.',
    '..x..x..x..x..x-|..x..x..x..x..>-',
    '.x.x..x..x.x..x.|.x.x..x.x-..x.>-',
    'x--..x-...x-..x.|..x-..x-..x-....',
  ),
  riff: ['..x..x--........', '..x..x-x--......'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 72 },
  melody: { anticipations: 2, layBackMs: 0, articulation: 'tenuto', held: 'plain' },
  leftHand: 'B..BC..BB..BC..B',
  guitar: '..x..x.x..x..x.x',
  duoGuitar: { rows: ['..x..x..x..x..x-', '..x..x..x..x..>-'], way: 'strum', strings: 3, thumb: 'x...x...x...x...' },
  level1: ['shaker', 'xstick'],
  thickened: [
    {
      levels: [5, 5],
      rows: drumRows({ agogohigh: 'x....x....x...x.', agogolow: '...x...x....x...', tambourine: 'XooxXooxXooxXoox' }),
    },
  ],
  stop: ['button'],
  duo: 'guitar plays comp b with thumb on 0,4,8,12; bass rows plain (0,4,8,12)',
  thicken: '5 agogohigh/agogolow double the xstick row, tambourine the shaker row',
}
