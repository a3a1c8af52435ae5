/** Charts and files. */
import { printDate } from './counting.js'

export const charts = {
  title: 'Charts',
  which: 'Chart',
  score: 'Score',
  leadSheet: 'Lead sheet',
  pitch: 'Pitch',
  written: 'As the player reads it',
  concert: 'Concert',
  form: 'Repeats',
  folded: 'Folded, with repeats and jumps',
  linear: 'Every bar written out',
  paper: 'Paper',
  papers: { a4: 'A4', letter: 'Letter' },
  print: 'Print',
  engraving: 'Engraving the chart',
  pageOf: (page: number, pages: number): string => `Page ${page} of ${pages}`,
  take: 'Take home',
  scoreFile: 'Score, MusicXML',
  partFile: (part: string): string => `${part}, MusicXML`,
  midiFile: 'MIDI file',
  abcFile: 'Lead line, ABC',
  boardFile: 'Board file',
  boardFileNote: 'Everything on this board in one file; the leader’s to keep.',
  locked: (count: number): string => `${count} of 5 decisions locked`,
  openNote: 'Open decisions print as the band is trying them now.',
  changedLater: 'The board has changed since. This chart is made anew.',
  roadMap: 'Road map',
  rights:
    'Before you pass charts or a recording on: arranging or sharing somebody else’s tune may need permission from its rights holder, and rules differ by country.',
  rightsTitle: 'Whose music.',
  footer: (title: string, part: string, at: number, version: number): string =>
    `${title} · ${part} · ${printDate.format(at)} · version ${version}`,
  failed: (why: string): string => `The chart could not be engraved: ${why}`,
} as const
