/** How many grooves a tune is offered against how many it should be, and which metres lead where. */
import { type Tune, defaultPlan, formatMetre, proposeOptions } from '@chartloft/shared-theory'

/** Tune metres and targets the music rules name. */
export const METRE_PAIRS: readonly string[] = ['2/4', '3/4', '4/4', '6/8', '12/8'].flatMap((from) =>
  ['3/4', '4/4', '5/4', '6/4', '6/8', '7/4', '12/8'].filter((to) => to !== from).map((to) => `${from}>${to}`),
)

export interface Offered {
  readonly title: string
  readonly metre: string
  /** Grooves, not variants of one. */
  readonly offered: number
  readonly wanted: number
}

export function groovesOffered(tune: Tune): Offered {
  const options = proposeOptions(tune, 'groove', defaultPlan(tune))
  const metre = formatMetre(tune.metre)
  const offered = new Set(options.map(({ params }) => params['groove'])).size
  return { title: tune.title, metre, offered, wanted: metre === '4/4' ? 12 : metre === '3/4' ? 8 : 5 }
}
