/** Choices by name: `--choose kind=(id|alias)[@place]`, looked up among what is proposed for this tune. */
import {
  findOption,
  parsePlace,
  proposeOptions,
  type Chosen,
  type DecisionKind,
  type Option,
  type Plan,
  type SectionRef,
  type Tune,
} from '@chartloft/shared-theory'
import { DECISION_KINDS } from '@chartloft/shared-theory/board'
import { UsageError } from './usage.js'

/** The plan with every choice laid in, one after the other. Throws UsageError naming the choice that cannot be made. */
export function planWithChoices(tune: Tune, plan: Plan, choices: readonly string[]): Plan {
  let chosen = plan
  for (const text of choices) chosen = { ...chosen, chosen: [...chosen.chosen, choiceOf(tune, chosen, text)] }
  return chosen
}

function choiceOf(tune: Tune, plan: Plan, text: string): Chosen {
  const found = /^([a-z]+)=([^@]+)(?:@(.+))?$/.exec(text)
  if (!found) throw new UsageError(`--choose '${text}' does not read; write kind=option or kind=option@place.`)
  const [, kindText = '', name = '', placeText] = found
  const kind = readKind(kindText)
  const at = placeText === undefined ? undefined : placeOf(tune, plan, placeText)
  const options = proposeOptions(tune, kind, plan, at)
  // What only "show me more" brings may be chosen by name all the same.
  const option = findOption(options, name) ?? findOption(proposeOptions(tune, kind, plan, at, { more: 2 }), name)
  if (!option) {
    throw new UsageError(
      `There is no ${kind} option '${name}' for this tune${placeText === undefined ? '' : ` at ${placeText}`}; there are ${namesOf(options)}.`,
    )
  }
  const place = at ?? option.at
  return place ? { kind, at: place, option } : { kind, option }
}

export function placeOf(tune: Tune, plan: Plan, text: string): SectionRef {
  const place = parsePlace(tune, plan, text)
  if (place.ok) return place.value
  throw new UsageError(place.issues[0]?.message ?? `'${text}' is no place in this tune.`)
}

export function readKind(text: string | undefined): DecisionKind {
  const kind = DECISION_KINDS.find((known) => known === text)
  if (kind) return kind
  throw new UsageError(`'${text ?? ''}' is no decision; choose one of ${DECISION_KINDS.join(', ')}.`)
}

function namesOf(options: readonly Option[]): string {
  return options.length === 0 ? 'none' : options.map((option) => option.id).join(', ')
}
