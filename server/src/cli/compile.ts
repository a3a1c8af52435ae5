/** `chartloft compile`: a tune and its choices to charts, sound and a report. */
import { rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  compile as compilePlan,
  defaultPlan,
  parseKey,
  validate,
  writeMidi,
  writeMusicXml,
  type Issue,
  type PartSpec,
  type Plan,
} from '@chartloft/shared-theory'
import { readLineup } from '@chartloft/shared-theory/board'
import { sentenceOf } from '../ledger/requests.js'
import { makeFolder } from '../store/make-folder.js'
import { planWithChoices } from './choose.js'
import { reportOf } from './report.js'
import { readBytes, readTuneFile } from './tune-file.js'
import { UsageError } from './usage.js'
import { renderWav } from './wav.js'

const LINEUP_BYTES = 256 * 1024

export interface CompileArguments {
  readonly tunePath: string
  readonly choices: readonly string[]
  readonly key?: string
  readonly lineupPath?: string
  readonly out: string
  /** A sound file besides. */
  readonly wavPath?: string
}

/** Writes the files; answers with what the rules found, errors first. */
export async function compile({
  tunePath,
  choices,
  key,
  lineupPath,
  out,
  wavPath,
}: CompileArguments): Promise<readonly Issue[]> {
  if (key !== undefined && !parseKey(key))
    throw new UsageError(`--key '${key}' is no key; write for example 'Bb major'.`)
  const tune = readTuneFile(tunePath)
  const start: Plan = {
    ...defaultPlan(tune),
    ...(lineupPath === undefined ? {} : { lineup: readLineupFile(lineupPath) }),
    ...(key === undefined ? {} : { key }),
  }
  const plan = planWithChoices(tune, start, choices)
  const { arrangement, issues } = compilePlan(plan)
  const found = [...issues, ...validate(arrangement, { plan })]
  const write = openFolder(out)
  write('arrangement.json', JSON.stringify(arrangement))
  write('score.musicxml', writeMusicXml(arrangement, { folded: true }))
  for (const part of arrangement.lineup)
    write(join('parts', `${part.id}.musicxml`), writeMusicXml(arrangement, { part: part.id, folded: true }))
  const midi = writeMidi(arrangement)
  write('arrangement.mid', midi)
  write('report.txt', reportOf(plan, arrangement, found))
  if (wavPath !== undefined) writeTo(wavPath, await renderWav(midi))
  return found
}

function readLineupFile(path: string): readonly PartSpec[] {
  let json: unknown
  try {
    json = JSON.parse(readBytes(path, LINEUP_BYTES).toString('utf8'))
  } catch (error) {
    if (error instanceof UsageError) throw error
    throw new UsageError(`--lineup '${path}' is no JSON.`)
  }
  const read = readLineup(json)
  if (read.ok) return read.value
  throw new UsageError(`--lineup '${path}' does not read: ${sentenceOf(read.issues)}`)
}

/** A writer into the folder; parts of an earlier run are taken away first, so that no old part lies beside new ones. */
function openFolder(folder: string): (name: string, content: string | Uint8Array) => void {
  try {
    rmSync(join(folder, 'parts'), { recursive: true, force: true })
    makeFolder(join(folder, 'parts'), 0o777)
  } catch (error) {
    throw new UsageError(`--out '${folder}' cannot be written (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`)
  }
  return (name, content) => writeTo(join(folder, name), content)
}

function writeTo(path: string, content: string | Uint8Array): void {
  try {
    writeFileSync(path, content)
  } catch (error) {
    throw new UsageError(`'${path}' cannot be written (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`)
  }
}
