/** What the readers of files say can be said in every language of the pages: each sentence of theirs stands in the other catalogue. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { READING } from '../../web/src/words/de/reading.js'
import { filesUnder, ROOT } from './sources.js'

/** Calls whose last text people read. */
const TELLS = /new Unreadable\(|\b[iI]ssues\.add(?:Once|First)?\(/g
/** A place before the sentence, which the pages name themselves. */
const PLACE = /^(?:Line \{\}(?:, column \{\}|, K)?|\{\}(?:, line \{\})?|Bar \{\}|Track \{\}): (?=.)/

const sentences = new Set<string>()
const untold: string[] = []
for (const path of filesUnder('shared-theory/src/read', (name) => name.endsWith('.ts') && !name.endsWith('.test.ts'))) {
  // Corrections answer beside the field they were asked in; the tag itself is explained by an example.
  if (path.includes('/mend/') || path.endsWith('/said.ts')) continue
  const text = readFileSync(join(ROOT, path), 'utf8')
  for (const { index } of text.matchAll(/\bsaid`/g)) sentences.add(template(text, index + 5).id)
  for (const call of text.matchAll(TELLS)) {
    const last = lastArgument(text, call.index + call[0].length)
    if (/^[`'"]/.test(last)) untold.push(`${path}: ${last.slice(0, 80)}`)
  }
}

/** A template literal from behind its opening sign: its text with {} for what is put in, and where it ends. */
function template(text: string, from: number): { readonly id: string; readonly end: number } {
  let id = ''
  let at = from
  while (text[at] !== '`') {
    if (text[at] === '\\') {
      id += text[at + 1]
      at += 2
    } else if (text.startsWith('${', at)) {
      id += '{}'
      at = closing(text, at + 2, '}') + 1
    } else id += text[at++]
  }
  return { id, end: at }
}

/** Where the bracket closes that was open before `from`; strings and templates inside are passed over. */
function closing(text: string, from: number, close: string, onComma?: (at: number) => void): number {
  const open = close === '}' ? '{' : '('
  let depth = 0
  for (let at = from; at < text.length; at++) {
    const sign = text[at] as string
    if (sign === '`') at = template(text, at + 1).end
    else if (sign === "'" || sign === '"') {
      do at += text[at] === '\\' ? 2 : 1
      while (text[at] !== sign)
    } else if (sign === open) depth++
    else if (sign === close && depth-- === 0) return at
    else if (sign === ',' && depth === 0) onComma?.(at)
  }
  return text.length
}

function lastArgument(text: string, from: number): string {
  const commas: number[] = []
  const end = closing(text, from, ')', (at) => commas.push(at))
  const pieces = [from - 1, ...commas].map((comma, index, all) => text.slice(comma + 1, all[index + 1] ?? end).trim())
  return pieces.filter((piece) => piece !== '').at(-1) ?? ''
}

describe('[UI73] sentences of the readers in the second language', () => {
  const bare = new Set([...sentences].map((id) => (id in READING ? id : id.replace(PLACE, ''))))
  it('none is told as a bare text, which no page could say in another language', () => {
    expect(sentences.size).toBeGreaterThan(110)
    expect(untold).toEqual([])
  })
  it('each has its German one, and none is left over', () => {
    expect([...bare].filter((id) => !(id in READING))).toEqual([])
    expect(Object.keys(READING).filter((id) => !bare.has(id))).toEqual([])
  })
  it('every value of the English one stands in the German one, once', () => {
    const wrong = Object.entries(READING).filter(([id, german]) => {
      const wanted = Array.from({ length: id.split('{}').length - 1 }, (_, at) => String(at))
      const found = [...german.matchAll(/\{(\d+)e?\}/g)].map(([, at]) => at as string).sort()
      return found.join() !== wanted.sort().join()
    })
    expect(wrong).toEqual([])
  })
  it('none is the English one still', () => {
    const alike = Object.entries(READING).filter(
      ([id, german]) => id !== '{}' && german.replaceAll(/\{\d+e?\}/g, '{}') === id,
    )
    expect(alike).toEqual([])
  })
})
