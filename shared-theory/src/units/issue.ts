/** Makers for results and issues: a code, a place and a sentence somebody can act on. */
import type { Issue, Result } from '../contract/index.js'

export function issue(code: string, severity: Issue['severity'], path: string, message: string): Issue {
  return { code, severity, path, message }
}

export function ok<T>(value: T, issues: readonly Issue[] = []): Result<T> {
  return issues.length > 0 ? { ok: true, value, issues } : { ok: true, value }
}

export function fail<T>(...issues: readonly [Issue, ...Issue[]]): Result<T> {
  return { ok: false, issues }
}
