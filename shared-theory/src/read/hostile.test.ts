import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { LANTERN_SLIP, LOW_WATER_LETTER } from '@chartloft/demo'
import { barTicks } from '../units/index.js'
import { readTune } from './index.js'

const FORMATS = ['abc', 'musicxml', 'midi'] as const
const MOST_MS = 2000

function timed(
  format: (typeof FORMATS)[number],
  source: string | Uint8Array,
): { ok: boolean; message: string; ms: number } {
  // Processor time, so that a busy machine does not decide.
  const before = process.cpuUsage()
  const result = readTune(format, source)
  const { user, system } = process.cpuUsage(before)
  return { ok: result.ok, message: result.ok ? '' : (result.issues[0]?.message ?? ''), ms: (user + system) / 1000 }
}

/** What every tune must be, whatever it was read from. */
function expectSound(format: (typeof FORMATS)[number], source: string | Uint8Array): void {
  const result = readTune(format, source)
  if (!result.ok) {
    expect(result.issues.length).toBeGreaterThan(0)
    for (const one of result.issues) expect(one.message.length).toBeGreaterThan(10)
    return
  }
  const tune = result.value
  expect(JSON.parse(JSON.stringify(tune))).toEqual(tune)
  let at = tune.pickupTicks > 0 ? 1 : 0
  for (const section of tune.sections) {
    expect(section.startBar).toBe(at)
    at += section.bars
  }
  expect(at).toBe(tune.bars.length)
  for (const [index, bar] of tune.bars.entries()) {
    const isShort = (index === 0 && tune.pickupTicks === bar.lengthTicks) || index === tune.bars.length - 1
    if (!isShort) expect(bar.lengthTicks).toBe(barTicks(bar.metre))
    let end = 0
    for (const note of bar.melody) {
      expect(note.startTick).toBeGreaterThanOrEqual(end)
      expect(note.durationTicks).toBeGreaterThan(0)
      end = note.startTick + note.durationTicks
    }
    expect(end).toBeLessThanOrEqual(bar.lengthTicks)
    let chordAt = bar.chords[0]?.startTick ?? bar.lengthTicks
    for (const chord of bar.chords) {
      expect(chord.startTick).toBe(chordAt)
      chordAt += chord.durationTicks
    }
    expect(chordAt).toBe(bar.lengthTicks)
  }
}

describe('[RD10] large and hostile files get an answer in under two seconds', { timeout: 30_000 }, () => {
  const size = 8 * 1024 * 1024
  const head = 'X:1\nT:t\nM:4/4\nL:1/8\nK:C\n'
  const fill = (piece: string, total = size - 200): string => piece.repeat(Math.floor(total / piece.length))
  const cases: readonly (readonly [what: string, format: (typeof FORMATS)[number], source: string])[] = [
    ['20 MB of ABC', 'abc', head + fill('CDEF GABc|', 20 * 1024 * 1024)],
    ['a thousand thousand bars', 'abc', head + fill('C8|\n')],
    ['one bar without end', 'abc', head + fill('CDEF')],
    ['open quotes', 'abc', head + fill('"C')],
    ['open brackets', 'abc', head + fill('[K:')],
    ['open braces', 'abc', head + fill('{ab')],
    ['open parentheses', 'abc', head + fill('(3:')],
    ['only unknown signs', 'abc', head + fill('?#;')],
    ['only line ends', 'abc', head + fill('\n')],
    ['only bar lines', 'abc', head + fill('|:')],
    ['only colons', 'abc', `${head}c${fill(':')}`],
    ['remarks', 'abc', head + fill('% x\n')],
    ['words', 'abc', `${head}c8|\nw:${fill(' a-b')}`],
    ['free text before the tune', 'abc', `${fill('text\n')}\nX:1\nT:t\nK:C\nc8|`],
    ['many tunes', 'abc', fill('X:1\nT:t\nK:C\nc8|\n\n')],
    ['many voices', 'abc', head + fill('[V:a]c')],
    ['part order', 'abc', `X:1\nT:t\nP:${'('.repeat(5)}A${'9)99'.repeat(5)}\nK:C\nP:A\nc8|\n`],
    ['repeat times', 'abc', `${head}${fill(':', 4000)}|c8${fill(':', 4000)}|`],
    ['exclamation marks', 'abc', head + fill('!a')],
    ['carets', 'abc', head + fill('^')],
    ['digits', 'abc', `${head}C${fill('9')}`],
    ['open tags', 'musicxml', fill('<a>')],
    ['angle brackets', 'musicxml', `<?xml version="1.0"?>${fill('<')}`],
    ['attributes', 'musicxml', `<score-partwise ${fill('a="b" ')}>`],
    ['an attribute without end', 'musicxml', `<score-partwise a="${fill('x')}`],
    ['comments', 'musicxml', `<score-partwise>${fill('<!--x-->')}`],
    ['empty elements', 'musicxml', `<score-partwise>${fill('<a/>')}</score-partwise>`],
    ['character references', 'musicxml', `<score-partwise>${fill('&#65;')}</score-partwise>`],
    ['measures', 'musicxml', `<score-partwise><part id="a">${fill('<measure/>', 5_000_000)}</part></score-partwise>`],
    [
      'notes in one measure',
      'musicxml',
      `<score-partwise><part id="a"><measure>${fill('<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>', 7_000_000)}</measure></part></score-partwise>`,
    ],
    [
      'MIDI events',
      'midi',
      `MThd\0\0\0\x06\0\0\0\x01\x01\xe0MTrk\0\x0f\xff\xff\0\x90${fill('\x3c\x40\x01\x3c\0\x01', 1_000_000)}`,
    ],
    [
      'MIDI of one length for ever',
      'midi',
      `MThd\0\0\0\x06\0\0\xff\xff\x01\xe0${fill('MTrk\xff\xff\xff\xff', 1_000_000)}`,
    ],
  ]
  for (const [what, format, source] of cases)
    it(what, () => {
      const { ms, ok, message } = timed(format, source)
      expect(ms).toBeLessThan(MOST_MS)
      if (!ok) expect(message.length).toBeGreaterThan(10)
    })
})

describe('[RD1] a file of another kind is told by its name', () => {
  const cases: readonly (readonly [format: (typeof FORMATS)[number], source: string | Uint8Array, message: string])[] =
    [
      ['abc', 'MThd\0\0\0\x06', 'This is a MIDI file, not an ABC file. Open it as MIDI.'],
      [
        'abc',
        '<?xml version="1.0"?><score-partwise/>',
        'This is a MusicXML file, not an ABC file. Open it as MusicXML.',
      ],
      ['musicxml', LANTERN_SLIP, 'This is an ABC file, not a MusicXML file. Open it as ABC.'],
      [
        'midi',
        Uint8Array.from([0x25, 0x50, 0x44, 0x46, 0x2d]),
        'This is a PDF, not a MIDI file. Save the tune as ABC, MusicXML or MIDI and open that.',
      ],
      [
        'abc',
        Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0, 0]),
        'This is a picture, not an ABC file. Save the tune as ABC, MusicXML or MIDI and open that.',
      ],
      [
        'musicxml',
        '<!DOCTYPE html><html>',
        'This is a web page, not a MusicXML file. Save the tune as ABC, MusicXML or MIDI and open that.',
      ],
      ['abc', '', 'The file is empty.'],
      ['midi', new Uint8Array(0), 'The file is empty.'],
      ['musicxml', '  \n ', 'The file is empty.'],
    ]
  for (const [format, source, message] of cases)
    it(`${format}: ${message}`, () => {
      expect(timed(format, source).message).toBe(message)
    })
})

describe('[RD27] text in any encoding', () => {
  const abc = 'X:1\nT:Brücke\nM:4/4\nL:1/4\nK:C\nc4|]\n'
  const wide = (highFirst: boolean): Uint8Array => {
    const units = Array.from(`\ufeff${abc}`, (sign) => sign.charCodeAt(0))
    return Uint8Array.from(units.flatMap((unit) => (highFirst ? [unit >> 8, unit & 255] : [unit & 255, unit >> 8])))
  }
  const sources: { readonly [name: string]: string | Uint8Array } = {
    text: abc,
    'UTF-8': Uint8Array.from(Array.from(unescape(encodeURIComponent(abc)), (sign) => sign.charCodeAt(0))),
    'UTF-8 with a mark': Uint8Array.from([
      0xef,
      0xbb,
      0xbf,
      ...Array.from(unescape(encodeURIComponent(abc)), (sign) => sign.charCodeAt(0)),
    ]),
    'Latin-1': Uint8Array.from(abc, (sign) => sign.charCodeAt(0)),
    'UTF-16, low byte first': wide(false),
    'UTF-16, high byte first': wide(true),
    'old line ends': abc.replaceAll('\n', '\r'),
  }
  for (const [name, source] of Object.entries(sources))
    it(name, () => {
      const result = readTune('abc', source)
      expect(result.ok && result.value.title).toBe('Brücke')
    })
})

describe('[RD28] nothing makes a reader throw (fast-check prints its seed)', { timeout: 60_000 }, () => {
  it('any text, in any format', () => {
    fc.assert(
      fc.property(fc.constantFrom(...FORMATS), fc.string({ unit: 'binary', maxLength: 200 }), (format, text) =>
        expectSound(format, text),
      ),
      { numRuns: 500 },
    )
  })
  it('text made of ABC signs', () => {
    const piece = fc.constantFrom(
      ...'A|B|c|d\'|E,|^f|_g|=a|z|Z2|x4|(3|(5:4:3|[1|[2|:|| | |:|:||::|]|[CEG]|[K:Eb]|[M:3/4]|[L:1/16]|[P:B]|[V:2]|"C7"|"Dm7b5"|"^D.C."|"H"|{ab}|!D.S.!|!segno!|!coda!|!fine!|!dacoda!|-|>|<<|2|3/2|/|&|\\|%x|$|\n|\nw: a-b _ * c|\nK:F#m|\nM:6/8|\nP:A|\nV:1|\n\n|\nX:2\nK:D\n'.split(
        '|',
      ),
      '|',
      '||',
      '|:',
      ':|',
      '|1',
      ':|2',
      '|]',
    )
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 80 }), (pieces) =>
        expectSound('abc', `X:1\nT:t\nM:4/4\nL:1/8\nK:C\n${pieces.join('')}`),
      ),
      { numRuns: 500 },
    )
  })
  it('a good tune with pieces cut out, doubled and exchanged', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(LANTERN_SLIP, LOW_WATER_LETTER),
        fc.nat(),
        fc.nat(60),
        fc.string({ unit: 'grapheme-ascii', maxLength: 8 }),
        (abc, place, length, put) => {
          const at = place % abc.length
          expectSound('abc', abc.slice(0, at) + put + abc.slice(at + length))
        },
      ),
      { numRuns: 120 },
    )
  })
  it('bytes that begin like MIDI', () => {
    const head = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 1, 0, 2, 1, 0xe0, 0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, 60]
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 120 }), (bytes) =>
        expectSound('midi', Uint8Array.from([...head, ...bytes])),
      ),
      { numRuns: 500 },
    )
  })
  it('elements of MusicXML in any order', () => {
    const leaf = fc.constantFrom(
      '<divisions>0</divisions>',
      '<divisions>3</divisions>',
      '<duration>4</duration>',
      '<duration>-1</duration>',
      '<duration>1e9</duration>',
      '<chord/>',
      '<grace/>',
      '<rest/>',
      '<pitch><step>C</step><octave>4</octave></pitch>',
      '<pitch><step>Q</step></pitch>',
      '<pitch><step>B</step><alter>.5</alter><octave>99</octave></pitch>',
      '<voice>2</voice>',
      '<staff>2</staff>',
      '<fifths>9</fifths>',
      '<beats>0</beats>',
      '<beat-type>4</beat-type>',
      '<tie type="start"/>',
      '<repeat direction="backward" times="99"/>',
      '<ending number="1, 2" type="start"/>',
      '<root><root-step>C</root-step></root>',
      '<kind>dominant</kind>',
      '<kind>bogus</kind>',
      '<words>D.C. al Fine</words>',
      '<rehearsal>A</rehearsal>',
      '<sound dacapo="yes" tempo="1e9"/>',
    )
    const wrap = (inner: fc.Arbitrary<string>) =>
      fc
        .tuple(
          fc.constantFrom(
            'note',
            'attributes',
            'key',
            'time',
            'barline',
            'harmony',
            'direction',
            'direction-type',
            'measure',
            'backup',
            'forward',
            'transpose',
          ),
          fc.array(inner, { maxLength: 5 }),
        )
        .map(([name, held]) => `<${name}>${held.join('')}</${name}>`)
    const tree = wrap(fc.oneof(leaf, wrap(fc.oneof(leaf, wrap(leaf)))))
    fc.assert(
      fc.property(fc.array(fc.array(tree, { maxLength: 6 }), { minLength: 1, maxLength: 4 }), (measures) =>
        expectSound(
          'musicxml',
          `<score-partwise><part id="a">${measures.map((inner) => `<measure>${inner.join('')}</measure>`).join('')}</part></score-partwise>`,
        ),
      ),
      { numRuns: 500 },
    )
  })
})
