import { zipSync, strToU8 } from 'fflate'
import { describe, expect, it } from 'vitest'
import type { Issue, Tune } from '../../contract/index.js'
import { listContents, readTune } from '../index.js'

const note = (step: string, octave: number, duration: number, rest = ''): string =>
  `<note><pitch><step>${step[0]}</step>${step[1] === 'b' ? '<alter>-1</alter>' : step[1] === '#' ? '<alter>1</alter>' : ''}<octave>${octave}</octave></pitch><duration>${duration}</duration>${rest}</note>`
const ATTRIBUTES =
  '<attributes><divisions>2</divisions><key><fifths>-1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>'
const measure = (number: number, inner: string, more = ''): string =>
  `<measure number="${number}"${more}>${inner}</measure>`
const score = (measures: string, head = '<work><work-title>Test</work-title></work>'): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n<score-partwise version="4.0">${head}<part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${measures}</part></score-partwise>`
const harmony = (root: string, kind: string, more = ''): string =>
  `<harmony><root><root-step>${root}</root-step></root><kind>${kind}</kind>${more}</harmony>`

/** Most snippets have no chords; that this is said ([RD16]) is tested by itself. */
function read(xml: string | Uint8Array): { tune: Tune; issues: readonly Issue[] } {
  const result = readTune('musicxml', xml)
  if (!result.ok) throw new Error(result.issues.map((one) => one.message).join('\n'))
  return { tune: result.value, issues: (result.issues ?? []).filter((one) => one.code !== 'RD16') }
}
const names = (tune: Tune): string => tune.bars.map((bar) => bar.melody.map((one) => one.name).join(' ')).join(' | ')
const refusal = (xml: string | Uint8Array): Issue | undefined => {
  const result = readTune('musicxml', xml)
  return result.ok ? undefined : result.issues[0]
}

describe('a lead sheet', () => {
  const xml = score(
    [
      measure(0, `${ATTRIBUTES}<direction><sound tempo="132"/></direction>${note('C', 5, 2)}`, ' implicit="yes"'),
      measure(
        1,
        `${harmony('F', 'major-seventh')}${note('A', 4, 4)}${harmony('D', 'minor-seventh', '<bass><bass-step>C</bass-step></bass><offset>2</offset>')}${note('Bb', 4, 4, '<tie type="start"/>')}`,
      ),
      measure(
        2,
        `${harmony('G', 'dominant', '<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>')}${note('Bb', 4, 2, '<tie type="stop"/>')}<note><grace/><pitch><step>C</step><octave>5</octave></pitch></note>${note('D', 5, 2, '<lyric><syllabic>begin</syllabic><text>la</text></lyric>')}<note><rest/><duration>4</duration></note>`,
      ),
      measure(3, `${note('F', 4, 6)}`),
    ].join(''),
  )
  const { tune, issues } = read(xml)
  it('[RD25] pickup, tempo, key, melody, ties, graces, words', () => {
    expect(issues).toEqual([])
    expect([tune.title, tune.pickupTicks, tune.tempoBpm, tune.key.key]).toEqual(['Test', 5040, 132, 'F major'])
    expect(names(tune)).toBe('C5 | A4 Bb4 | Bb4 D5 | F4')
    expect(tune.bars[1]?.melody[1]?.tiedToNext).toBe(true)
    expect(tune.bars[2]?.melody[1]).toMatchObject({ lyric: 'la-', grace: ['C5'] })
    expect(tune.bars[3]?.lengthTicks).toBe(15120)
  })
  it('[RD25] harmony with kind, bass, degree and offset', () => {
    expect(tune.bars.map((bar) => bar.chords.map((one) => [one.startTick / 5040, one.chord.symbol]))).toEqual([
      [],
      [
        [0, 'Fmaj7'],
        [3, 'Dm7/C'],
      ],
      [[0, 'G7b9']],
      [],
    ])
  })
  it('[RD25] the same score timewise, and compressed', () => {
    const timewise = xml
      .replaceAll('score-partwise', 'score-timewise')
      .replace('<part id="P1">', '')
      .replace('</part></score', '</score')
      .replaceAll(/<measure([^>]*)>/g, '<measure$1><part id="P1">')
      .replaceAll('</measure>', '</part></measure>')
    expect(read(timewise).tune).toEqual(tune)
    const container = '<container><rootfiles><rootfile full-path="score/a.musicxml"/></rootfiles></container>'
    const packed = zipSync({ 'META-INF/container.xml': strToU8(container), 'score/a.musicxml': strToU8(xml) })
    expect(read(packed).tune).toEqual(tune)
  })
})

describe('parts, voices, transposition', () => {
  it('[RD14] the part with notes and chord symbols is the melody, and said', () => {
    const two = score('')
      .replace('</part-list>', '<score-part id="P2"><part-name>Lead</part-name></score-part></part-list>')
      .replace(
        '<part id="P1"></part>',
        `<part id="P1">${measure(1, ATTRIBUTES + note('C', 3, 8))}</part><part id="P2">${measure(1, ATTRIBUTES + harmony('F', 'major') + note('A', 4, 8))}</part>`,
      )
    const { tune, issues } = read(two)
    expect(names(tune)).toBe('A4')
    expect(issues).toMatchObject([{ code: 'RD14' }])
    expect(issues[0]?.message).toContain("'Lead'")
  })
  it('[RD46] parts are listed by name with notes, sounding range and chord symbols; the one asked for is read', () => {
    const transposed = ATTRIBUTES.replace(
      '</attributes>',
      '<transpose><chromatic>-2</chromatic></transpose></attributes>',
    )
    const three = score('')
      .replace(
        '</part-list>',
        '<score-part id="P2"><part-name>Reeds</part-name></score-part><score-part id="P3"><part-name>Guide</part-name></score-part></part-list>',
      )
      .replace(
        '<part id="P1"></part>',
        `<part id="P1">${measure(1, ATTRIBUTES + harmony('F', 'major') + note('C', 5, 4) + note('A', 4, 4))}</part>
        <part id="P2">${measure(1, transposed + note('D', 5, 4) + note('D', 4, 4))}</part>
        <part id="P3">${measure(1, ATTRIBUTES + harmony('F', 'major'))}</part>`,
      )
    const listed = listContents('musicxml', three)
    expect(listed).toEqual({
      ok: true,
      value: {
        kind: 'parts',
        parts: [
          { name: 'Voice', notes: 2, lowMidi: 69, highMidi: 72, chordSymbols: 1, isProposed: true },
          { name: 'Reeds', notes: 2, lowMidi: 60, highMidi: 72, chordSymbols: 0, isProposed: false },
        ],
      },
    })
    const second = readTune('musicxml', three, { part: 1 })
    expect(second.ok && [names(second.value), second.value.bars[0]?.chords[0]?.chord.symbol]).toEqual(['C5 C4', 'F'])
    const none = readTune('musicxml', three, { part: 2 })
    expect(none.ok ? '' : none.issues[0]?.message).toBe('This score has 2 parts with notes; part 3 is not in it.')
    expect(listContents('musicxml', '<score-partwise>').ok).toBe(false)
  })
  it('[RD14] chord symbols that stand in another part are taken from it', () => {
    const two = score('').replace(
      '<part id="P1"></part>',
      `<part id="P1">${measure(1, ATTRIBUTES + note('C', 5, 8))}</part><part id="P2">${measure(1, ATTRIBUTES + harmony('F', 'major'))}</part>`,
    )
    expect(read(two).tune.bars[0]?.chords[0]?.chord.symbol).toBe('F')
  })
  it('[RD9] voice 1 and the top of notes together are read, the rest is named', () => {
    const chordNote = note('E', 5, 8).replace('<note>', '<note><chord/>')
    const { tune, issues } = read(
      score(
        measure(
          1,
          `${ATTRIBUTES}${note('C', 5, 8)}${chordNote}<backup><duration>8</duration></backup>${note('F', 4, 8, '<voice>2</voice>')}`,
        ),
      ),
    )
    expect(names(tune)).toBe('E5')
    expect(issues.map((one) => one.code)).toEqual(['RD9', 'RD9'])
  })
  it('[RD26] a transposing part is read at sounding pitch, key and chords with it', () => {
    const horn = ATTRIBUTES.replace('<fifths>-1', '<fifths>1').replace(
      '</attributes>',
      '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>',
    )
    const { tune } = read(
      score(measure(1, `${horn}${harmony('G', 'major-sixth')}${note('B', 4, 4)}${note('F#', 4, 4)}`)),
    )
    expect([tune.key.key, names(tune), tune.bars[0]?.chords[0]?.chord.symbol]).toEqual(['F major', 'A4 E4', 'F6'])
  })
  it('[RD11] a signature without its mode is decided by the music, with the reason', () => {
    const bare = ATTRIBUTES.replace('<mode>major</mode>', '')
    const { tune, issues } = read(
      score(
        measure(1, `${bare}${harmony('A', 'dominant')}${note('A', 4, 2)}${note('C#', 5, 2)}${note('E', 5, 4)}`) +
          measure(2, `${harmony('D', 'minor')}${note('F', 5, 4)}${note('D', 5, 4)}`),
      ),
    )
    expect(tune.key).toEqual({ key: 'D minor', mode: 'minor', fifths: -1 })
    expect(issues[0]).toMatchObject({ code: 'RD11' })
  })
})

describe('time and road map', () => {
  const bar = (number: number, step: string, before = '', after = ''): string =>
    measure(number, `${before}${note(step, 4, 8)}${after}`)
  it('[RD8] repeats with endings', () => {
    const ending = (number: string, type: string, side: string, more = ''): string =>
      `<barline location="${side}"><ending number="${number}" type="${type}"/>${more}</barline>`
    const { tune } = read(
      score(
        bar(1, 'C', `${ATTRIBUTES}<barline location="left"><repeat direction="forward"/></barline>`) +
          bar(2, 'D', ending('1', 'start', 'left'), ending('1', 'stop', 'right', '<repeat direction="backward"/>')) +
          bar(3, 'E', ending('2', 'start', 'left'), ending('2', 'discontinue', 'right')) +
          bar(4, 'F'),
      ),
    )
    expect(names(tune)).toBe('C4 | D4 | C4 | E4 | F4')
    expect(tune.bars.map((one) => one.writtenBar)).toEqual([0, 1, 0, 2, 3])
  })
  it('[RD8] D.S. al Coda by words, signs and sound', () => {
    const direction = (inner: string, sound = ''): string =>
      `<direction><direction-type>${inner}</direction-type>${sound}</direction>`
    const { tune } = read(
      score(
        bar(1, 'C', ATTRIBUTES) +
          bar(2, 'D', direction('<segno/>', '<sound segno="a"/>')) +
          bar(3, 'E', '', direction('<words>To Coda</words>', '<sound tocoda="b"/>')) +
          bar(4, 'F', '', direction('<words>D.S. al Coda</words>', '<sound dalsegno="a"/>')) +
          bar(5, 'G', direction('<coda/>', '<sound coda="b"/>')),
      ),
    )
    expect(names(tune)).toBe('C4 | D4 | E4 | F4 | D4 | E4 | G4')
  })
  it('[RD25] rehearsal marks name sections; metre and key change; tuplets', () => {
    const change =
      '<attributes><key><fifths>2</fifths><mode>major</mode></key><time><beats>3</beats><beat-type>4</beat-type></time><divisions>6</divisions></attributes>'
    const three = '<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>'
    const { tune } = read(
      score(
        bar(1, 'C', `${ATTRIBUTES}<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>`) +
          measure(
            2,
            `${change}<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>${note('C', 5, 4, three)}${note('D', 5, 4, three)}${note('E', 5, 4, three)}${note('F', 5, 6)}`,
          ),
      ),
    )
    expect(tune.sections.map((one) => one.id)).toEqual(['A1', 'B1'])
    expect([tune.bars[1]?.metre, tune.bars[1]?.key.key]).toEqual([{ beats: 3, beatType: 4 }, 'D major'])
    expect(tune.bars[1]?.melody.map((one) => [one.startTick, one.durationTicks, one.tuplet?.actual])).toEqual([
      [0, 3360, 3],
      [3360, 3360, 3],
      [6720, 3360, 3],
      [10080, 5040, undefined],
    ])
  })
  it('[FO6] running rehearsal letters over music that repeats become form letters', () => {
    const letters = ['A', 'B', 'C', 'D']
    const bars = letters.flatMap((letter, section) =>
      Array.from({ length: 8 }, (_, at) =>
        bar(
          section * 8 + at + 1,
          letter === 'C' ? 'B' : ('CDEFGFED'[at] as string),
          `${section + at === 0 ? ATTRIBUTES : ''}${at === 0 ? `<direction><direction-type><rehearsal>${letter}</rehearsal></direction-type></direction>` : ''}`,
        ),
      ),
    )
    expect(read(score(bars.join(''))).tune.sections.map((one) => one.id)).toEqual(['A1', 'A2', 'B1', 'A3'])
  })
})

describe('[RD13] broken and hostile files are refused with the line', () => {
  const cases: readonly (readonly [what: string, xml: string, message: RegExp])[] = [
    ['cut short', score(measure(1, ATTRIBUTES)).slice(0, -40), /^Line 3: the XML is broken/],
    [
      'tags crossed',
      '<score-partwise>\n<part-list>\n</score-partwise>',
      /^Line 3: the XML is broken: <\/score-partwise> closes <part-list> of line 2/,
    ],
    ['no score', '<?xml version="1.0"?>\n<opus></opus>', /^Line 2: <opus> is no MusicXML score/],
    [
      'entities of its own',
      '<?xml version="1.0"?>\n<!DOCTYPE a [\n<!ENTITY x "xx"><!ENTITY y "&x;&x;">\n]>\n<score-partwise>&y;</score-partwise>',
      /^Line 2: the file defines its own entities/,
    ],
    [
      'an unknown entity',
      '<score-partwise><work><work-title>&file;</work-title></work></score-partwise>',
      /'&file;' is no entity/,
    ],
    ['too deep', `<score-partwise>${'<a>'.repeat(100_000)}`, /nested more than 64 deep/],
    ['text around', '<score-partwise/>\nhello', /text stands outside/],
    ['attribute unquoted', '<score-partwise version=4.0/>', /not well formed/],
    ['no notes', score(measure(1, ATTRIBUTES)), /There is no music in this score/],
  ]
  for (const [what, xml, message] of cases)
    it(what, () => {
      expect(refusal(xml)?.message).toMatch(message)
    })
  it('[RD10] a packed file that unpacks too large', () => {
    const bomb = zipSync({ 'a.xml': new Uint8Array(30 * 1024 * 1024) })
    expect(bomb.length).toBeLessThan(100_000)
    expect(refusal(bomb)).toMatchObject({ code: 'RD10' })
  })
  it('a damaged packed file', () => {
    const packed = zipSync({ 'a.xml': strToU8(score(measure(1, ATTRIBUTES + note('C', 4, 8)))) })
    expect(refusal(packed.slice(0, 120))).toMatchObject({ code: 'RD13' })
  })
})
