/** The command line from outside: same code, same bytes, clear words and exit codes. */
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  compile,
  foldLedger,
  planOfState,
  proposeOptions,
  readTune,
  scheduleEvents,
  type LedgerEntry,
  type Option,
} from '@chartloft/shared-theory'
import { parseMidi } from 'midi-file'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, freshFolder, newBoard, personAt, runCommand, startServer } from './harness.js'
import { SONG } from './music.js'

let folder: string
let song: string
beforeAll(() => {
  folder = freshFolder()
  song = join(folder, 'song.abc')
  writeFileSync(song, SONG.data)
})
afterAll(cleanUp)

describe('[CC1] compile', () => {
  it('writes score, parts, MIDI, arrangement and report for the line-up asked for', async () => {
    const lineup = join(folder, 'lineup.json')
    writeFileSync(
      lineup,
      JSON.stringify([
        { id: 'alto', instrument: 'alto-sax', name: 'Alto', role: 'lead' },
        { id: 'keys', instrument: 'piano', name: 'Keys', role: 'chords' },
        { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' },
      ]),
    )
    const out = join(folder, 'one', 'deep')
    const { code, stderr } = await runCommand([
      'compile',
      song,
      '--choose',
      'groove=bossa',
      '--choose',
      'lift=up-2@last-B',
      '--lineup',
      lineup,
      '--out',
      out,
    ])
    expect([code, stderr]).toEqual([0, ''])
    expect(readdirSync(join(out, 'parts')).sort()).toEqual(['alto.musicxml', 'bass.musicxml', 'keys.musicxml'])
    for (const file of ['score.musicxml', 'parts/alto.musicxml'])
      expect(readFileSync(join(out, file), 'utf8')).toContain('<score-partwise')
    expect(parseMidi(readFileSync(join(out, 'arrangement.mid'))).header.ticksPerBeat).toBe(5040)
    const arrangement = JSON.parse(readFileSync(join(out, 'arrangement.json'), 'utf8'))
    expect(arrangement).toMatchObject({ version: 1, title: 'Lantern Slip', groove: 'bossa' })
    expect(Object.keys(arrangement.bars[0].parts)).toEqual(['alto', 'keys', 'bass'])
    const report = readFileSync(join(out, 'report.txt'), 'utf8')
    for (const words of ['Lantern Slip', 'Bossa nova', 'lift at chorus-last/B1', 'What the rules say'])
      expect(report).toContain(words)
  })

  it('gives byte for byte what a board with the same locked choices compiles to', async () => {
    const server = await startServer()
    const board = await newBoard(server, 'Same', SONG)
    const leader = await personAt(server, board.links.leader)
    const read = readTune('abc', SONG.data)
    if (!read.ok) throw new Error('the song reads')
    const choices: string[] = []
    const tried: Option[] = []
    for (const kind of ['groove', 'opening', 'harmony', 'lift', 'ending'] as const) {
      const state = foldLedger((await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body.entries)
      const plan = planOfState(state)
      const option = plan && proposeOptions(read.value, kind, plan)[0]
      if (!option) continue
      const slot = option.at ? { decision: kind, at: option.at } : { decision: kind }
      const answer = await leader.command('lock', { slot, option, baseSeq: state.seq })
      expect([kind, answer.status], JSON.stringify(answer.body)).toEqual([kind, 200])
      choices.push('--choose', `${kind}=${option.id}`)
      tried.push(option)
    }
    expect(tried.map((option) => option.kind)).toEqual(['groove', 'opening', 'harmony', 'lift', 'ending'])
    const entries: LedgerEntry[] = (await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body.entries
    const plan = planOfState(foldLedger(entries))
    const out = join(folder, 'two')
    expect((await runCommand(['compile', song, ...choices, '--out', out])).code).toBe(0)
    expect(plan && JSON.stringify(compile(plan).arrangement)).toBe(readFileSync(join(out, 'arrangement.json'), 'utf8'))
    await server.stop()
  })

  it('says the same twice', async () => {
    const [a, b] = [join(folder, 'a'), join(folder, 'b')]
    for (const out of [a, b]) await runCommand(['compile', song, '--choose', 'groove=swing', '--out', out])
    for (const file of ['arrangement.json', 'score.musicxml', 'arrangement.mid', 'report.txt']) {
      expect(readFileSync(join(a, file)).equals(readFileSync(join(b, file))), file).toBe(true)
    }
  })
})

describe('[CC2] propose and check', () => {
  it('lists options with reasons, or as JSON; --help names the aliases', async () => {
    const json = await runCommand(['propose', song, '--decision', 'lift', '--json'])
    const options = JSON.parse(json.stdout) as Option[]
    expect(options.length).toBeGreaterThanOrEqual(5)
    for (const option of options) expect(option.reason.length).toBeGreaterThan(0)
    const text = await runCommand(['propose', song, '--decision', 'lift'])
    expect(text.stdout).toContain(options[0]?.summary)
    const help = await runCommand(['propose', '--help'])
    expect([help.code, help.stdout.includes('up-2')]).toEqual([0, true])
  })

  it('checks a file: 0 where the music has no error, 1 where it has', async () => {
    expect((await runCommand(['check', song])).code).toBe(0)
    const over = join(folder, 'over.abc')
    writeFileSync(over, 'X:1\nT:Over\nM:4/4\nL:1/4\nK:C\n"C"CDEFG|"G7"GFED|"C"C4|]\n')
    const { code, stdout } = await runCommand(['check', over, '--json'])
    const { issues } = JSON.parse(stdout) as { issues: { severity: string; message: string }[] }
    expect(code).toBe(1)
    expect(issues.find((found) => found.severity === 'error')?.message).toContain('Bar 1')
  })
})

describe('[CC3] wrong use', () => {
  it('is exit code 2 and one clear line on stderr, never a stack trace, and writes nothing', async () => {
    mkdirSync(join(folder, 'a-folder'))
    for (const [name, content] of [
      ['empty.abc', ''],
      ['text.abc', 'hello'],
      ['broken.musicxml', '<score-partwise><part'],
      ['not.mid', 'MThx'],
      ['lineup-bad.json', '{"a":1}'],
      ['lineup-no.json', '{'],
    ] as const) {
      writeFileSync(join(folder, name), content)
    }
    writeFileSync(join(folder, 'big.abc'), Buffer.alloc(20 * 1024 * 1024, 65))
    const at = (name: string) => join(folder, name)
    const out = at('never')
    const wrong: readonly (readonly string[])[] = [
      [],
      ['frob'],
      ['compile'],
      ['compile', song],
      ['compile', song, 'another', '--out', out],
      ['compile', song, '--frob', '--out', out],
      ['compile', at('absent.abc'), '--out', out],
      ['compile', at('a-folder'), '--out', out],
      ['compile', at('empty.abc'), '--out', out],
      ['compile', at('text.abc'), '--out', out],
      ['compile', at('broken.musicxml'), '--out', out],
      ['compile', at('not.mid'), '--out', out],
      ['compile', at('big.abc'), '--out', out],
      ['compile', song, '--choose', 'groove', '--out', out],
      ['compile', song, '--choose', 'colour=blue', '--out', out],
      ['compile', song, '--choose', 'groove=nonsense', '--out', out],
      ['compile', song, '--choose', 'lift=up-2@last-Z', '--out', out],
      ['compile', song, '--choose', 'lift=up-2@nowhere/A1', '--out', out],
      ['compile', song, '--key', 'H dur', '--out', out],
      ['compile', song, '--lineup', at('lineup-bad.json'), '--out', out],
      ['compile', song, '--lineup', at('lineup-no.json'), '--out', out],
      ['compile', song, '--lineup', at('absent.json'), '--out', out],
      ['compile', song, '--out', '/dev/null/x'],
      ['propose', song],
      ['propose', song, '--decision', 'colour'],
      ['check', at('text.abc')],
    ]
    for (const args of wrong) {
      const { code, stderr, stdout } = await runCommand(args)
      const shown = args.map((word) => word.replace(folder, '')).join(' ')
      expect([shown, code], stderr).toEqual([shown, 2])
      expect(stderr.trim().split('\n'), shown).toHaveLength(1)
      expect(stderr.trim().length, shown).toBeGreaterThan(10)
      expect(stderr, shown).not.toMatch(/\bat .*\.js|node:|undefined/)
      expect(stdout, shown).toBe('')
    }
    expect(existsSync(out)).toBe(false)
  })
})

describe('[CC7] compile --wav', () => {
  it('writes the sound of the MIDI file: as long, under the ceiling, silent at the end', async () => {
    const short = join(folder, 'short.abc')
    writeFileSync(short, 'X:1\nT:Short\nM:4/4\nL:1/4\nQ:1/4=200\nK:C\n"C"C E G c|"F"A F "G7"G B,|"C"C4|]\n')
    const wav = join(folder, 'short.wav')
    const { code, stderr } = await runCommand(['compile', short, '--out', join(folder, 'short'), '--wav', wav])
    expect([code, stderr]).toEqual([0, ''])
    const file = readFileSync(wav)
    // Source: Multimedia Programming Interface and Data Specifications 1.0: the canonical 44-byte PCM header.
    expect(file.toString('latin1', 0, 4) + file.toString('latin1', 8, 12)).toBe('RIFFWAVE')
    const samples = new Int16Array(
      file.buffer.slice(file.byteOffset + 44, file.byteOffset + file.length - (file.length % 2)),
    )
    const arrangement = JSON.parse(readFileSync(join(folder, 'short', 'arrangement.json'), 'utf8'))
    const events = scheduleEvents(arrangement)
    const endMs = Math.max(...events.map(({ startMs, durationMs }) => startMs + durationMs))
    expect(samples.length / 2 / 44_100).toBeGreaterThan(endMs / 1000)
    const peakOf = (part: Int16Array) => part.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0) / 32_768
    expect(peakOf(samples)).toBeGreaterThan(0.02)
    expect(peakOf(samples)).toBeLessThanOrEqual(10 ** (-1 / 20) + 1e-4)
    expect(peakOf(samples.subarray(-2000))).toBeLessThan(0.001)
  })
})
