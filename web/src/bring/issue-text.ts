/** What is not sure about a tune, as its page says it beside the place. */
import type { Issue } from '@chartloft/shared-theory'
import type { TemplateResult } from 'lit'
import { musicText } from '../look/music-text.js'

/** The reader's sentence without the place that the page names already. */
export function bareText(message: string): string {
  const text = message.replace(/^(?:Line \d+|(?:Bar \d+|Pickup)(?: \(line \d+\))?(?:, line \d+)?): /, '')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

export const issueText = (issue: Issue): TemplateResult | string => musicText(bareText(issue.message))
