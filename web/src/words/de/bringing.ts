/** The German sentences of the page that brings a tune. */
import type { FileFormat } from '../../state/theory-protocol.js'
import type { SlotStatus } from '../../state/slots.js'
import type { BringWords } from '../catalogue.js'
import { listed, plural } from './counting.js'

const decimal = (number: number): string => String(Math.round(number * 10) / 10).replace('.', ',')
const size = (bytes: number): string =>
  bytes >= 1024 * 1024 ? `${decimal(bytes / 1024 / 1024)} MB` : `${Math.round(bytes / 1024)} KB`

const KINDS: { readonly [format in FileFormat]: string } = {
  abc: 'eine ABC-Datei',
  musicxml: 'eine MusicXML-Datei',
  midi: 'eine MIDI-Datei',
}
const MENDS: { readonly [format in FileFormat]: string } = {
  abc: 'Speichere das eine Stück für sich und bring das.',
  musicxml: 'Exportiere ein Stück oder nur die Melodiestimme und bring das.',
  midi: 'Exportiere das eine Stück für sich, ohne Controller- und Klangdaten, und bring das.',
}

export const bringing: BringWords = {
  lead: 'Melodie und Akkorde genügen. Das Arrangement macht ihr danach zusammen.',
  drop: 'Leg eine Datei auf diese Linien',
  formats: 'MusicXML, ABC oder MIDI',
  choose: 'Datei wählen',
  type: 'Eintippen',
  typeNote: 'Buchstaben und Akkordsymbole',
  play: 'Einspielen',
  playNote: 'auf einem Keyboard, Ton für Ton oder im Takt',
  demoTitle: 'Oder probier ein Übungsstück',
  demoNote: 'Eigens dafür geschrieben. Du kannst nichts kaputtmachen.',
  demoPick: 'Übungsstücke',
  demoOpen: 'Dieses Übungsstück öffnen',
  whatThen: 'Wie es weitergeht',
  steps: [
    {
      status: 'open' as SlotStatus,
      title: 'Du bekommst fünf Fragen',
      text: 'Groove, Anfang, neue Harmonien, Rückung, Schluss. Zu jeder die Antworten, die bei diesem Stück gehen, und warum.',
    },
    {
      status: 'voting' as SlotStatus,
      title: 'Die Band hört und stimmt ab',
      text: 'Ein Link, keine Konten. Alle hören jede Antwort an ihrer Stelle, zur Not am Telefon.',
    },
    {
      status: 'locked' as SlotStatus,
      title: 'Du legst fest, und die Stimmen werden geschrieben',
      text: 'Partitur und eine Stimme für alle, die spielen, transponiert, mit dem, was sich seit dem letzten Druck geändert hat.',
    },
  ],
  reading: (file) => `${file} wird gelesen`,
  cancelled: (file) => `Abgebrochen: ${file} wurde nicht gelesen.`,
  broken: 'Nicht lesbar',
  brokenWhat: 'Nichts wurde behalten. Bring die Datei an der genannten Stelle in Ordnung oder nimm eine andere.',
  wrongType: (name) =>
    `${name} ist keine MusicXML-, ABC- oder MIDI-Datei. Speichere das Stück als eine davon und bring es noch einmal.`,
  tooLarge: (name, bytes, format, most) =>
    `${name} hat ${size(bytes)}; ${KINDS[format]} darf ${size(most)} haben. ${MENDS[format]}`,
  tooLong:
    'Dieses Stück hat zu viele Töne, um in einem geschickt zu werden. Bring einen Teil davon oder nur die Melodie.',
  mendText: 'Den Text verbessern',

  title: 'Das haben wir gelesen. Stimmt es?',
  lookHere:
    'Sieh es neben den Noten durch; was nicht stimmt, wird hier berichtigt. Es entsteht nichts daraus, bevor du ja sagst.',
  facts: 'Was verstanden wurde',
  tuneTitle: 'Titel',
  titleEmpty: 'Das Stück braucht einen Titel.',
  change: 'Ändern',
  changeOf: (what) => `: ${what}`,
  done: 'Fertig',
  set: 'So nehmen',
  undo: (what) => `Zurück: ${what}`,
  undone: (what) => `Zurückgenommen: ${what}.`,
  which: 'Stück',
  whichNote: (count) => `in der Datei ${count === 1 ? 'ist ein Stück' : `sind ${count} Stücke`}`,
  tuneOf: (number, title) => `${number}. ${title || 'ohne Titel'}`,
  line: 'Melodie',
  lineNote: (count) => `Welche der ${count} Spuren ist die Melodie?`,
  lineOf: (name, channel) => name || `Kanal ${channel}`,
  lineFacts: (notes, low, high, instrument, together) =>
    [
      instrument,
      plural(notes, 'Ton', 'Töne'),
      low === high ? low : `${low} bis ${high}`,
      together > 0.3 ? 'meist Akkorde' : together > 0.05 ? 'einige Töne zugleich' : '',
    ]
      .filter((fact) => fact)
      .join(', '),
  partNote: (count) => `Welche der ${count} Stimmen der Partitur ist die Melodie?`,
  partFacts: (notes, low, high, chordSymbols) =>
    [
      plural(notes, 'Ton', 'Töne'),
      low === high ? low : `${low} bis ${high}`,
      chordSymbols > 0 ? plural(chordSymbols, 'Akkordsymbol', 'Akkordsymbole') : '',
    ]
      .filter((fact) => fact)
      .join(', '),
  lookShort: 'Ansehen',
  lineLook: (name) => `${name} ansehen`,
  hideShort: 'Zuklappen',
  lineHide: (name) => `${name} zuklappen`,
  listenShort: 'Anhören',
  lineListen: (name) => `${name} anhören`,
  key: 'Tonart',
  tonic: 'Grundton',
  mode: 'Tongeschlecht',
  modes: {
    major: 'Dur',
    minor: 'Moll',
    dorian: 'dorisch',
    phrygian: 'phrygisch',
    lydian: 'lydisch',
    mixolydian: 'mixolydisch',
    locrian: 'lokrisch',
  },
  sure: (confidence) => (confidence > 0.75 ? 'sicher' : confidence > 0.45 ? 'ziemlich sicher' : 'unsicher'),
  asSet: 'von dir so gesetzt',
  nextBest: (key) => `; nach den Tönen allein auch ${key}`,
  keyNote: 'Die Töne klingen wie bisher; Vorzeichen und Namen richten sich danach.',
  metre: 'Taktart',
  beats: 'Schläge im Takt',
  beatType: 'und zwar',
  beatTypes: { 2: 'Halbe', 4: 'Viertel', 8: 'Achtel', 16: 'Sechzehntel' },
  pickupField: 'Auftakt vor Takt 1',
  noPickup: 'kein Auftakt',
  pickup: (beats) => `Auftakt von ${beats === 1 ? 'einem Schlag' : beatsText(beats)}`,
  pickupChoice: (beats) => (beats === 0 ? 'keiner' : beats === 1 ? 'ein Schlag' : beatsText(beats)),
  metreNote: 'Die Töne behalten ihre Länge; die Taktstriche werden neu gezogen, und was darüber klingt, wird gebunden.',
  form: 'Form',
  formBars: (sizes) =>
    sizes.length === 1
      ? plural(sizes[0] ?? 0, 'Takt', 'Takte')
      : new Set(sizes).size === 1
        ? `je ${plural(sizes[0] ?? 0, 'Takt', 'Takte')}`
        : `${sizes.join(', ')} Takte`,
  formNote: 'Ein Zeichen steht, wo ein Abschnitt beginnt. Gleiche Buchstaben heißen gleiche Musik.',
  sectionName: (index) => `Name von Abschnitt ${index}`,
  sectionFrom: (name) => `${name} beginnt in Takt`,
  from: 'ab Takt',
  remove: 'Entfernen',
  removeSection: (name, bar) => `: das Zeichen ${name} in Takt ${bar}`,
  addSection: 'Noch ein Abschnitt',
  addName: 'Name des neuen Abschnitts',
  addFrom: 'beginnt in Takt',
  add: 'Zeichen setzen',
  findForm: 'Die Form aus der Musik finden',
  melody: 'Umfang',
  melodyRange: (low, high) => `${low} bis ${high}`,
  highest: (bars) =>
    `am höchsten in ${bars.length === 1 ? 'Takt' : 'den Takten'} ${bars.slice(0, 4).join(', ')}${bars.length > 4 ? ' und weiteren' : ''}`,
  noMelody: 'keine Melodie, nur Akkorde',
  chords: 'Akkorde',
  chordCount: (count) => (count === 0 ? 'keine' : plural(count, 'Akkord', 'Akkorde')),
  chordsProposed: (proposed, count) =>
    proposed === 0
      ? ''
      : proposed === count
        ? 'alle vorgeschlagen, nicht aus dem Gebrachten; in Klammern, bis du sie bestätigst'
        : `${plural(proposed, 'ist', 'sind')} vorgeschlagen; in Klammern, bis du ${proposed === 1 ? 'ihn' : 'sie'} bestätigst`,
  chordsNote: 'Wähl einen Takt auf dem Blatt, um seine Akkorde zu ändern.',
  confirmAll: 'Sie stimmen',
  propose: 'Welche vorschlagen',
  tempo: 'Zeitmaß',
  tempoNone: 'keins genannt; das des Grooves',
  beatNotes: { 2: 'Halbe', 4: 'Viertel', 8: 'punktierte Viertel', 16: 'Sechzehntel' },
  tempoField: (note) => `${note} in der Minute`,
  tempoClear: 'Dem Groove überlassen',
  issues: (count) => (count === 0 ? 'Alles wurde verstanden' : `${plural(count, 'Stelle', 'Stellen')} zum Ansehen`),
  showAll: (count) => `Alle ${count} zeigen`,
  showFewer: 'Weniger zeigen',
  settle: 'Erledigt',
  settleOf: (what) => `: ${what}`,
  lookAt: (bar) => `${bar} ansehen`,
  wholeFile: 'Ganze Datei',
  severity: { error: 'Fehler', warning: 'Prüfen', note: 'Hinweis' },
  listen: 'Anhören',
  listenBar: 'Ab hier anhören',
  stop: 'Stopp',
  gettingReady: 'Die Klänge kommen',
  confirm: 'Ja, öffne das Board',
  another: 'Ein anderes bringen',
  opening: 'Das Board wird geöffnet',

  sheet: 'Das Stück, wie es gelesen wurde, Takt für Takt',
  sheetHow: 'Wähl einen Takt, um ihn zu ändern. Die Pfeiltasten gehen von Takt zu Takt.',
  sheetAsked: 'Ein ? steht über Unsicherem, Klammern um Vorgeschlagenes.',
  engraving: 'Die Noten werden gesetzt',
  engraveFailed: (why) => `Die Noten konnten nicht gesetzt werden (${why}). Alles andere auf dieser Seite geht.`,
  barName: (number, section, chords, isProposed, issues) =>
    [
      `Takt ${number}`,
      section === undefined ? '' : `Abschnitt ${section} beginnt`,
      chords === '' ? 'kein neuer Akkord' : `${chords}${isProposed ? ', vorgeschlagen' : ''}`,
      issues > 0 ? `${plural(issues, 'Stelle', 'Stellen')} zum Ansehen` : '',
    ]
      .filter((part) => part)
      .join(', '),
  barNumber: (number) => (number === 0 ? 'den Auftakt' : `Takt ${number}`),
  inAll: (count) => `(${count} Stellen insgesamt.)`,
  track: (number) => `Spur ${number}`,
  placeOfBar: (bar, line) => `${bar === 0 ? 'Auftakt' : `Takt ${bar}`}${line === undefined ? '' : ` (Zeile ${line})`}`,
  barTitle: (number) => (number === 0 ? 'Auftakt' : `Takt ${number}`),
  inSection: (letter) => `in ${letter}`,
  chordAt: (beat) => `Akkord auf Schlag ${beat}`,
  proposed: 'vorgeschlagen',
  confirmBar: 'Diese bestätigen',
  noChordHere: 'weiter',
  carried: 'geht vom Takt davor weiter',
  notes: 'Töne dieses Takts',
  noNotes: 'still',
  notesHow:
    'Ein Buchstabe ist ein Achtel: c2 ein Viertel, c/2 ein Sechzehntel, ^c Kreuz, _e b, =b Auflösung, z eine Pause, c- übergebunden; C ist das eingestrichene C, c die Oktave darüber, B das deutsche H.',
  twins: (bars) => `Auch in ${bars.length === 1 ? 'Takt' : 'den Takten'} ${listed(bars.map(String))}, dieselbe Musik`,
  sectionHere: 'Hier beginnt ein Abschnitt',
  sectionHereName: 'Sein Name',
  before: 'Takt davor',
  after: 'Nächster Takt',
  close: 'Schließen',
  closeBar: ': diesen Takt',
  said: {
    key: (key) => `Tonart: ${key}.`,
    metre: (metre) => `Taktart: ${metre}.`,
    section: (name, bar) => `${name} beginnt jetzt hier: ${bar}.`,
    moved: (name, bar) => `${name} beginnt jetzt anderswo: ${bar}.`,
    removed: (name) => `Das Zeichen ${name} ist weg.`,
    form: (pattern) => `Form: ${pattern}.`,
    chord: (chord, bar) => `${chord}, ${bar}.`,
    noChord: (bar) => `Akkord entfernt: ${bar}.`,
    notes: (bar) => `Die Töne in ${bar} sind neu geschrieben.`,
    confirmed: (count) => `${plural(count, 'Akkord', 'Akkorde')} bestätigt.`,
    proposed: 'Akkorde wurden vorgeschlagen.',
    settled: (left) => (left === 0 ? 'Es bleibt nichts zum Ansehen.' : `Erledigt; noch ${left}.`),
    tempo: 'Das Tempo steht.',
    title: 'Der Titel steht.',
    read: (title, issues) =>
      `${title} wurde gelesen. ${issues === 0 ? 'Alles wurde verstanden.' : `${plural(issues, 'Stelle', 'Stellen')} zum Ansehen.`}`,
    line: (name) => `${name} ist jetzt die Melodie.`,
  },
  deed: {
    title: 'der Titel',
    tempo: 'das Tempo',
    key: 'die Tonart',
    'bar-lines': 'die Taktstriche',
    section: 'ein Abschnittszeichen',
    'move-section': 'ein verschobenes Zeichen',
    'remove-section': 'ein entferntes Zeichen',
    'find-form': 'die Form',
    settle: 'was erledigt war',
    chord: 'ein Akkord',
    notes: 'die Töne eines Takts',
    confirm: 'bestätigte Akkorde',
    propose: 'vorgeschlagene Akkorde',
  },

  typing: {
    title: 'Tipp das Stück ein',
    lead: 'Buchstaben sind Töne, ein | ist ein Taktstrich. Die Noten erscheinen beim Tippen.',
    tuneTitle: 'Titel',
    untitled: 'Mein Stück',
    key: 'Tonart',
    metre: 'Taktart',
    unit: 'Ein Buchstabe dauert',
    units: { '1/2': 'eine Halbe', '1/4': 'ein Viertel', '1/8': 'ein Achtel', '1/16': 'ein Sechzehntel' },
    text: 'Die Töne',
    sample: '"F" c A F A | "Gm" d B "C7" G2 |',
    help: 'Wie Töne geschrieben werden',
    helpLines: [
      [
        'C D E F G A B c d',
        'Töne aufwärts, B ist das deutsche H; kleine Buchstaben eine Oktave höher, c’ noch eine, C, eine tiefer',
      ],
      ['c2 c/ c3/2', 'doppelt so lang, halb so lang, punktiert'],
      ['^c _e =b', 'Kreuz, b, Auflösung; die Vorzeichen der Tonart gelten von selbst'],
      ['z z2', 'eine Pause'],
      ['"Dm7" c', 'ein Akkordsymbol vor seinem Ton'],
      ['| |: :| |]', 'Taktstrich, Wiederholung, Schluss'],
      ['c- | c', 'ein Bindebogen'],
      ['(3 cde', 'eine Triole'],
    ],
    standard: 'Das ist ABC 2.1, ein offener Standard; auch ein ganzes ABC-Stück kann eingefügt werden.',
    keys: 'Tasten für die Töne',
    keyNames: {
      chord: 'Akkord',
      rest: 'Pause',
      sharp: 'Kreuz',
      flat: 'Erniedrigt',
      natural: 'Aufgelöst',
      higher: 'Oktave höher',
      lower: 'Oktave tiefer',
      bar: 'Taktstrich',
      tie: 'Bindebogen',
      back: 'Zurücknehmen',
    },
    chordSymbol: 'Akkordsymbol',
    put: 'Hinsetzen',
    noneYet: 'Hier erscheinen die Noten, während du tippst.',
    fine: (bars) => `${plural(bars, 'Takt', 'Takte')}, keine Fehler.`,
    faults: (count) => `${plural(count, 'Stelle', 'Stellen')} zum Ansehen`,
    goTo: (line, column) => (column === undefined ? `Zeile ${line}` : `Zeile ${line}, Zeichen ${column}`),
    inHead: 'Titel, Tonart und Taktart',
    use: 'Das ist das Stück',
    openAtOnce: 'Gleich das Board öffnen',
    empty: 'Tipp zuerst ein paar Töne.',
    left: 'Lassen',
    kept: 'Was du tippst, bleibt in diesem Browser, bis ein Board daraus wird.',
  },

  midi: {
    title: 'Von einem Keyboard',
    connect: 'Ein MIDI-Keyboard verbinden',
    asking: 'Der Browser fragt um Erlaubnis',
    none: 'Es ist kein Keyboard verbunden. Steck eins an und schalte es ein; es erscheint hier von selbst.',
    refused:
      'Der Browser lässt diese Seite keine Keyboards hören. Erlaube MIDI für diese Seite in seinen Einstellungen.',
    absent: 'Dieser Browser kennt keine MIDI-Keyboards. Tipp das Stück ein oder nimm einen Browser mit Web MIDI.',
    hears: (names) => `Hört auf ${listed(names)}.`,
    step: 'Ton für Ton',
    stepNote: 'Jede Taste kommt dorthin, wo der Cursor steht, so lang wie hier gewählt.',
    lengths: 'Der nächste Ton dauert',
    lengthNames: {
      '1/1': 'Ganze',
      '3/4': 'punktierte Halbe',
      '1/2': 'Halbe',
      '3/8': 'punktierte Viertel',
      '1/4': 'Viertel',
      '3/16': 'punktierte Achtel',
      '1/8': 'Achtel',
      '1/16': 'Sechzehntel',
    },
    time: 'Im Takt',
    timeNote: 'Spiel zu den Klicks; Takte und Notenwerte werden danach gefunden.',
    tempo: 'Klicks in der Minute',
    begin: 'Zähl mich ein',
    counting: 'Es wird eingezählt',
    recording: (notes) => `Hört zu: ${plural(notes, 'Ton', 'Töne')} bisher`,
    stop: 'Das war es',
    nothing: 'Es wurde nichts gespielt.',
    played: 'Eingespielt',
  },
}

function beatsText(beats: number): string {
  const whole = Math.floor(beats)
  const rest = beats - whole
  const fraction =
    rest === 0 ? '' : rest === 0.5 ? '½' : rest === 0.25 ? '¼' : rest === 0.75 ? '¾' : rest.toFixed(2).slice(1)
  return `${whole > 0 || fraction === '' ? whole : ''}${fraction} ${beats < 1 ? 'Schlag' : 'Schlägen'}`
}
