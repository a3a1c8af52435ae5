/** A folder and those above it, step by step: the library's recursive form never ends where a file system answers 'not found' to the making itself. */
import { existsSync, mkdirSync } from 'node:fs'
import { dirname, resolve } from 'node:path'

/** What is made is for this user only (mode 700). Throws what the file system says. */
export function makeFolder(path: string): void {
  const missing: string[] = []
  for (let folder = resolve(path); !existsSync(folder); folder = dirname(folder)) missing.push(folder)
  for (const folder of missing.reverse()) mkdirSync(folder, { mode: 0o700 })
}
