/** The tally a store keeps beside a poll's ballots: every ballot moves it by what it adds and what the voter's last one had added, so that nothing is
 *  counted again. Kept in one written form (options in order, no noughts), so that a recount is the same text or the tally is wrong. */
import type { BallotChoices } from '@chartloft/shared-theory/board'

export interface CountedBallot {
  /** JSON of the choices. */
  readonly choices: string
  readonly band: boolean
  readonly personal: boolean
}

type Sums = Map<string, number>

export class KeptTally {
  voters = 0
  /** Voters who came with a link of their own. */
  personal = 0
  readonly band: Sums = new Map()
  readonly listeners: Sums = new Map()

  /** Of a text `written` has made. */
  static read(text: string): KeptTally {
    const stored = JSON.parse(text) as { voters: number; personal: number; band: object; listeners: object }
    const tally = new KeptTally()
    tally.voters = stored.voters
    tally.personal = stored.personal
    for (const [id, sum] of Object.entries(stored.band)) tally.band.set(id, sum as number)
    for (const [id, sum] of Object.entries(stored.listeners)) tally.listeners.set(id, sum as number)
    return tally
  }

  add(ballot: CountedBallot): void {
    this.move(ballot, 1)
  }

  /** Takes back what a ballot had added. */
  remove(ballot: CountedBallot): void {
    this.move(ballot, -1)
  }

  written(): string {
    const { voters, personal } = this
    return JSON.stringify({ voters, personal, band: inOrder(this.band), listeners: inOrder(this.listeners) })
  }

  private move({ choices, band, personal }: CountedBallot, by: 1 | -1): void {
    this.voters += by
    if (personal) this.personal += by
    const sums = band ? this.band : this.listeners
    for (const [id, mark] of marksOf(JSON.parse(choices) as BallotChoices)) {
      const sum = (sums.get(id) ?? 0) + mark * by
      if (sum === 0) sums.delete(id)
      else sums.set(id, sum)
    }
  }
}

/** A chosen option counts one; a scored one its score. */
function marksOf(choices: BallotChoices): readonly (readonly [string, number])[] {
  return Array.isArray(choices) ? choices.map((id: string) => [id, 1] as const) : Object.entries(choices)
}

const inOrder = (sums: Sums): { readonly [optionId: string]: number } =>
  Object.fromEntries([...sums].toSorted(([a], [b]) => (a < b ? -1 : 1)))
