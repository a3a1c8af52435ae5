/** What the page says on which a tune is brought in: loaded with it, like the page itself. */
import type { Issue } from '@chartloft/shared-theory'
import type { FileFormat } from '../../state/theory-protocol.js'
import type { SlotStatus } from '../../state/slots.js'
import { listed, plural } from './counting.js'

const size = (bytes: number): string =>
  bytes >= 1024 * 1024 ? `${Math.round((bytes / 1024 / 1024) * 10) / 10} MB` : `${Math.round(bytes / 1024)} KB`

const KINDS: { readonly [format in FileFormat]: string } = {
  abc: 'an ABC file',
  musicxml: 'a MusicXML file',
  midi: 'a MIDI file',
}
const MENDS: { readonly [format in FileFormat]: string } = {
  abc: 'Save the one tune by itself and bring that.',
  musicxml: 'Export one tune, or the melody part alone, and bring that.',
  midi: 'Export the one tune by itself, without controllers and sound data, and bring that.',
}

export const bringing = {
  lead: 'Melody and chords are enough. The arrangement comes later, from all of you.',
  drop: 'Put a file on these lines',
  formats: 'MusicXML, ABC or MIDI',
  choose: 'Choose a file',
  type: 'Type it in',
  typeNote: 'letters and chord symbols',
  play: 'Play it in',
  playNote: 'from a keyboard, note by note or in time',
  demoTitle: 'Or try a demo tune',
  demoNote: 'Written for this. Nothing you do to it can go wrong.',
  demoPick: 'Demo tunes',
  demoOpen: 'Open this demo tune',
  whatThen: 'What happens then',
  steps: [
    {
      status: 'open' as SlotStatus,
      title: 'You get five questions',
      text: 'Groove, opening, new harmony, lift, ending. For each, the answers that work for this tune, and why.',
    },
    {
      status: 'voting' as SlotStatus,
      title: 'The band hears and votes',
      text: 'One link, no accounts. Everybody hears each answer in its place, on a phone if need be.',
    },
    {
      status: 'locked' as SlotStatus,
      title: 'You lock, and the parts are written',
      text: 'Score and a part for every player, transposed, with what changed since the last print.',
    },
  ],
  reading: (file: string): string => `Reading ${file}`,
  cancelled: (file: string): string => `Left: ${file} was not read.`,
  broken: 'Could not read it',
  brokenWhat: 'Nothing was kept. Mend the file where it says, or try another.',
  wrongType: (name: string): string =>
    `${name} is no MusicXML, ABC or MIDI file. Save the tune as one of these and bring it again.`,
  tooLarge: (name: string, bytes: number, format: FileFormat, most: number): string =>
    `${name} has ${size(bytes)}; ${KINDS[format]} may have ${size(most)}. ${MENDS[format]}`,
  tooLong: 'This tune has too many notes to be sent in one piece. Bring a part of it, or the melody alone.',
  mendText: 'Mend the text',

  title: 'This is what we read. Right?',
  lookHere:
    'Look it over beside the notes; whatever is wrong is put right here. Nothing is made of it before you say so.',
  facts: 'What was understood',
  tuneTitle: 'Title',
  titleEmpty: 'The tune needs a title.',
  change: 'Change',
  changeOf: (what: string): string => ` the ${what.charAt(0).toLowerCase()}${what.slice(1)}`,
  done: 'Done',
  set: 'Use it',
  undo: (what: string): string => `Undo: ${what}`,
  undone: (what: string): string => `Undone: ${what}.`,
  which: 'Tune',
  whichNote: (count: number): string => `the file holds ${plural(count, 'tune')}`,
  tuneOf: (number: number, title: string): string => `${number}. ${title || 'no title'}`,
  line: 'Melody',
  lineNote: (count: number): string => `Which of the ${count} lines is the tune?`,
  lineOf: (name: string, channel: number): string => name || `Channel ${channel}`,
  lineFacts: (notes: number, low: string, high: string, instrument: string | undefined, together: number): string =>
    [
      instrument,
      plural(notes, 'note'),
      low === high ? low : `${low} to ${high}`,
      together > 0.3 ? 'mostly chords' : together > 0.05 ? 'some notes together' : '',
    ]
      .filter((fact) => fact)
      .join(', '),
  partNote: (count: number): string => `Which of the score’s ${count} parts is the tune?`,
  partFacts: (notes: number, low: string, high: string, chordSymbols: number): string =>
    [
      plural(notes, 'note'),
      low === high ? low : `${low} to ${high}`,
      chordSymbols > 0 ? plural(chordSymbols, 'chord symbol') : '',
    ]
      .filter((fact) => fact)
      .join(', '),
  lookShort: 'Look',
  lineLook: (name: string): string => `Look at ${name}`,
  hideShort: 'Hide',
  lineHide: (name: string): string => `Hide ${name}`,
  listenShort: 'Listen',
  lineListen: (name: string): string => `Listen to ${name}`,
  key: 'Key',
  tonic: 'Key note',
  mode: 'Mode',
  modes: {
    major: 'major',
    minor: 'minor',
    dorian: 'dorian',
    phrygian: 'phrygian',
    lydian: 'lydian',
    mixolydian: 'mixolydian',
    locrian: 'locrian',
  },
  sure: (confidence: number): string => (confidence > 0.75 ? 'sure' : confidence > 0.45 ? 'quite sure' : 'not sure'),
  asSet: 'as you set it',
  nextBest: (key: string): string => `; by the notes alone also ${key}`,
  keyNote: 'The notes sound as they do; signature and names follow.',
  metre: 'Metre',
  beats: 'Beats in a bar',
  beatType: 'of which note',
  beatTypes: { 2: 'halves', 4: 'quarters', 8: 'eighths', 16: 'sixteenths' } as { readonly [type: number]: string },
  pickupField: 'Pickup before bar 1',
  noPickup: 'no pickup',
  pickup: (beats: number): string => `pickup of ${beats === 1 ? 'a beat' : beatsText(beats)}`,
  pickupChoice: (beats: number): string => (beats === 0 ? 'none' : beats === 1 ? 'one beat' : beatsText(beats)),
  metreNote: 'The notes keep their lengths; bar lines are drawn anew, and a note across one is tied.',
  form: 'Form',
  formBars: (sizes: readonly number[]): string =>
    sizes.length === 1
      ? plural(sizes[0] ?? 0, 'bar')
      : new Set(sizes).size === 1
        ? `${plural(sizes[0] ?? 0, 'bar')} each`
        : `${sizes.join(', ')} bars`,
  formNote: 'A mark stands where a section begins. Letters that are the same mean the same music.',
  sectionName: (index: number): string => `Name of section ${index}`,
  sectionFrom: (name: string): string => `${name} begins at bar`,
  from: 'from bar',
  remove: 'Remove',
  removeSection: (name: string, bar: number): string => ` the mark ${name} at bar ${bar}`,
  addSection: 'Another section',
  addName: 'Name of the new section',
  addFrom: 'begins at bar',
  add: 'Mark it',
  findForm: 'Find the form from the music',
  melody: 'Range',
  melodyRange: (low: string, high: string): string => `${low} to ${high}`,
  highest: (bars: readonly number[]): string =>
    `highest in ${bars.length === 1 ? 'bar' : 'bars'} ${bars.slice(0, 4).join(', ')}${bars.length > 4 ? ' and more' : ''}`,
  noMelody: 'no melody; chords only',
  chords: 'Chords',
  chordCount: (count: number): string => (count === 0 ? 'none' : plural(count, 'chord')),
  chordsProposed: (proposed: number, count: number): string =>
    proposed === 0
      ? ''
      : proposed === count
        ? 'all proposed, not in what you brought; in brackets until you confirm them'
        : `${plural(proposed, 'is', 'are')} proposed; in brackets until you confirm ${proposed === 1 ? 'it' : 'them'}`,
  chordsNote: 'Choose a bar on the sheet to change its chords.',
  confirmAll: 'They are right',
  propose: 'Propose some',
  tempo: 'Tempo',
  tempoNone: 'none said; the groove’s own',
  beatNotes: { 2: 'half notes', 4: 'quarter notes', 8: 'dotted quarters', 16: 'sixteenths' } as {
    readonly [type: number]: string
  },
  tempoField: (note: string): string => `${note} a minute`,
  tempoClear: 'Leave it to the groove',
  issues: (count: number): string =>
    count === 0 ? 'Everything was understood' : `${plural(count, 'thing')} to look at`,
  showAll: (count: number): string => `Show all ${count}`,
  showFewer: 'Show fewer',
  settle: 'Seen to',
  settleOf: (what: string): string => `: ${what}`,
  lookAt: (bar: string): string => `Look at ${bar}`,
  wholeFile: 'Whole file',
  severity: { error: 'Error', warning: 'Check', note: 'Note' } as { readonly [severity in Issue['severity']]: string },
  listen: 'Listen to it',
  listenBar: 'Listen from here',
  stop: 'Stop',
  gettingReady: 'Getting the sounds',
  confirm: 'Yes, open the board',
  another: 'Bring another',
  opening: 'Opening the board',

  sheet: 'The tune as it was read, bar by bar',
  sheetHow: 'Choose a bar to change it. Arrow keys move between bars.',
  sheetAsked: 'A ? stands over what is not sure, brackets round what is proposed.',
  engraving: 'Engraving the tune',
  engraveFailed: (why: string): string =>
    `The tune could not be engraved (${why}). Everything else on this page works.`,
  barName: (number: string, section: string | undefined, chords: string, isProposed: boolean, issues: number): string =>
    [
      `Bar ${number}`,
      section === undefined ? '' : `section ${section} begins`,
      chords === '' ? 'no new chord' : `${chords}${isProposed ? ', proposed' : ''}`,
      issues > 0 ? `${plural(issues, 'thing')} to look at` : '',
    ]
      .filter((part) => part)
      .join(', '),
  barNumber: (number: number): string => (number === 0 ? 'the pickup' : `bar ${number}`),
  inAll: (count: number): string => `(${count} places in all.)`,
  track: (number: number): string => `Track ${number}`,
  placeOfBar: (bar: number, line: number | undefined): string =>
    `${bar === 0 ? 'Pickup' : `Bar ${bar}`}${line === undefined ? '' : ` (line ${line})`}`,
  barTitle: (number: number): string => (number === 0 ? 'Pickup' : `Bar ${number}`),
  inSection: (letter: string): string => `in ${letter}`,
  chordAt: (beat: string): string => `Chord on beat ${beat}`,
  proposed: 'proposed',
  confirmBar: 'Confirm these',
  noChordHere: 'goes on',
  carried: 'goes on from the bar before',
  notes: 'Notes of this bar',
  noNotes: 'silent',
  notesHow:
    'A letter is an eighth: c2 a quarter, c/2 a sixteenth, ^c sharp, _e flat, =b natural, z a rest, c- tied on; C is middle C, c an octave above.',
  twins: (bars: readonly number[]): string =>
    `Also in ${bars.length === 1 ? 'bar' : 'bars'} ${listed(bars.map(String))}, the same music`,
  sectionHere: 'A section begins here',
  sectionHereName: 'Its name',
  before: 'Bar before',
  after: 'Next bar',
  close: 'Close',
  closeBar: ' this bar',
  said: {
    key: (key: string): string => `Key: ${key}.`,
    metre: (metre: string): string => `Metre: ${metre}.`,
    section: (name: string, bar: string): string => `${name} begins at ${bar}.`,
    moved: (name: string, bar: string): string => `${name} now begins at ${bar}.`,
    removed: (name: string): string => `The mark ${name} is gone.`,
    form: (pattern: string): string => `Form: ${pattern}.`,
    chord: (chord: string, bar: string): string => `${chord} in ${bar}.`,
    noChord: (bar: string): string => `The chord in ${bar} is gone.`,
    notes: (bar: string): string => `The notes in ${bar} are written anew.`,
    confirmed: (count: number): string => `${plural(count, 'chord')} confirmed.`,
    proposed: 'Chords were proposed.',
    settled: (left: number): string => (left === 0 ? 'Nothing is left to look at.' : `Seen to; ${left} left.`),
    tempo: 'The tempo is set.',
    title: 'The title is set.',
    read: (title: string, issues: number): string =>
      `${title} was read. ${issues === 0 ? 'Everything was understood.' : `${plural(issues, 'thing')} to look at.`}`,
    line: (name: string): string => `${name} is the melody now.`,
  },
  deed: {
    title: 'the title',
    tempo: 'the tempo',
    key: 'the key',
    'bar-lines': 'the bar lines',
    section: 'a section mark',
    'move-section': 'moving a mark',
    'remove-section': 'removing a mark',
    'find-form': 'the form',
    settle: 'what was seen to',
    chord: 'a chord',
    notes: 'the notes of a bar',
    confirm: 'confirming chords',
    propose: 'proposing chords',
  },

  typing: {
    title: 'Type the tune in',
    lead: 'Letters are notes, a | is a bar line. The notes appear as you type.',
    tuneTitle: 'Title',
    untitled: 'My tune',
    key: 'Key',
    metre: 'Metre',
    unit: 'A letter lasts',
    units: { '1/2': 'a half', '1/4': 'a quarter', '1/8': 'an eighth', '1/16': 'a sixteenth' } as {
      readonly [unit: string]: string
    },
    text: 'The notes',
    sample: '"F" c A F A | "Gm7" d B "C7" G2 |',
    help: 'How notes are written',
    helpLines: [
      ['C D E F G A B c d', 'notes upwards; small letters an octave higher, c’ one more, C, one lower'],
      ['c2 c/ c3/2', 'twice as long, half as long, dotted'],
      ['^c _e =b', 'sharp, flat, natural; the key’s own need no sign'],
      ['z z2', 'a rest'],
      ['"Dm7" c', 'a chord symbol before its note'],
      ['| |: :| |]', 'bar line, repeat, end'],
      ['c- | c', 'a tie'],
      ['(3 cde', 'a triplet'],
    ] as readonly (readonly [string, string])[],
    standard: 'This is ABC 2.1, an open standard; a whole ABC tune may be pasted too.',
    keys: 'Keys for the notes',
    keyNames: {
      chord: 'Chord',
      rest: 'Rest',
      sharp: 'Sharp',
      flat: 'Flat',
      natural: 'Natural',
      higher: 'Octave up',
      lower: 'Octave down',
      bar: 'Bar line',
      tie: 'Tie',
      back: 'Take back',
    },
    chordSymbol: 'Chord symbol',
    put: 'Put it there',
    noneYet: 'The notes appear here as you type.',
    fine: (bars: number): string => `${plural(bars, 'bar')}, no mistakes.`,
    faults: (count: number): string => `${plural(count, 'thing')} to look at`,
    goTo: (line: number, column: number | undefined): string =>
      column === undefined ? `Line ${line}` : `Line ${line}, sign ${column}`,
    inHead: 'Title, key and metre',
    use: 'This is the tune',
    openAtOnce: 'Open the board at once',
    empty: 'Type some notes first.',
    left: 'Leave it',
    kept: 'What you typed is kept in this browser until a board is made of it.',
  },

  midi: {
    title: 'From a keyboard',
    connect: 'Connect a MIDI keyboard',
    asking: 'Waiting for the browser’s permission',
    none: 'No keyboard is connected. Plug one in and switch it on; it appears here by itself.',
    refused: 'The browser does not let this page listen to keyboards. Allow MIDI for this page in its settings.',
    absent: 'This browser knows no MIDI keyboards. Type the tune in, or use a browser with Web MIDI.',
    hears: (names: readonly string[]): string => `Listening to ${listed(names)}.`,
    step: 'Note by note',
    stepNote: 'Each key you press is put in where the cursor stands, as long as chosen here.',
    lengths: 'Next note lasts',
    lengthNames: {
      '1/1': 'whole note',
      '3/4': 'dotted half',
      '1/2': 'half note',
      '3/8': 'dotted quarter',
      '1/4': 'quarter note',
      '3/16': 'dotted eighth',
      '1/8': 'eighth note',
      '1/16': 'sixteenth',
    } as { readonly [length: string]: string },
    time: 'In time',
    timeNote: 'Play along with the clicks; bars and note values are found afterwards.',
    tempo: 'Clicks a minute',
    begin: 'Count me in',
    counting: 'Counting in',
    recording: (notes: number): string => `Listening: ${plural(notes, 'note')} so far`,
    stop: 'That was it',
    nothing: 'Nothing was played.',
    played: 'Played in',
  },
} as const

function beatsText(beats: number): string {
  const whole = Math.floor(beats)
  const rest = beats - whole
  const fraction =
    rest === 0 ? '' : rest === 0.5 ? '½' : rest === 0.25 ? '¼' : rest === 0.75 ? '¾' : rest.toFixed(2).slice(1)
  return `${whole > 0 || fraction === '' ? whole : ''}${fraction} ${beats === 0.5 || beats === 0.25 || beats === 0.75 ? 'of a beat' : 'beats'}`
}
