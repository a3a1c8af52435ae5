/** Signs that lead nowhere (VA11). */
import { type FoldedBar, chord, printedContent } from '@chartloft/shared-theory'
import { type Injected, type Shape, changed, draw, shape, withChords } from './fault.js'
import type { Random, Scene } from './scene.js'

/** The written bars in playing order, told again in few words: repeats, endings, one jump, the coda. */
function played(bars: readonly FoldedBar[]): readonly number[] {
  const order: number[] = []
  const segno = bars.findIndex((bar) => bar.segno)
  const coda = bars.findIndex((bar) => bar.coda)
  let back = 0
  let time = 1
  let jumped = false
  for (let at = 0; at < bars.length && order.length < 3000;) {
    const bar = bars[at] as FoldedBar
    if (bar.repeatStart === true && back !== at) [back, time] = [at, 1]
    if (bar.ending && !bar.ending.includes(jumped ? lastOf(bars, at) : time)) {
      at++
      continue
    }
    order.push(at)
    if (jumped && bar.toCoda === true && coda > at) at = coda
    else if (!jumped && bar.repeatEnd !== undefined && time < bar.repeatEnd) [at, time] = [back, time + 1]
    else {
      if (!jumped && bar.repeatEnd !== undefined) [back, time] = [at + 1, 1]
      const target = bar.jump?.startsWith('D.S.') === true ? segno : 0
      if (!jumped && bar.jump !== undefined && target >= 0) [at, jumped] = [target, true]
      else at++
    }
  }
  return order
}

function lastOf(bars: readonly FoldedBar[], at: number): number {
  const group: number[] = []
  for (let index = at; bars[index]?.ending; index++) group.push(...(bars[index]?.ending ?? []))
  return Math.max(...group)
}

/** Where a damaged road map must be found out: at a mark that leads nowhere now, else at the first bar that is played otherwise. */
function wrongAt(scene: Scene, bars: readonly FoldedBar[]): readonly string[] {
  const has = (mark: 'segno' | 'coda' | 'toCoda'): boolean => bars.some((bar) => bar[mark] === true)
  const lost = bars.flatMap(({ toCoda, jump }, index) => {
    const isLost =
      (toCoda === true && !has('coda')) ||
      (jump?.startsWith('D.S.') === true && !has('segno')) ||
      (jump?.endsWith('al Coda') === true && !has('toCoda'))
    return isLost ? [`folded/bars/${index}`] : []
  })
  if (lost.length > 0) return lost
  const order = played(bars)
  const linear = scene.music.bars
  const first = linear.findIndex((bar, index) => {
    const own = bars[order[index] ?? -1]?.bar
    return own === undefined || (own !== bar && printedContent(own) !== printedContent(bar))
  })
  return first >= 0 ? [`bars/${first}`] : order.length > linear.length ? ['folded'] : []
}

const damagedMap = (scene: Scene, bars: readonly FoldedBar[]): Injected | 'same' => {
  const at = wrongAt(scene, bars)
  return at.length === 0 ? 'same' : { folded: { ...scene.folded, bars }, at }
}

/** A sign taken away or changed. */
const sign = (
  name: string,
  has: (bar: FoldedBar) => boolean,
  change: (bar: FoldedBar, random: Random) => FoldedBar,
): Shape =>
  shape('VA11', name, (scene, random) => {
    const { bars } = scene.folded
    const at = draw(
      bars.flatMap((bar, index) => (has(bar) ? [index] : [])),
      random,
    )
    if (at === undefined) return undefined
    return damagedMap(
      scene,
      bars.map((bar, index) => (index === at ? change(bar, random) : bar)),
    )
  })

const without =
  (...marks: readonly (keyof FoldedBar)[]): ((bar: FoldedBar) => FoldedBar) =>
  (bar) =>
    Object.fromEntries(
      Object.entries(bar).filter(([mark]) => !(marks as readonly string[]).includes(mark)),
    ) as unknown as FoldedBar

/** A sign one bar too late. */
const late = (mark: 'segno' | 'coda' | 'toCoda'): Shape =>
  shape('VA11', `${mark} a bar late`, (scene) => {
    const { bars } = scene.folded
    const at = bars.findIndex((bar) => bar[mark])
    if (at < 0 || at + 1 >= bars.length) return undefined
    return damagedMap(
      scene,
      bars.map((bar, index) =>
        index === at ? without(mark)(bar) : index === at + 1 ? { ...bar, [mark]: true as const } : bar,
      ),
    )
  })

const writtenBar = (
  name: string,
  change: (bars: readonly FoldedBar[], at: number) => readonly FoldedBar[] | undefined,
): Shape =>
  shape('VA11', name, (scene, random) => {
    const bars = change(scene.folded.bars, random(scene.folded.bars.length))
    return bars && damagedMap(scene, bars)
  })

export const ROAD_MAP_SHAPES: readonly Shape[] = [
  sign('no coda', (bar) => bar.coda === true, without('coda')),
  sign('no segno', (bar) => bar.segno === true, without('segno')),
  sign('no To Coda', (bar) => bar.toCoda === true, without('toCoda')),
  sign('no jump', (bar) => bar.jump !== undefined, without('jump')),
  sign(
    'D.C. for D.S.',
    (bar) => bar.jump?.startsWith('D.S.') === true,
    (bar) => ({ ...bar, jump: 'D.C. al Coda' }),
  ),
  sign(
    'D.S. for D.C.',
    (bar) => bar.jump?.startsWith('D.C.') === true,
    (bar) => ({ ...bar, jump: 'D.S. al Coda' }),
  ),
  sign('no repeat start', (bar) => bar.repeatStart === true, without('repeatStart')),
  sign('no repeat end', (bar) => bar.repeatEnd !== undefined, without('repeatEnd')),
  sign(
    'once too often',
    (bar) => bar.repeatEnd !== undefined,
    (bar) => ({ ...bar, repeatEnd: (bar.repeatEnd ?? 1) + 1 }),
  ),
  sign(
    'once too few',
    (bar) => (bar.repeatEnd ?? 0) > 2,
    (bar) => ({ ...bar, repeatEnd: (bar.repeatEnd ?? 2) - 1 }),
  ),
  sign('no ending numbers', (bar) => bar.ending !== undefined, without('ending')),
  late('segno'),
  late('coda'),
  late('toCoda'),
  writtenBar('a written bar left out', (bars, at) =>
    bars.length > 1 ? bars.filter((_bar, index) => index !== at) : undefined,
  ),
  writtenBar('a written bar twice', (bars, at) => [...bars.slice(0, at + 1), ...bars.slice(at)]),
  writtenBar('two written bars changed over', (bars, at) => {
    const [a, b] = [bars[at], bars[at + 1]]
    return a && b
      ? bars.map((bar, index) => (index === at ? { ...a, bar: b.bar } : index === at + 1 ? { ...b, bar: a.bar } : bar))
      : undefined
  }),
  writtenBar('another chord in a written bar', (bars, at) => {
    const own = bars[at]?.bar.chords[0]?.chord.root
    return bars.map((bar, index) =>
      index === at
        ? { ...bar, bar: withChords(bar.bar, changed(bar.bar.chords, 0, { chord: chord(own === 'E' ? 'Bb7' : 'E7') })) }
        : bar,
    )
  }),
  shape('VA11', 'a playing not listed', (scene, random) => {
    const { folded } = scene
    const at = random(folded.bars.length)
    const bars = folded.bars.map((bar, index) => (index === at ? { ...bar, playings: bar.playings.slice(1) } : bar))
    return { folded: { ...folded, bars }, at: [`folded/bars/${at}`] }
  }),
  shape('VA11', 'a playing that is another bar', (scene, random) => {
    const { folded } = scene
    const at = random(folded.bars.length)
    const bars = folded.bars.map((bar, index) =>
      index === at ? { ...bar, playings: bar.playings.map((one) => ({ ...one, barIndex: one.barIndex + 1 })) } : bar,
    )
    return { folded: { ...folded, bars }, at: [`folded/bars/${at}`] }
  }),
]
