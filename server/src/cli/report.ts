/** The report beside the files: what was decided and why, the form as it is played, what the rules say. */
import { formatChord, type Arrangement, type ArrangedBar, type Issue, type Plan } from '@chartloft/shared-theory'

/** Plain text, the same for the same plan. */
export function reportOf(plan: Plan, arrangement: Arrangement, issues: readonly Issue[]): string {
  const last = arrangement.bars.at(-1)
  const blocks = [
    [
      arrangement.title,
      `${arrangement.bars.length} bars, ${arrangement.groove}, ${plan.tune.key.key}${last && last.key.key !== plan.tune.key.key ? `, ends in ${last.key.key}` : ''}`,
    ],
    ['Line-up', ...arrangement.lineup.map((part) => `  ${part.name} (${part.instrument}): parts/${part.id}.musicxml`)],
    ['Decisions', ...(plan.chosen.length > 0 ? plan.chosen.flatMap(decisionLines) : ['  none: as written'])],
    [
      'Form',
      ...passesOf(arrangement.bars).map(
        ({ name, first, bars }) =>
          `  ${name}: bars ${first + 1}–${first + bars.length}\n    ${bars.map(chordsOf).join(' | ')}`,
      ),
    ],
    ['What the rules say', ...(issues.length > 0 ? issues.map(issueLine) : ['  nothing to mend'])],
  ]
  return `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`
}

export const issueLine = (found: Issue): string =>
  `  ${found.severity} ${found.code}${placeOf(found.path)}: ${found.message}`

/** 'bars/12/chords/0' → ' bar 13'. */
function placeOf(path: string): string {
  const bar = /^bars\/(\d+)/.exec(path)?.[1]
  if (bar !== undefined) return ` bar ${Number(bar) + 1}`
  return path === '' ? '' : ` (${path})`
}

function decisionLines({ kind, at, option }: Plan['chosen'][number]): readonly string[] {
  const place = at ? ` at ${at.passId}${at.sectionId === undefined ? '' : `/${at.sectionId}`}` : ''
  return [
    `  ${kind}${place}: ${option.title} [${option.id}]`,
    `    ${option.summary}`,
    ...option.reason.map((step) => `    ${step.rule}: ${step.text}`),
  ]
}

function passesOf(
  bars: readonly ArrangedBar[],
): readonly { readonly name: string; readonly first: number; readonly bars: readonly ArrangedBar[] }[] {
  const found: { name: string; first: number; bars: ArrangedBar[] }[] = []
  for (const bar of bars) {
    const name = bar.pass === bar.sectionId ? bar.pass : `${bar.pass} ${bar.sectionId}`
    const open = found.at(-1)
    if (open?.name === name) open.bars.push(bar)
    else found.push({ name, first: bar.barIndex, bars: [bar] })
  }
  return found
}

const chordsOf = (bar: ArrangedBar): string => bar.chords.map((placed) => formatChord(placed.chord)).join(' ')
