import { describe, expect, it } from 'vitest'
import type { Tune } from '../contract/index.js'
import { tuneHash } from '../tune/index.js'
import { readTune, writeTuneFile } from './index.js'

const ABC =
  'X:1\nT:Slack Water\nC:Maro Quill\nM:4/4\nL:1/4\nQ:1/4=96\nK:F\nC|\nP:A\n"F"F3/2G/(3A/B/c/ A|"Gm7b5"B2 "C7#9/G"G2-|G2 {A}F2|\nM:3/4\n"N.C."G3|\nK:Bb\n"D7 over C"B2 c|\nw:sea-\n"F"F2|]'
const tune = (() => {
  const read = readTune('abc', ABC)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return read.value
})()
type Loose = { [field: string]: unknown }
/** The file with one thing changed. */
function changed(change: (file: Loose & { bars: (Loose & { melody: Loose[]; chords: Loose[] })[] }) => void): string {
  const file = JSON.parse(writeTuneFile(tune)) as never
  change(file)
  const read = readTune('tune', JSON.stringify(file))
  return read.ok ? 'read' : (read.issues[0]?.message ?? '')
}

describe('[RD45] a tune as data', () => {
  it('reads back to the same tune, chords rebuilt from their symbols', () => {
    const read = readTune('tune', writeTuneFile(tune))
    expect(read.ok && read.value).toEqual(tune)
    expect(read.ok && tuneHash(read.value)).toBe(tuneHash(tune))
  })
  it('is smaller: chords are their symbols, metre and key stand where they change', () => {
    expect(writeTuneFile(tune).length).toBeLessThan(JSON.stringify(tune).length * 0.65)
  })
  it('takes nothing on trust: each lie is refused and named', () => {
    expect(changed((file) => (file['bars'] = []))).toMatch(/list of bars/)
    expect(changed((file) => (file.bars[1]!.chords[0]!['symbol'] = 'Xyz'))).toMatch(/^Not a whole tune/)
    expect(changed((file) => (file.bars[1]!.melody[0]!['midi'] = 12))).toMatch(/name is not its pitch/)
    expect(changed((file) => (file.bars[1]!.melody[0]!['durationTicks'] = -4))).toMatch(/note can't be read/)
    expect(changed((file) => (file.bars[1]!['lengthTicks'] = 5040))).toMatch(/full one|note can't be read/)
    expect(changed((file) => (file.bars[2]!.chords[0]!['durationTicks'] = 1))).toMatch(/lasts until the next/)
    expect(changed((file) => (file.bars[0]!['key'] = { key: 'F major', mode: 'major', fifths: 6 }))).toMatch(
      /not that of its key/,
    )
    expect(changed((file) => (file.bars[0]!['metre'] = { beats: 1e9, beatType: 3 }))).toMatch(/metre/)
    expect(changed((file) => (file['pickupTicks'] = 7))).toMatch(/pickup/)
    expect(
      changed((file) => (file['sections'] = [{ id: 'A', letter: 'A', startBar: 90, bars: 1, role: 'chorus' }])),
    ).toMatch(/section/)
    expect(changed((file) => (file['tempoBpm'] = 'fast'))).toMatch(/tempo/)
  })
  it('hostile text is answered in words', () => {
    for (const text of [
      '',
      '[]',
      'null',
      '{"bars":',
      '{"bars":[1]}',
      '"x"',
      `{"bars":[${'['.repeat(20_000)}`,
      '{"__proto__":{"bars":[]}}',
    ]) {
      const read = readTune('tune', text)
      expect(read.ok).toBe(false)
      expect(read.ok ? '' : read.issues[0]?.message).not.toBe('')
    }
  })
  it('titles, remarks and names are cut, not believed', () => {
    const file = { ...(JSON.parse(writeTuneFile(tune)) as Tune), title: 'x'.repeat(9000) }
    const read = readTune('tune', JSON.stringify(file))
    expect(read.ok && read.value.title).toHaveLength(200)
  })
})

describe('[RD49] sentences with their values', () => {
  it('the text is the sentence with its values put in, with the count of places, and where a reader stops', () => {
    const abc = 'X:1\nM:4/4\nL:1/4\nK:C\nC D E|[CE]F G A|[CE]F G A|\n'
    const read = readTune('abc', abc)
    const issues = read.ok ? (read.value.source.issues ?? []) : []
    expect(issues.length).toBeGreaterThan(1)
    for (const { message, sentence } of issues) {
      let at = 0
      expect(sentence?.id.replaceAll('{}', () => String(sentence.values[at++]))).toBe(message)
      expect(at).toBe(sentence?.values.length)
    }
    expect(issues.map(({ sentence }) => sentence?.id)).toContain(
      'Line {}: where notes stand together the top note is read as the melody. ({} places in all.)',
    )
    const stopped = readTune('abc', 'nothing')
    expect(stopped.ok ? undefined : stopped.issues[0]?.sentence).toEqual({
      id: 'Line {}: this is no ABC tune; one begins with X:1, T: its title and K: its key.',
      values: [1],
    })
  })
  it('a tune as data keeps them, and only what is one', () => {
    const read = readTune('abc', 'X:1\nM:4/4\nL:1/4\nK:C\nC D E|C D E F|\n')
    if (!read.ok) throw new Error('unread')
    const again = readTune('tune', writeTuneFile(read.value))
    expect(again.ok && again.value.source.issues).toEqual(read.value.source.issues)
    const data = JSON.parse(writeTuneFile(read.value)) as { source: { issues: { sentence: unknown }[] } }
    for (const issue of data.source.issues) issue.sentence = { id: 7, values: [{}] }
    const broken = readTune('tune', JSON.stringify(data))
    expect(broken.ok && broken.value.source.issues.every((issue) => issue.sentence === undefined)).toBe(true)
  })
})
