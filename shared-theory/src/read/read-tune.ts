/** The one way in for files: checks size and type, reads, assembles; whatever is wrong comes back as issues. */
import type { Issue, Result, Tune } from '../contract/index.js'
import { LIMITS, fail, issue } from '../units/index.js'
import { readAbc } from './abc/abc-reader.js'
import { assembleTune } from './assemble.js'
import { decodeText } from './decode-text.js'
import { IssueList, Unreadable } from './issue-list.js'
import { readMidi } from './midi/midi-reader.js'
import { readMusicXml } from './musicxml/musicxml-reader.js'
import { wrongFormat } from './wrong-format.js'
import type { WrittenTune } from './written.js'

export type TuneFormat = 'abc' | 'musicxml' | 'midi'

/**
 * Reads a tune file. Never throws; `ok: false` names the place and the mend, `ok: true` lists in `issues` (and in `tune.source.issues`)
 * what was not understood. `tuneNumber` chooses among the tunes of an ABC file by its X: number.
 */
export function readTune(
  format: TuneFormat,
  source: string | Uint8Array,
  options: { readonly tuneNumber?: number } = {},
): Result<Tune> {
  const issues = new IssueList()
  try {
    const wrong = wrongFormat(format, source)
    if (wrong) return fail(wrong)
    const tune = assembleTune(readWritten(format, source, issues, options.tuneNumber), issues)
    return { ok: true, value: tune, ...(tune.source.issues.length > 0 ? { issues: tune.source.issues } : {}) }
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    const stop: Issue = issue(error.code, 'error', error.path, error.message)
    return { ok: false, issues: [stop, ...issues.all()] }
  }
}

function readWritten(
  format: TuneFormat,
  source: string | Uint8Array,
  issues: IssueList,
  tuneNumber?: number,
): WrittenTune {
  if (source.length > LIMITS.tuneFileBytes)
    throw new Unreadable(
      'RD10',
      'file',
      `The file has ${(source.length / 1024 / 1024).toFixed(1)} MB; a tune file may have ${LIMITS.tuneFileBytes / 1024 / 1024} MB. Save the one tune by itself.`,
    )
  if (format === 'abc') return readAbc(decodeText(source), issues, tuneNumber)
  return format === 'midi' ? readMidi(source, issues) : readMusicXml(source, issues)
}
