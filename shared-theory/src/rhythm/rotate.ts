/** A groove with its beat groups the other way round (3+4 for 4+3, 2+3 for 3+2): its patterns turned at the group start. Source:
 *  common practice. */
import type { BassToken, DrumPattern, DrumRow, DuoGuitar, Groove } from './groove.js'

/** Fills lead into the next bar and the last hit opens its bar, whichever group comes first. */
const UNTURNED: ReadonlySet<string> = new Set<DrumPattern>(['fill', 'end'])

/** The groove turned, where it has two unequal groups; else undefined. */
export function turnedGroove(groove: Groove): Groove | undefined {
  const { metre, groups, grid } = groove
  if (metre === 'any' || groups === 'tune' || groups.length !== 2 || groups[0] === groups[1]) return undefined
  const cut = ((groups[0] as number) * grid) / metre.beats
  const row = (text: string): string => text.slice(cut) + text.slice(0, cut)
  const drums = Object.entries(groove.drums).map(([name, rows]): [string, readonly DrumRow[]] => [
    name,
    UNTURNED.has(name) ? rows : rows.map((each) => ({ ...each, bars: each.bars.map(row) })),
  ])
  const bass = Object.entries(groove.bass).map(([name, bars]): [string, readonly (readonly BassToken[])[]] => [
    name,
    bars.map((tokens) => turnedTokens(tokens, cut, grid)),
  ])
  return {
    ...groove,
    groups: [...groups].reverse(),
    drums: Object.fromEntries(drums),
    bass: Object.fromEntries(bass),
    comp: groove.comp.map((cell) => released(cell.map(row))),
    riff: released(groove.riff.map(row)),
    leftHand: released([row(groove.leftHand)]).join(''),
    guitar: released([row(groove.guitar)]).join(''),
    duoGuitar: turnedDuo(groove.duoGuitar, (bars) => released(bars.map(row))),
  }
}

function turnedDuo(duo: DuoGuitar, turned: (bars: readonly string[]) => readonly string[]): DuoGuitar {
  if (!duo.rows) return duo
  const [first = '', second = ''] = turned(duo.rows)
  return { ...duo, rows: [first, second] }
}

/** The bar's second group first; the bar still begins on the chord's own bass note. */
function turnedTokens(tokens: readonly BassToken[], cut: number, grid: number): readonly BassToken[] {
  return tokens
    .map((token) => ({ ...token, position: (token.position + grid - cut) % grid }))
    .sort((a, b) => a.position - b.position)
}

/** A hold whose stroke stands elsewhere now is a rest, and an anticipation that no longer ends its bar an ordinary stroke. */
function released(bars: readonly string[]): readonly string[] {
  let isSounding = false
  return bars.map((bar) =>
    Array.from(bar)
      .map((sign, index) => {
        const isHeld = sign === '-' && isSounding
        const plain = sign === '>' && !/^-*$/.test(bar.slice(index + 1)) ? 'x' : sign
        const made = sign === '-' && !isHeld ? '.' : plain
        isSounding = made !== '.'
        return made
      })
      .join(''),
  )
}

/** Whether groups are those of the metre in another order than the groove's. */
export const isTurned = (groove: Groove, groups: readonly number[]): boolean =>
  groove.groups !== 'tune' &&
  groups.length === groove.groups.length &&
  groups.join() !== groove.groups.join() &&
  groups.join() === [...groove.groups].reverse().join()
