/** The drummer, rule by rule. */
import { type ArrangedBar, grooveOfBar, type PartSpec, TICKS_PER_QUARTER } from '@chartloft/shared-theory'
import { mod, type Played, type Share, share, count, partOf, notesOf, isFree } from './sample.js'

const positions = (bar: ArrangedBar, drums: PartSpec, name: string, unit: number): readonly number[] =>
  notesOf(bar, drums)
    .filter((note) => note.name === name)
    .map(({ startTick }) => startTick / unit)

/** Hat with the foot (or closed) on two and four in swung fours, in every bar in time. */
export function hatsOnTwoAndFour(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const drums = partOf(arrangement, 'drums')
    if (!drums || !['swing-medium', 'swing-fast', 'ballad-swing'].includes(groove.id)) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || grooveOfBar(groove, bar).id !== groove.id || notesOf(bar, drums).length === 0) return
      const foot = positions(bar, drums, 'hatfoot', TICKS_PER_QUARTER)
      count(found, foot.includes(1) && foot.includes(3), () => `${where}, bar ${index + 1}`)
    })
  }
  return found
}

/** Rows that carry the time-line of their groove, with the positions (in steps) of one or two bars. Sources: bossa stick, common practice;
 *  samba and 12/8 bell, Toussaint 2005; 2-3 clave, common practice. */
const TIME_LINES: readonly (readonly [
  groove: string,
  row: string,
  steps: number,
  bars: readonly (readonly number[])[],
])[] = [
  [
    'bossa',
    'xstick',
    8,
    [
      [0, 3, 6],
      [2, 5],
    ],
  ],
  ['samba', 'agogo', 16, [[0, 3, 5, 7, 10, 12, 14]]],
  ['samba', 'xstick', 16, [[0, 3, 5, 7, 10, 12, 14]]],
  ['afro-12-8', 'bell', 12, [[0, 2, 4, 5, 7, 9, 11]]],
  ['afro-12-8', 'cowbell', 12, [[0, 2, 4, 5, 7, 9, 11]]],
  [
    'cha-cha',
    'clave',
    8,
    [
      [2, 4],
      [0, 3, 6],
    ],
  ],
]

/** Bars in which a time-line stands with its own strokes, and on one side through a whole section. */
export function timeLines(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const drums = partOf(arrangement, 'drums')
    if (!drums) continue
    for (const [id, row, steps, wanted] of TIME_LINES) {
      if (id !== groove.id) continue
      let turned: number | undefined
      let section = ''
      let k = 0
      arrangement.bars.slice(0, -1).forEach((bar, index) => {
        const own = `${bar.pass}/${bar.sectionId}`
        k = own === section ? k + 1 : 0
        if (own !== section && row !== 'xstick') turned = undefined
        section = own
        const isEnd =
          arrangement.bars[index + 1]?.sectionId !== bar.sectionId || arrangement.bars[index + 1]?.pass !== bar.pass
        const here = notesOf(bar, drums)
          .filter(({ name }) => (row === 'agogo' ? name.startsWith('agogo') : name === row))
          .map(({ startTick }) => (startTick * steps) / bar.lengthTicks)
          .sort((a, b) => a - b)
        // Fills end sections; a row that rests says nothing.
        if (here.length < 2 || isEnd || isFree(bar) || grooveOfBar(groove, bar).id !== groove.id) return
        const fits = wanted.findIndex((each) => each.join() === here.join())
        if (fits >= 0 && wanted.length > 1) turned ??= mod(fits - k, 2)
        // The last bossa bar of var2 adds one stroke after its own two.
        const isBusier = groove.id === 'bossa' && here.join() === '2,5,7'
        const side = isBusier ? 1 : fits
        const holds = side >= 0 && (wanted.length === 1 || turned === undefined || mod(side - k, 2) === turned)
        count(found, holds, () => `${where}, bar ${index + 1}: ${row} ${here.join(' ')}`)
      })
    }
  }
  return found
}

/** In seven: bass (and bass drum, where it plays) on the starts of both groups. */
export function sevenAccents(played: readonly Played[]): Share {
  const found = share()
  for (const { arrangement, groove, where } of played) {
    const bass = partOf(arrangement, 'bass')
    if (!bass || !groove.id.startsWith('seven-4')) continue
    arrangement.bars.slice(0, -1).forEach((bar, index) => {
      if (isFree(bar) || bar.metre.beats !== 7 || notesOf(bar, bass).length < 2) return
      const start = (bar.groups[0] as number) * TICKS_PER_QUARTER
      const struck = notesOf(bar, bass).map(({ startTick }) => startTick)
      const kicks = notesOf(bar, partOf(arrangement, 'drums')).filter(({ name }) => name === 'kick')
      const isKicked = kicks.length < 2 || kicks.some(({ startTick }) => startTick === start)
      count(found, struck.includes(0) && struck.includes(start) && isKicked, () => `${where}, bar ${index + 1}`)
    })
  }
  return found
}
