/** Files as leaders bring them, of our own tunes: a MusicXML file with doubts, a MIDI file without chord symbols, an ABC book. */
import { type MidiEvent, writeMidi } from 'midi-file'

const NOTES: readonly (readonly [step: string, octave: number])[] = [
  ['F', 4],
  ['A', 4],
  ['C', 5],
  ['A', 4],
]

/** Sixteen bars; every second has a beat too few, two harmonies name no chord, and nothing says who wrote it. */
export function doubtfulMusicXml(bars = 16): string {
  const measures = Array.from({ length: bars }, (_, index) => {
    const notes = NOTES.slice(0, index % 2 === 0 ? 4 : 3)
    const harmony =
      index % 4 === 0
        ? '<harmony><root><root-step>F</root-step></root><kind text="7">dominant</kind></harmony>'
        : index % 4 === 2
          ? '<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>no-such-kind</kind></harmony>'
          : ''
    const head =
      index === 0
        ? '<attributes><divisions>1</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>'
        : ''
    return `<measure number="${index + 1}">${head}${harmony}${notes
      .map(
        ([step, octave]) =>
          `<note><pitch><step>${step}</step><octave>${octave}</octave></pitch><duration>1</duration><type>quarter</type></note>`,
      )
      .join('')}</measure>`
  })
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0"><work><work-title>Ebb Stairs</work-title></work><part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">
${measures.join('\n')}
</part></score-partwise>`
}

/** A score of three parts: a bass that stands first and has the chord symbols, a tune for clarinet, a part that is silent. */
export function scoreOfParts(): string {
  const note = (step: string, octave: number): string =>
    `<note><pitch><step>${step}</step><octave>${octave}</octave></pitch><duration>1</duration><type>quarter</type></note>`
  const attributes = (fifths: number, transpose = ''): string =>
    `<attributes><divisions>1</divisions><key><fifths>${fifths}</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time>${transpose}</attributes>`
  const bars = (bar: (index: number) => string): string =>
    Array.from({ length: 8 }, (_, index) => `<measure number="${index + 1}">${bar(index)}</measure>`).join('')
  const names = ['Bass', 'Clarinet in B flat', 'Bell']
  const [F, B] = ['F', 'B'].map(
    (step) =>
      `<harmony><root><root-step>${step}</root-step>${step === 'B' ? '<root-alter>-1</root-alter>' : ''}</root><kind>major</kind></harmony>`,
  ) as [string, string]
  const down = '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>'
  const parts = [
    bars(
      (index) =>
        (index === 0 ? attributes(-1) : '') +
        (index % 2 === 0 ? F : B) +
        note(index % 2 === 0 ? 'F' : 'D', 3).repeat(4),
    ),
    bars(
      (index) =>
        (index === 0 ? attributes(1, down) : '') +
        NOTES.map(([step, octave]) => note(step === 'F' ? 'G' : step === 'A' ? 'B' : 'D', octave)).join(''),
    ),
    bars((index) => (index === 0 ? attributes(-1) : '') + '<note><rest measure="yes"/><duration>4</duration></note>'),
  ]
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0"><work><work-title>Ebb Stairs, for three</work-title></work><part-list>${names
    .map((name, index) => `<score-part id="P${index + 1}"><part-name>${name}</part-name></score-part>`)
    .join(
      '',
    )}</part-list>${parts.map((measures, index) => `<part id="P${index + 1}">${measures}</part>`).join('\n')}</score-partwise>`
}

const BEAT = 480
type Played = readonly (readonly [beat: number, beats: number, midi: number])[]

function track(name: string, channel: number, program: number, notes: Played): MidiEvent[] {
  const events = notes
    .flatMap(([beat, beats, noteNumber]) => [
      { at: Math.round(beat * BEAT), type: 'noteOn' as const, noteNumber, velocity: 80 },
      { at: Math.round((beat + beats) * BEAT), type: 'noteOff' as const, noteNumber, velocity: 0 },
    ])
    .toSorted((a, b) => a.at - b.at || (a.type === 'noteOff' ? -1 : 1))
  let before = 0
  const out: MidiEvent[] = [
    { deltaTime: 0, meta: true, type: 'trackName', text: name },
    { deltaTime: 0, type: 'programChange', channel, programNumber: program },
  ]
  for (const { at, ...event } of events) {
    out.push({ ...event, channel, deltaTime: at - before })
    before = at
  }
  return [...out, { deltaTime: 0, meta: true, type: 'endOfTrack' }]
}

/** A waltz with a pickup of a beat that its file writes in 4/4, as programs do that were told no metre: the tune in the middle, bells above. */
export function waltzMidi(): Buffer {
  const bar = [65, 69, 72] as const
  const tune: Played = [
    [3, 0.95, 60],
    ...Array.from({ length: 8 }, (_, at) => bar.map((midi, beat) => [4 + at * 3 + beat, 0.95, midi] as const)).flat(),
  ]
  const bells: Played = Array.from({ length: 6 }, (_, at) => [4 + at * 3, 1, 89] as const)
  return Buffer.from(
    writeMidi({
      header: { format: 1, numTracks: 2, ticksPerBeat: BEAT },
      tracks: [track('Bells', 2, 9, bells), track('Reeds', 0, 66, tune)],
    }),
  )
}

export const ABC_BOOK = `X:1
T:Ebb Stairs
M:4/4
L:1/4
K:F
"F"F A c A|"C7"G4|"F"A F A c|"F"F4|]

X:2
T:Lamp Oil
M:3/4
L:1/4
K:G
"G"G B d|"D7"A2 d|"G"B3|"G"G3|]
`
