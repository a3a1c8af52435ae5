/** Charts and files. */
import type { Words } from '../catalogue.js'
import { printDate } from './counting.js'

export const charts = {
  title: 'Noten',
  which: 'Blatt',
  score: 'Partitur',
  leadSheet: 'Leadsheet',
  pitch: 'Tonhöhe',
  written: 'Wie man sie liest',
  concert: 'Klingend',
  form: 'Wiederholungen',
  folded: 'Gefaltet, mit Wiederholungen und Sprüngen',
  linear: 'Jeder Takt ausgeschrieben',
  paper: 'Papier',
  papers: { a4: 'A4', letter: 'Letter' },
  print: 'Drucken',
  engraving: 'Das Blatt wird gesetzt',
  pageOf: (page: number, pages: number): string => `Seite ${page} von ${pages}`,
  take: 'Mitnehmen',
  scoreFile: 'Partitur, MusicXML',
  partFile: (part: string): string => `${part}, MusicXML`,
  midiFile: 'MIDI-Datei',
  abcFile: 'Melodiezeile, ABC',
  boardFile: 'Board-Datei',
  boardFileNote: 'Alles auf diesem Board in einer Datei; die Leitung bewahrt sie auf.',
  locked: (count: number): string => `${count} von 5 Entscheidungen festgelegt`,
  openNote: 'Offenes wird so gedruckt, wie die Band es gerade ausprobiert.',
  changedLater: 'Das Board hat sich seitdem geändert. Dieses Blatt wird neu gemacht.',
  roadMap: 'Ablauf',
  rights:
    'Bevor du Noten oder eine Aufnahme weitergibst: Das Stück eines anderen zu arrangieren oder zu teilen kann die Erlaubnis derer erfordern, die die Rechte haben, und die Regeln sind von Land zu Land verschieden.',
  rightsTitle: 'Wessen Musik.',
  footer: (title: string, part: string, at: number, version: number): string =>
    `${title} · ${part} · ${printDate.format(at)} · Fassung ${version}`,
  failed: (why: string): string => `Das Blatt konnte nicht gesetzt werden: ${why}`,
} satisfies Words['charts']
