/** What somebody brings: a file as it lies on their device, what they typed, or what they played. */
import type { FileContents } from '@chartloft/shared-theory'
import type { FileFormat, TuneReading } from '../state/theory-protocol.js'

export interface Brought {
  readonly name: string
  readonly format: FileFormat
  readonly content: string | Uint8Array
  /** Typed or played here, not a file. */
  readonly isOwn?: true
}

/** A file with what it holds to choose from, and what is chosen. */
export interface Read {
  readonly brought: Brought
  readonly contents?: FileContents
  readonly chosen: { readonly tuneNumber?: number; readonly line?: number; readonly part?: number }
  readonly reading: TuneReading
}

/** What is read where nobody has chosen. */
export function firstChoice(contents: FileContents | undefined): Read['chosen'] {
  if (contents?.kind === 'lines') {
    const line = contents.lines.findIndex(({ isProposed }) => isProposed)
    return line < 0 ? {} : { line }
  }
  if (contents?.kind === 'parts') {
    const part = contents.parts.findIndex(({ isProposed }) => isProposed)
    return part < 0 ? {} : { part }
  }
  const [first] = contents?.tunes ?? []
  return first ? { tuneNumber: first.number } : {}
}
