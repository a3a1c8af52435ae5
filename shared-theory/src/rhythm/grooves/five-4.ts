/** 5/4: A waltz bar plus a two-beat turn, swung; chords on 1 and 4; the ostinato of comp a tells where the bar is. Source: common practice; tempo band and loudness from memory. */
import type { Groove } from '../groove.js'
import { bassRow, cells, drumRows } from '../grid.js'

export const FIVE_4: Groove = {
  id: 'five-4',
  name: '5/4',
  metre: { beats: 5, beatType: 4 },
  groups: [3, 2],
  grid: 15,
  span: 1,
  tempo: { low: 132, high: 190, default: 160 },
  feel: 'swing',
  ratio: 'table',
  dyn: 62,
  drums: {
    main: drumRows({
      ride: 'X..x.xx..X.xx..',
      hatfoot: '...x........x..',
      kick: 'o........o.....',
    }),
    var1: drumRows({
      ride: 'X..x.xx.xX..x.x',
      hatfoot: '...x........x..',
      snare: '.....o........o',
      kick: 'o....o...x.....',
    }),
    var2: drumRows({
      ride: 'X..x.xx..X.xx.x',
      hatfoot: '...x........x..',
      snare: '.....x..o.....x',
      kick: 'x....x...x.....',
    }),
    fill: drumRows({
      ride: 'X..x.x.........',
      snare: '......xoxXoxXox',
      hatfoot: '...x........x..',
      kick: 'x........x.....',
    }),
    end: drumRows({
      crash: 'X..............',
      snare: 'X..............',
      kick: 'X..............',
    }),
  },
  bass: {
    one: bassRow('0:1/5 5:5/4 9:1/3 12:5/3'),
    two: bassRow('0:1/5 5:5/4 9:1/3 12:ap/3'),
    walk: bassRow('0:w/3 3:w/3 6:w/3 9:1/3 12:ap/3'),
    ped: bassRow('0:P/5 5:P/4 9:P/3 12:P_/3'),
  },
  comp: cells('x----x---x-----|x----x---x-----', '.....x---...x--|.....x---......', '..x--.......x--|.....x-..x-...>'),
  riff: ['x----x---x-----', 'x----x---......'],
  voicing: { kind: 'rootless', lowMidi: 50, highMidi: 73 },
  melody: { anticipations: 0, layBackMs: 'table', articulation: 'swing', held: 'swell' },
  leftHand: 'B....C...B..C..',
  guitar: 'x..x.xx..X..x..',
  duoGuitar: { rows: ['x----x---x-----', 'x----x---x-----'], way: 'strum' },
  level1: ['ride', 'hatfoot'],
  stop: ['button'],
  walkFromLevel: 5,
  duo: 'guitar ostinato = comp a; bass row one',
  thicken: 'ostinato comp a at 1-3; bass walk at 5',
}
