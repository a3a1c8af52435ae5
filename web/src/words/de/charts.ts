/** Charts and files. */
import type { Words } from '../catalogue.js'
import { date, halfSteps, listed, plural, printDate } from './counting.js'

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
  printAll: 'Partitur und alle Stimmen drucken',
  printing: (chart: string, at: number, of: number): string => `${chart} wird gesetzt, ${at} von ${of}`,
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
  road: {
    opening: (bars: number): string => `Vorspiel ${bars}`,
    ending: (bars: number): string => `Schluss ${bars}`,
    solos: 'Soli',
    soloOf: (part: string): string => `Solo ${part}`,
  },
  lifted: (semitones: number): string =>
    semitones === 0
      ? 'im anderen Tongeschlecht'
      : `${Math.abs(semitones) === 2 ? 'einen Ganzton' : halfSteps(Math.abs(semitones))} ${semitones > 0 ? 'höher' : 'tiefer'}`,
  changedSince: (at: number, bars: string, count: number, gone: readonly string[]): string => {
    const told = [...(count > 0 ? [`${count === 1 ? 'Takt' : 'Takte'} ${bars}`] : []), ...gone]
    return `Geändert, seit du zuletzt gedruckt hast (${date.format(at)}): ${listed(told)}.`
  },
  gone: (count: number, before: number): string =>
    `${plural(count, 'Takt', 'Takte')} weggefallen ${before === 0 ? 'am Ende' : `vor Takt ${before}`}`,
  unchanged: (at: number): string => `Nichts geändert, seit du zuletzt gedruckt hast (${date.format(at)}).`,
  showChanges: 'Änderungen anzeichnen',
  ruled: (at: number): string => `Über Takten, die seit ${printDate.format(at)} geändert sind, steht ein Strich.`,
  stand: {
    open: 'Auf den Notenständer',
    leave: 'Ständer verlassen',
    leaveShort: 'Zurück',
    next: 'Nächste Seite',
    previous: 'Seite davor',
    page: (page: number, pages: number): string => `${page} von ${pages}`,
    play: 'Abspielen',
    stop: 'Anhalten',
    awake: 'Bildschirm bleibt an',
    asleep: 'Der Bildschirm kann hier dunkel werden',
    hint: 'Rechts oder links tippen, Bild ab und Bild auf, oder ein Pedal.',
  },
  rights:
    'Bevor du Noten oder eine Aufnahme weitergibst: Das Stück eines anderen zu arrangieren oder zu teilen kann die Erlaubnis derer erfordern, die die Rechte haben, und die Regeln sind von Land zu Land verschieden.',
  rightsTitle: 'Wessen Musik.',
  footer: (title: string, part: string, at: number, version: number): string =>
    `${title} · ${part} · ${printDate.format(at)} · Fassung ${version}`,
  failed: (why: string): string => `Das Blatt konnte nicht gesetzt werden: ${why}`,
} satisfies Words['charts']
