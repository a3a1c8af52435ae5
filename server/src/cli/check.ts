/** `chartloft check`: what the rules say about a file as it stands. */
import { compile, defaultPlan, validate, type Issue } from '@chartloft/shared-theory'
import { issueLine } from './report.js'
import { readTuneFile } from './tune-file.js'

/** Reading mends a bar that does not add up, and warns; here that bar is the fault looked for. */
const FAULTS_OF_THE_FILE: ReadonlySet<string> = new Set(['RD6'])

/** The file's own issues and what the rules find in it, once through, nothing decided. */
export function check(path: string): readonly Issue[] {
  const tune = readTuneFile(path)
  const plan = {
    ...defaultPlan(tune),
    roadmap: [{ id: 'chorus-1', kind: 'chorus' as const, sections: tune.sections.map((section) => section.id) }],
  }
  const { arrangement, issues } = compile(plan)
  const own = tune.source.issues.map((found): Issue =>
    FAULTS_OF_THE_FILE.has(found.code) ? { ...found, severity: 'error' } : found,
  )
  return [...own, ...issues, ...validate(arrangement, { plan })]
}

/** One line an issue and a count, or the issues as JSON. */
export function checkText(issues: readonly Issue[], json: boolean): string {
  if (json) return `${JSON.stringify({ issues }, null, 2)}\n`
  const count = (severity: Issue['severity']) => issues.filter((found) => found.severity === severity).length
  const lines = issues.map((found) => `${issueLine(found)}\n`)
  return `${lines.join('')}${count('error')} errors, ${count('warning')} warnings, ${count('note')} notes\n`
}
