/** `chartloft check` on the suites of files: what the reader tells is told, and the exit code says what came of it. */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { check } from '../../server/src/cli/check.js'
import { UsageError } from '../../server/src/cli/usage.js'
import { ABC_SUITE } from '../fixtures/abc/suite.js'
import { MIDI_SUITE } from '../fixtures/midi/suite.js'
import { MUSICXML_SUITE } from '../fixtures/musicxml/suite.js'
import { cleanUp, freshFolder, runCommand } from './harness.js'

interface CliFile {
  readonly name: string
  readonly file: string
  readonly format: 'abc' | 'musicxml' | 'midi'
  readonly source: string | Uint8Array
}
const isPacked = (source: string | Uint8Array): boolean => typeof source !== 'string' && source[0] === 0x50
const FILES: readonly CliFile[] = [
  ...MUSICXML_SUITE.map(({ name, source }) => ({
    name,
    source,
    format: 'musicxml' as const,
    end: isPacked(source) ? 'mxl' : 'musicxml',
  })),
  ...ABC_SUITE.filter(({ tuneNumber }) => tuneNumber === undefined).map(({ what, abc }) => ({
    name: what,
    source: abc,
    format: 'abc' as const,
    end: 'abc',
  })),
  ...MIDI_SUITE.map(({ name, source }) => ({ name, source, format: 'midi' as const, end: 'mid' })),
].map(({ end, ...one }, index) => ({ ...one, file: `${index}.${end}` }))

let folder: string
const at = ({ file }: CliFile): string => join(folder, file)
const told = (read: Result<Tune>): readonly string[] => (read.issues ?? []).map(({ message }) => message)

beforeAll(() => {
  folder = freshFolder()
  for (const one of FILES) writeFileSync(at(one), one.source)
})
afterAll(cleanUp)

describe('[CC8] check on the suites of files', () => {
  it('tells what the reader tells, of every file', () => {
    const wrong = FILES.flatMap((one) => {
      const read = readTune(one.format, one.source)
      try {
        const messages = check(at(one)).map(({ message }) => message)
        if (!read.ok) return [`${one.format} ${one.name}: read, though the reader refuses it`]
        const missing = told(read).filter((message) => !messages.includes(message))
        return missing.map((message) => `${one.format} ${one.name}: does not tell '${message}'`)
      } catch (error) {
        if (!(error instanceof UsageError)) return [`${one.format} ${one.name}: threw ${String(error)}`]
        const [sentence = ''] = told(read)
        return !read.ok && error.message.includes(sentence) ? [] : [`${one.format} ${one.name}: ${error.message}`]
      }
    })
    expect(wrong).toEqual([])
  }, 600_000)

  it('by the command: 0 clean, 1 with an error in the music, 2 refused, in words', async () => {
    const of = (format: CliFile['format'], name: string): string =>
      at(FILES.find((one) => one.format === format && one.name === name)!)
    const cases: readonly (readonly [path: string, code: number, words: RegExp])[] = [
      [
        of('musicxml', 'figured bass'),
        0,
        /note RD9 \(line\/\d+\): Bar 1: left out, since a tune cannot hold it: figured bass \(bar 1\)/,
      ],
      [of('musicxml', 'a bar too short'), 1, /error RD6 .*filled with silence/],
      [of('musicxml', 'character set: UTF-16, little end first'), 0, /0 errors/],
      [of('musicxml', 'packed, cut off'), 2, /cannot be read as musicxml: The compressed file is damaged/],
      [of('abc', 'macro'), 0, /note RD3 \(line\/3\): Line 3: m: \(a macro\) is not used/],
      [of('abc', 'a bar too long'), 1, /error RD6 .*kept as a bar of 5\/4/],
      [of('abc', 'only a head'), 2, /cannot be read as abc: There is no music/],
      [of('midi', 'drums beside the melody'), 0, /drums \(channel 10\) \(track 1, 2 places\)/],
      [of('midi', 'cut in the middle'), 0, /warning RD13 \(file\): The MIDI file is damaged/],
      [of('midi', 'division: film frames (SMPTE)'), 2, /counts film frames, not beats/],
    ]
    for (const [path, wanted, words] of cases) {
      const { code, stdout, stderr } = await runCommand(['check', path])
      expect([words.source, code], stdout + stderr).toEqual([words.source, wanted])
      expect(wanted === 2 ? stderr : stdout).toMatch(words)
      if (wanted === 2) expect(stderr.trim().split('\n')).toHaveLength(1)
    }
  })
})
