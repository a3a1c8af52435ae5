/** A folder and those above it, step by step: the library's recursive form never ends where a file system answers 'not found' to the making itself. */
import { existsSync, mkdirSync } from 'node:fs'
import { dirname, resolve } from 'node:path'

/** What is made has `mode`: 0o700, for this user only, where nothing else is said. Throws what the file system says. */
export function makeFolder(path: string, mode = 0o700): void {
  const missing: string[] = []
  for (let folder = resolve(path); !existsSync(folder); folder = dirname(folder)) missing.push(folder)
  for (const folder of missing.reverse()) mkdirSync(folder, { mode })
}
