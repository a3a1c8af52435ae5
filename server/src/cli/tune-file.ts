/** A tune file from disk: its format by name or by its first bytes, its size bounded, its faults in one line. */
import { readFileSync, statSync } from 'node:fs'
import { basename, extname } from 'node:path'
import { LIMITS, readTune, type Tune } from '@chartloft/shared-theory'
import type { TuneFormat } from '../workers/jobs.js'
import { UsageError } from './usage.js'

const BY_EXTENSION: { readonly [extension: string]: TuneFormat } = {
  '.abc': 'abc',
  '.kar': 'midi',
  '.mid': 'midi',
  '.midi': 'midi',
  '.musicxml': 'musicxml',
  '.mxl': 'musicxml',
  '.rmi': 'midi',
  '.xml': 'musicxml',
}

/** Throws UsageError where the file cannot be read as a tune. */
export function readTuneFile(path: string): Tune {
  const bytes = readBytes(path, LIMITS.tuneFileBytes)
  const format = BY_EXTENSION[extname(path).toLowerCase()] ?? formatOf(bytes)
  // As bytes: the reader tells UTF-8, UTF-16 and Latin-1 apart.
  const read = readTune(format, new Uint8Array(bytes))
  if (read.ok) return read.value
  // Its sentence names the place.
  throw new UsageError(
    `${basename(path)} cannot be read as ${format}: ${read.issues[0]?.message ?? 'nothing is known'}`,
  )
}

/** The bytes of a file; UsageError where it is absent, no file or too large. */
export function readBytes(path: string, most: number): Buffer {
  try {
    const { size } = statSync(path)
    if (size > most)
      throw new UsageError(`${basename(path)} is too large: at most ${Math.floor(most / 1024 / 1024)} MiB can be read.`)
    return readFileSync(path)
  } catch (error) {
    if (error instanceof UsageError) throw error
    const { code } = error as NodeJS.ErrnoException
    throw new UsageError(
      code === 'ENOENT' ? `There is no file '${path}'.` : `'${path}' cannot be read (${code ?? 'unknown'}).`,
    )
  }
}

function formatOf(bytes: Uint8Array): TuneFormat {
  const head = Buffer.from(bytes.subarray(0, 64)).toString('latin1')
  if (head.startsWith('MThd')) return 'midi'
  return head.startsWith('PK') || head.replace('\xef\xbb\xbf', '').trimStart().startsWith('<') ? 'musicxml' : 'abc'
}
