/** Bringing a tune. */
import type { SlotStatus } from '../../state/slots.js'
import type { Words } from '../catalogue.js'
import { plural } from './counting.js'

export const bring = {
  title: 'Bring ein Stück mit',
  lead: 'Melodie und Akkorde genügen. Das Arrangement macht ihr danach zusammen.',
  keptHere: 'Dieses Board liegt auf dem eigenen Server eurer Band',
  drop: 'Leg eine Datei auf diese Linien',
  formats: 'MusicXML, ABC oder MIDI',
  choose: 'Datei wählen',
  paste: 'Eintippen oder einfügen',
  pasteNote: 'ABC-Text: Buchstaben und Akkordsymbole',
  pasteLabel: 'Das Stück als ABC-Text',
  pasteRead: 'Lesen',
  pasteSample: 'X:1\nT:Mein Stück\nM:4/4\nL:1/4\nK:F\n"F" c A F A | "Gm7" d B "C7" G2 |]\n',
  demoTitle: 'Oder probier ein Übungsstück',
  demoNote: 'Eigens dafür geschrieben. Du kannst nichts kaputtmachen.',
  demoPick: 'Übungsstücke',
  demoOpen: 'Dieses Übungsstück öffnen',
  whose: 'Wessen Stück ist es?',
  rights: { own: 'Unseres', 'public-domain': 'Gemeinfrei', licensed: 'Das von jemand anderem', unknown: 'Noch unklar' },
  careTitle: 'Bevor du es weitergibst.',
  care: 'Wer das Stück eines anderen arrangiert, braucht meist die Erlaubnis derer, die die Rechte haben. Auch eine Aufnahme weiterzugeben oder Stimmen zu drucken kann eine Lizenz erfordern. Die Regeln sind von Land zu Land verschieden; frag die Rechteinhaber oder eine Verwertungsgesellschaft.',
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
  readTitle: 'Das haben wir gelesen. Stimmt es?',
  reading: (file: string): string => `${file} wird gelesen`,
  tuneTitle: 'Titel',
  tuneNumber: 'In der Datei sind mehrere Stücke. Welches?',
  key: 'Tonart',
  sure: (confidence: number): string =>
    confidence > 0.75 ? 'sicher' : confidence > 0.45 ? 'ziemlich sicher' : 'unsicher',
  nextBest: (key: string): string => `; nach den Tönen allein auch ${key}`,
  metre: 'Taktart',
  noPickup: 'kein Auftakt',
  pickup: (beats: number): string =>
    `Auftakt von ${beats === 1 ? 'einem Schlag' : plural(beats, 'Schlag', 'Schlägen')}`,
  form: 'Form',
  formBars: (sizes: readonly number[]): string =>
    new Set(sizes).size === 1 ? `je ${plural(sizes[0] ?? 0, 'Takt', 'Takte')}` : `${sizes.join(', ')} Takte`,
  melody: 'Melodie',
  melodyRange: (low: string, high: string): string => `${low} bis ${high}`,
  highest: (bars: readonly number[]): string =>
    `am höchsten in ${bars.length === 1 ? 'Takt' : 'den Takten'} ${bars.slice(0, 4).join(', ')}${bars.length > 4 ? ' und weiteren' : ''}`,
  chords: 'Akkorde',
  chordCount: (count: number): string =>
    count === 0 ? 'keine; die Band wird welche brauchen' : plural(count, 'Wechsel', 'Wechsel'),
  notSure: 'Unsicher',
  broken: 'Nicht lesbar',
  brokenWhat: 'Nichts wurde behalten. Bring die Datei an der genannten Stelle in Ordnung oder nimm eine andere.',
  wrongType: (name: string): string =>
    `${name} ist keine MusicXML-, ABC- oder MIDI-Datei. Speichere das Stück als eine davon und bring es noch einmal.`,
  tooLarge: (name: string): string =>
    `${name} ist größer, als ein Stück sein kann (1 MB). Bring ein Stück nach dem anderen.`,
  confirm: 'Ja, öffne das Board',
  another: 'Ein anderes bringen',
  opening: 'Das Board wird geöffnet',
  linksTitle: 'Das Board ist offen. Hier sind die Schlüssel.',
  linksNote: 'Ein Link ist ein Schlüssel: Wer ihn hat, kommt herein. Den der Leitung behalte für dich.',
  go: 'Zum Board',
  here: (bar: number): string => `Takt ${bar}.`,
} satisfies Words['bring']
