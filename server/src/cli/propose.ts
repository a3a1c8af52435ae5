/** `chartloft propose`: the options for one decision of a tune, ranked, with their reasons. */
import { defaultPlan, explainAbsent, optionAliases, proposeOptions } from '@chartloft/shared-theory'
import { DECISION_KINDS } from '@chartloft/shared-theory/board'
import { placeOf, planWithChoices, readKind } from './choose.js'
import { readTuneFile } from './tune-file.js'

export interface ProposeArguments {
  readonly tunePath: string
  readonly decision: string | undefined
  readonly at?: string
  readonly choices: readonly string[]
  readonly json: boolean
}

/** Text to print; JSON is the list of options as they are. */
export function propose({ tunePath, decision, at, choices, json }: ProposeArguments): string {
  const kind = readKind(decision)
  const tune = readTuneFile(tunePath)
  const plan = planWithChoices(tune, defaultPlan(tune), choices)
  const place = at === undefined ? undefined : placeOf(tune, plan, at)
  const options = proposeOptions(tune, kind, plan, place)
  if (json) return `${JSON.stringify(options, null, 2)}\n`
  const lines = options.map(
    (option, index) =>
      `${index + 1}. ${option.title}  [${option.id}]\n   ${option.summary}\n${option.reason.map((step) => `     ${step.rule}: ${step.text}\n`).join('')}`,
  )
  const absent = explainAbsent(tune, kind, plan, place).map(({ recipe, why }) => `   ${recipe}: ${why}\n`)
  return `${tune.title}: ${kind}\n\n${lines.join('\n')}${absent.length > 0 ? `\nNot for this tune:\n${absent.join('')}` : ''}`
}

/** The short names options go by, decision by decision. */
export function aliasList(): string {
  const lines = DECISION_KINDS.map((kind) => `  ${kind}: ${optionAliases(kind).join(', ')}\n`)
  return `chartloft propose TUNE --decision groove|opening|harmony|lift|ending [--at PLACE] [--choose KIND=OPTION[@PLACE]] … [--json]\n\nShort names of options, for --choose:\n${lines.join('')}An option's id, its recipe and a groove's name work too, as 'chartloft propose' prints them in brackets.\n\nPLACE is passId, passId/sectionId, passId/sectionId:fromBar+bars or last-LETTER.\n`
}
