/** A reader's sentence and what stands in it, kept apart, so that a page can say it in another language. */
import type { Issue } from '../contract/index.js'

export interface Said {
  readonly text: string
  readonly sentence: NonNullable<Issue['sentence']>
}

/** said`Line ${line}: no note` is the text, and the sentence 'Line {}: no note' with its values. */
export function said(parts: TemplateStringsArray, ...values: readonly (string | number)[]): Said {
  return {
    text: parts.reduce((text, part, at) => text + String(values[at - 1] ?? '') + part),
    sentence: { id: parts.join('{}'), values },
  }
}

export const textOf = (message: string | Said): string => (typeof message === 'string' ? message : message.text)

/** An issue of a sentence. */
export function issueSaid(code: string, severity: Issue['severity'], path: string, message: string | Said): Issue {
  return typeof message === 'string'
    ? { code, severity, path, message }
    : { code, severity, path, message: message.text, sentence: message.sentence }
}
