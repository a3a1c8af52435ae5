/** Bossa nova: Even eighths, cross-stick {0,3,6,10,13} over two bars, kick and bass agree on {0,3,4,7}; beat 3 heavier than beat 1. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const BOSSA: Groove = {
  id: 'bossa',
  name: 'Bossa nova',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  grid: 8,
  span: 2,
  tempo: { low: 108, high: 152, default: 128 },
  feel: 'even',
  ratio: 100,
  dyn: 56,
  drums: {
    main: drumRows({
      hat: 'xoxoxoxo',
      xstick: 'x..x..x.|..x..x..',
      hatfoot: '..x...x.',
      kick: 'x..oX..o',
    }),
    var1: drumRows({
      shaker: 'XoxoXoxo',
      xstick: '..x..x..|x..x..x.',
      hatfoot: '..x...x.',
      kick: 'x..oX..o',
    }),
    var2: drumRows({
      ride: 'xxoxxoxx|oxxoxoxx',
      xstick: 'x..x..x.|..x..x.x',
      hatfoot: '..x...x.',
      kick: 'x..xX..x',
    }),
    fill: drumRows({
      hat: 'xoxo....',
      xstick: 'x..x....',
      snare: '....oxox',
      tomlow: '......x.',
      kick: 'x..oX..o',
    }),
    end: drumRows({
      crash: 'x-------',
      xstick: 'X.......',
      kick: 'X.......',
    }),
  },
  bass: {
    one: bassRow('0:1/3 3:5/1 4:5/3 7:n1/1'),
    two: bassRow('0:1/3 3:n1/1 4:1/3 7:n1/1'),
    ped: bassRow('0:P/3 3:P/1 4:P_/3 7:P/1'),
  },
  comp: cells('x..x..x.|..x..x..', 'x--.x-..|.x-..x->', 'x-...x-.|.x-.x-..', '.x-.x-.>|--.x-.x-'),
  riff: ['x--x----', '..x-x---'],
  voicing: { kind: 'rootless', lowMidi: 48, highMidi: 69 },
  melody: { anticipations: 1, layBackMs: 25, articulation: 'tenuto', held: 'swell' },
  leftHand: 'B..BB..B',
  guitar: 'x.xx.xx.',
  duoGuitar: { rows: ['.x-.x-.>', '--.x-.x-'], way: 'strum', strings: 3, thumb: 'x...x...' },
  level1: ['hat', 'xstick'],
  thickened: [{ levels: [4, 4], rows: drumRows({ shaker: 'XoxoXoxo' }), instead: ['hat', 'ride'] }],
  stop: ['held'],
  duo: 'nylon guitar: thumb on the bass row (0 and 4 only), fingers play comp d; no drums needed',
  thicken: 'shaker instead of hat from 4; ride var2 at 5',
}
