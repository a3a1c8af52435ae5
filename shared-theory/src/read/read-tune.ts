/** The one way in for files: checks size and type, reads, assembles; whatever is wrong comes back as issues. */
import type { Issue, Result, Tune } from '../contract/index.js'
import { LIMITS, fail } from '../units/index.js'
import { readAbc } from './abc/abc-reader.js'
import { assembleTune } from './assemble.js'
import { decodeText } from './decode-text.js'
import { issueSaid } from './said.js'
import { IssueList, Unreadable } from './issue-list.js'
import { readMidi } from './midi/midi-reader.js'
import { readMusicXml } from './musicxml/musicxml-reader.js'
import { readTuneFile } from './tune-file.js'
import { wrongFormat } from './wrong-format.js'
import type { WrittenTune } from './written.js'
import { said } from './said.js'

/** 'tune' is our own: what `writeTuneFile` gives. */
export type TuneFormat = 'abc' | 'musicxml' | 'midi' | 'tune'

export interface ReadOptions {
  /** Among the tunes of an ABC file, by its X: number. */
  readonly tuneNumber?: number
  /** The line of a MIDI file that is the melody, an index into what `listContents` names. */
  readonly line?: number
  /** The part of a MusicXML score that is the melody, an index into what `listContents` names. */
  readonly part?: number
  /** A MusicXML part in which nobody plays is read too: bars, metres and keys. */
  readonly mayRest?: true
}

/**
 * Reads a tune file. Never throws; `ok: false` names the place and the mend, `ok: true` lists in `issues` (and in `tune.source.issues`)
 * what was not understood.
 */
export function readTune(format: TuneFormat, source: string | Uint8Array, options: ReadOptions = {}): Result<Tune> {
  const issues = new IssueList()
  try {
    const wrong = wrongFormat(format, source)
    if (wrong) return fail(wrong)
    const tune =
      format === 'tune'
        ? readTuneFile(textWithin(source))
        : assembleTune(readWritten(format, source, issues, options), issues, options.mayRest)
    return { ok: true, value: tune, ...(tune.source.issues.length > 0 ? { issues: tune.source.issues } : {}) }
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    const stop: Issue = issueSaid(error.code, 'error', error.path, error.said)
    return { ok: false, issues: [stop, ...issues.all()] }
  }
}

function textWithin(source: string | Uint8Array): string {
  checkSize(source)
  return decodeText(source)
}

function checkSize(source: string | Uint8Array): void {
  if (source.length > LIMITS.tuneFileBytes)
    throw new Unreadable(
      'RD10',
      'file',
      said`The file has ${(source.length / 1024 / 1024).toFixed(1)} MB; a tune file may have ${LIMITS.tuneFileBytes / 1024 / 1024} MB. Save the one tune by itself.`,
    )
}

function readWritten(
  format: Exclude<TuneFormat, 'tune'>,
  source: string | Uint8Array,
  issues: IssueList,
  { tuneNumber, line, part, mayRest }: ReadOptions,
): WrittenTune {
  checkSize(source)
  if (format === 'abc') return readAbc(decodeText(source), issues, tuneNumber)
  return format === 'midi' ? readMidi(source, issues, line) : readMusicXml(source, issues, part, mayRest)
}
