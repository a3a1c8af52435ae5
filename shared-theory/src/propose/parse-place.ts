/** Places as people type them: 'last-B', 'chorus-1', 'chorus-1/A2', 'chorus-1/A2:4+4'. */
import type { Issue, Plan, Result, SectionRef, Tune } from '../contract/index.js'
import { fail, issue, ok } from '../units/index.js'
import { sectionsOf } from './default-place.js'

const FORM = /^([^/:]+)(?:\/([^/:]+)(?::(\d{1,4})\+(\d{1,4}))?)?$/

/** The place, or what is wrong with it. `fromBar` counts from 0 in tune bars, as in SectionRef. */
export function parsePlace(tune: Tune, plan: Plan, text: string): Result<SectionRef> {
  const last = /^last-(.+)$/.exec(text)
  if (last) {
    const found = lastOf(tune, plan, last[1] as string)
    if (found) return ok(found)
  }
  const read = FORM.exec(text)
  if (!read)
    return fail(
      wrong(
        text,
        'does not read; write a pass (chorus-1), pass/section (chorus-1/A2), pass/section:from+bars or last-B',
      ),
    )
  const [, passId = '', sectionId, from, bars] = read
  const pass = plan.roadmap.find(({ id }) => id === passId)
  if (!pass) {
    const what = last ? `there is no section '${last[1]}'` : `there is no pass '${passId}'`
    const letters = [...new Set(tune.sections.map(({ letter }) => letter))].join(', ')
    const have = last ? `sections are ${letters}` : `passes are ${plan.roadmap.map(({ id }) => id).join(', ')}`
    return fail(wrong(text, `is no place: ${what}; the ${have}`))
  }
  if (sectionId === undefined) return ok({ passId })
  const section = sectionsOf(tune, pass).find(({ id }) => id === sectionId)
  if (!section) return fail(wrong(text, `is no place: '${passId}' plays ${pass.sections.join(', ')}`))
  if (from === undefined || bars === undefined) return ok({ passId, sectionId })
  const [fromBar, count] = [Number(from), Number(bars)]
  if (count < 1 || fromBar + count > section.bars)
    return fail(wrong(text, `runs outside section ${sectionId}, which has ${section.bars} bars counted from 0`))
  return ok({ passId, sectionId, fromBar, bars: count })
}

/** The last section with this letter (or id) that a chorus plays. */
function lastOf(tune: Tune, plan: Plan, name: string): SectionRef | undefined {
  const wanted = name.toLowerCase()
  for (const pass of plan.roadmap.toReversed()) {
    if (pass.kind === 'solo') continue
    const section = sectionsOf(tune, pass).findLast(
      ({ id, letter }) => letter.toLowerCase() === wanted || id.toLowerCase() === wanted,
    )
    if (section) return { passId: pass.id, sectionId: section.id }
  }
  return undefined
}

const wrong = (text: string, what: string): Issue => issue('PR8', 'error', 'place', `'${text}' ${what}.`)
