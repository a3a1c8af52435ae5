/** Files made to hurt whoever opens them, of every kind that is read: bombs, endless nesting, floods, forged sizes, wrong character sets. */
import { strToU8, zipSync } from 'fflate'
import { LIMITS, readTune } from '@chartloft/shared-theory'
import { readBoardFile } from '../../server/src/boards/board-file.js'

const MEGABYTE = 1024 * 1024
export interface HostileFile {
  readonly what: string
  readonly kind: 'musicxml' | 'abc' | 'midi' | 'board'
  readonly make: () => string | Uint8Array
  /** A flood of good music may be read; everything else is refused. */
  readonly mayBeRead?: true
}

const NOTE = '<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>'
const head = 'X:1\nT:t\nM:4/4\nL:1/8\nK:C\n'
const fill = (piece: string, bytes: number): string => piece.repeat(Math.floor(bytes / piece.length))
const zip = (files: { readonly [name: string]: Uint8Array }): Uint8Array => zipSync(files, { level: 9 })
const score = strToU8(`<score-partwise><part id="P1"><measure>${NOTE}</measure></part></score-partwise>`)

/** A packed file whose directory tells another size than it unpacks to (APPNOTE.TXT: sizes at 22 of a local, 24 of a central header). */
function forged(size: number): Uint8Array {
  const bytes = zip({ 'score.xml': new Uint8Array(30 * MEGABYTE) }).slice()
  const view = new DataView(bytes.buffer)
  for (let at = 0; at + 4 < bytes.length; at++) {
    const sign = view.getUint32(at, true)
    if (sign === 0x04034b50) view.setUint32(at + 22, size, true)
    if (sign === 0x02014b50) view.setUint32(at + 24, size, true)
  }
  return bytes
}
const encrypted = (): Uint8Array => {
  const bytes = zip({ 'score.xml': score }).slice()
  const at = bytes.findIndex((_, index) => bytes[index] === 0x50 && bytes[index + 1] === 0x4b && bytes[index + 2] === 1)
  bytes[at + 8] = (bytes[at + 8] as number) | 1
  bytes[at + 10] = 99
  return bytes
}
const big = (value: number, size: number): number[] =>
  Array.from({ length: size }, (_, index) => Math.floor(value / 256 ** (size - 1 - index)) % 256)
const midi = (body: readonly number[], repeats: number, more: readonly number[] = []): Uint8Array => {
  const track = new Uint8Array(body.length * repeats + more.length)
  for (let index = 0; index < repeats; index++) track.set(body, index * body.length)
  track.set(more, body.length * repeats)
  return Uint8Array.from([
    ...Buffer.from('MThd'),
    ...big(6, 4),
    ...big(1, 2),
    ...big(1, 2),
    ...big(480, 2),
    ...Buffer.from('MTrk'),
    ...big(track.length, 4),
    ...track,
  ])
}
const NOTE_BYTES = [0, 0x90, 60, 80, 0x81, 0x70, 0x80, 60, 64]
const FULL = LIMITS.midiFileBytes - 200

const board = (more: object): string =>
  JSON.stringify({
    format: 'chartloft-board',
    version: 1,
    boardId: 'abcdefgh',
    title: 't',
    ledger: [],
    draft: '',
    ...more,
  })

export const HOSTILE_FILES: readonly HostileFile[] = [
  {
    what: 'an entity bomb',
    kind: 'musicxml',
    make: () =>
      `<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 20 }, (_, level) => `<!ENTITY a${level} "${`&a${level - 1};`.repeat(10)}">`).join('')}]><score-partwise>&a19;</score-partwise>`,
  },
  {
    what: 'a quadratic entity',
    kind: 'musicxml',
    make: () =>
      `<!DOCTYPE a [<!ENTITY a "${'x'.repeat(100_000)}">]><score-partwise>${'&a;'.repeat(100_000)}</score-partwise>`,
  },
  {
    what: 'an entity from a file',
    kind: 'musicxml',
    make: () => '<!DOCTYPE a [<!ENTITY a SYSTEM "file:///dev/zero">]><score-partwise>&a;</score-partwise>',
  },
  { what: '100,000 levels', kind: 'musicxml', make: () => `<score-partwise>${'<a>'.repeat(100_000)}` },
  {
    what: '100,000 attributes',
    kind: 'musicxml',
    make: () => `<score-partwise ${Array.from({ length: 100_000 }, (_, index) => `a${index}="1"`).join(' ')}>`,
  },
  { what: 'cut off', kind: 'musicxml', make: () => `<score-partwise><part id="P1"><measure>${NOTE}`.slice(0, 90) },
  {
    what: 'UTF-16 said to be UTF-8',
    kind: 'musicxml',
    make: () => Buffer.from('<?xml version="1.0" encoding="UTF-8"?><a/>', 'utf16le'),
  },
  {
    what: 'bytes of no character set',
    kind: 'musicxml',
    make: () => Uint8Array.from({ length: 100_000 }, (_, index) => 128 + (index % 128)),
  },
  { what: '50 MB of spaces', kind: 'musicxml', make: () => ' '.repeat(50 * MEGABYTE) },
  { what: '50 MB of notes', kind: 'musicxml', make: () => `<score-partwise>${fill('<note/>', 50 * MEGABYTE)}` },
  {
    what: '8 MB of notes',
    kind: 'musicxml',
    make: () => `<score-partwise><part id="P1"><measure>${fill(NOTE, 8 * MEGABYTE - 100)}`,
  },
  { what: '8 MB of one comment', kind: 'musicxml', make: () => `<!--${'-'.repeat(8 * MEGABYTE - 10)}` },
  {
    what: '8 MB of marks nobody knows',
    kind: 'musicxml',
    make: () =>
      `<score-partwise><part id="P1"><measure><attributes><divisions>1</divisions></attributes>${NOTE}${Array.from({ length: 190_000 }, (_, index) => `<x${index}/>`).join('')}</measure></part></score-partwise>`,
    mayBeRead: true,
  },
  {
    what: '100,000 words over one bar',
    kind: 'musicxml',
    make: () =>
      `<score-partwise><part id="P1"><measure>${NOTE}${Array.from({ length: 90_000 }, (_, index) => `<direction><direction-type><words>w${index}</words></direction-type></direction>`).join('')}</measure></part></score-partwise>`,
    mayBeRead: true,
  },
  { what: 'packed: a bomb', kind: 'musicxml', make: () => zip({ 'score.xml': new Uint8Array(60 * MEGABYTE) }) },
  {
    what: 'packed: 20,000 files',
    kind: 'musicxml',
    make: () =>
      zip(Object.fromEntries(Array.from({ length: 20_000 }, (_, index) => [`${index}.xml`, strToU8('<a/>')]))),
  },
  { what: 'packed: a size forged small', kind: 'musicxml', make: () => forged(100) },
  { what: 'packed: a size forged huge', kind: 'musicxml', make: () => forged(0xffffffff) },
  {
    what: 'packed: a bomb for its container',
    kind: 'musicxml',
    make: () => zip({ 'META-INF/container.xml': new Uint8Array(60 * MEGABYTE), 'score.xml': score }),
  },
  { what: 'packed: packed again', kind: 'musicxml', make: () => zip({ 'score.xml': zip({ 'score.xml': score }) }) },
  { what: 'packed: encrypted, by a method nobody knows', kind: 'musicxml', make: encrypted },
  {
    what: 'packed: a path that leads out',
    kind: 'musicxml',
    make: () =>
      zip({
        'META-INF/container.xml': strToU8(
          '<container><rootfiles><rootfile full-path="../../../../dev/zero"/></rootfiles></container>',
        ),
        'score.xml': score,
      }),
  },
  {
    what: 'packed: 8 MB that are no archive',
    kind: 'musicxml',
    make: () => Uint8Array.from({ length: 8 * MEGABYTE }, (_, index) => [0x50, 0x4b, 3, 4][index % 4] as number),
  },
  { what: '50 MB', kind: 'abc', make: () => head + fill('CDEF GABc|', 50 * MEGABYTE) },
  { what: '8 MB of bars', kind: 'abc', make: () => head + fill('C8|\n', 8 * MEGABYTE - 100) },
  { what: '8 MB of one line', kind: 'abc', make: () => head + fill('CDEF', 8 * MEGABYTE - 100) },
  {
    what: 'an order of parts that doubles',
    kind: 'abc',
    make: () => `X:1\nT:t\nP:${'('.repeat(8)}A${'999)'.repeat(8)}\nK:C\nP:A\nc8|\n`,
    mayBeRead: true,
  },
  {
    what: 'repeats within repeats',
    kind: 'abc',
    make: () => `${head}${'|:'.repeat(4000)}c8${':|'.repeat(4000)}`,
    mayBeRead: true,
  },
  {
    what: '100,000 own signs',
    kind: 'abc',
    make: () =>
      `X:1\nT:t\n${Array.from({ length: 100_000 }, (_, index) => `U: ${'HIJKLMNOPQRSTUVW'[index % 16]} = !s${index}!`).join('\n')}\nK:C\nHc8|\n`,
    mayBeRead: true,
  },
  {
    what: '200,000 instructions',
    kind: 'abc',
    make: () => `${Array.from({ length: 200_000 }, (_, index) => `%%i${index} 1`).join('\n')}\n${head}c8|\n`,
    mayBeRead: true,
  },
  {
    what: '100,000 lines that go on',
    kind: 'abc',
    make: () => `X:1\nT:t\nH:a\n${fill('+:more\n', 700_000)}K:C\nc8|\n`,
  },
  {
    what: 'words for notes that are not there',
    kind: 'abc',
    make: () => `${head}c8|\n${fill('w: a-b_*|\n', 4 * MEGABYTE)}`,
    mayBeRead: true,
  },
  {
    what: 'a block of text that never ends',
    kind: 'abc',
    make: () => `${head}c8|\n%%begintext\n${fill('text\n', 4 * MEGABYTE)}`,
    mayBeRead: true,
  },
  {
    what: 'accents without end',
    kind: 'abc',
    make: () => `X:1\nT:${fill("\\'e&eacute;", 15_000)}\nM:4/4\nL:1/8\nK:C\nc8|\n`,
    mayBeRead: true,
  },
  {
    what: 'bytes of no character set',
    kind: 'abc',
    make: () => Uint8Array.from({ length: 100_000 }, (_, index) => 128 + (index % 128)),
  },
  { what: 'nought bytes', kind: 'abc', make: () => new Uint8Array(4 * MEGABYTE) },
  { what: '50 MB', kind: 'midi', make: () => midi(NOTE_BYTES, Math.floor((50 * MEGABYTE) / 9)) },
  { what: '1 MB of notes', kind: 'midi', make: () => midi(NOTE_BYTES, Math.floor(FULL / 9)) },
  {
    what: '1 MB of metres',
    kind: 'midi',
    make: () => midi([1, 0xff, 0x58, 4, 3, 2, 24, 8], Math.floor(FULL / 8) - 2, NOTE_BYTES),
  },
  {
    what: '1 MB of markers',
    kind: 'midi',
    make: () => midi([1, 0xff, 6, 1, 65], Math.floor(FULL / 5) - 2, NOTE_BYTES),
  },
  {
    what: '1 MB of syllables',
    kind: 'midi',
    make: () => midi([1, 0xff, 5, 1, 65], Math.floor(FULL / 5) - 2, NOTE_BYTES),
  },
  {
    what: '1 MB of texts',
    kind: 'midi',
    make: () => midi([0, 0xff, 1, 2, 65, 66], Math.floor(FULL / 6) - 2, NOTE_BYTES),
    mayBeRead: true,
  },
  {
    what: 'a note of years',
    kind: 'midi',
    make: () => midi([0xff, 0xff, 0xff, 0x7f, 0x90, 60, 80], 100, [0, 0x80, 60, 0]),
  },
  {
    what: '120,000 empty tracks',
    kind: 'midi',
    make: () =>
      Uint8Array.from([
        ...Buffer.from('MThd'),
        ...big(6, 4),
        ...big(1, 2),
        ...big(65_535, 2),
        ...big(480, 2),
        ...Array.from({ length: 120_000 }, () => [0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, 0]).flat(),
      ]),
  },
  {
    what: '1 MB of starts of tracks',
    kind: 'midi',
    make: () =>
      Uint8Array.from([
        ...Buffer.from('MThd'),
        ...big(6, 4),
        ...big(1, 2),
        ...big(1, 2),
        ...big(480, 2),
        ...Buffer.from(fill('MTrk', FULL)),
      ]),
  },
  { what: 'a length of 256 MB', kind: 'midi', make: () => midi([0, 0xff, 1, 0xff, 0xff, 0xff, 0x7f], 1) },
  { what: '100,000 levels', kind: 'board', make: () => `{"ledger":${'['.repeat(100_000)}` },
  {
    what: '100,000 levels, closed',
    kind: 'board',
    make: () => `{"ledger":${'['.repeat(100_000)}${']'.repeat(100_000)}}`,
  },
  { what: '50 MB of spaces', kind: 'board', make: () => ' '.repeat(50 * MEGABYTE) },
  {
    what: 'two million rows',
    kind: 'board',
    make: () => board({ ledger: Array.from({ length: 2_000_000 }, () => 0) }),
  },
  {
    what: 'keys of the prototype',
    kind: 'board',
    make: () => '{"__proto__":{"format":"chartloft-board"},"constructor":{"prototype":{}}}',
  },
  { what: 'cut off', kind: 'board', make: () => board({}).slice(0, 40) },
  { what: 'UTF-16', kind: 'board', make: () => Buffer.from(board({}), 'utf16le') },
  {
    what: 'a draft that is no base64',
    kind: 'board',
    make: () => board({ ledger: [{}], draft: '!'.repeat(4 * MEGABYTE) }),
  },
  { what: 'another format', kind: 'board', make: () => board({ format: 'something' }) },
]

const MOST_ROWS = 20_000

export interface HostileAnswer {
  readonly what: string
  readonly ms: number
  /** What is wrong with the answer; nothing where it is refused in words, or read where that may be. */
  readonly fault?: string
}

/** Opens one, in processor time, so that a busy machine does not decide. */
export function answerTo({ what, kind, make, mayBeRead }: HostileFile): HostileAnswer {
  const source = make()
  const before = process.cpuUsage()
  let fault: string | undefined
  try {
    const read =
      kind === 'board'
        ? readBoardFile(typeof source === 'string' ? Buffer.from(source) : source, MOST_ROWS)
        : readTune(kind, source)
    const words = read.ok ? 'read' : 'message' in read ? read.message : (read.issues[0]?.message ?? '')
    if (read.ok && !mayBeRead) fault = 'was read'
    else if (!read.ok && words.length < 10) fault = 'refused without words'
  } catch (error) {
    fault = `threw ${String(error).slice(0, 200)}`
  }
  const { user, system } = process.cpuUsage(before)
  return { what: `${kind}: ${what}`, ms: (user + system) / 1000, ...(fault ? { fault } : {}) }
}
