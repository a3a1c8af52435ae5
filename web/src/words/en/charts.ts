/** Charts and files. */
import { date, halfSteps, listed, plural, printDate } from './counting.js'

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
  printAll: 'Print score and all parts',
  printing: (chart: string, at: number, of: number): string => `Engraving ${chart}, ${at} of ${of}`,
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
  road: {
    opening: (bars: number): string => `Opening ${bars}`,
    ending: (bars: number): string => `Ending ${bars}`,
    solos: 'solos',
    soloOf: (part: string): string => `${part} solo`,
  },
  lifted: (semitones: number): string =>
    semitones === 0
      ? 'in the other mode'
      : `${semitones > 0 ? 'up' : 'down'} ${Math.abs(semitones) === 2 ? 'a whole step' : halfSteps(Math.abs(semitones))}`,
  changedSince: (at: number, bars: string, count: number, gone: readonly string[]): string => {
    const told = [...(count > 0 ? [`${count === 1 ? 'bar' : 'bars'} ${bars}`] : []), ...gone]
    return `Changed since you last printed, ${date.format(at)}: ${listed(told)}.`
  },
  gone: (count: number, before: number): string =>
    `${plural(count, 'bar')} left out ${before === 0 ? 'at the end' : `before bar ${before}`}`,
  unchanged: (at: number): string => `Nothing has changed since you last printed, ${date.format(at)}.`,
  showChanges: 'Show change marks',
  ruled: (at: number): string => `Bars changed since ${printDate.format(at)} are ruled.`,
  stand: {
    open: 'Put it on the stand',
    leave: 'Leave the stand',
    leaveShort: 'Leave',
    next: 'Next page',
    previous: 'Page before',
    page: (page: number, pages: number): string => `${page} of ${pages}`,
    play: 'Play',
    stop: 'Stop',
    awake: 'Screen stays on',
    asleep: 'This browser may let the screen go dark',
    hint: 'Tap right or left, Page Down and Page Up, or a pedal.',
  },
  rights:
    'Before you pass charts or a recording on: arranging or sharing somebody else’s tune may need permission from its rights holder, and rules differ by country.',
  rightsTitle: 'Whose music.',
  footer: (title: string, part: string, at: number, version: number): string =>
    `${title} · ${part} · ${printDate.format(at)} · version ${version}`,
  failed: (why: string): string => `The chart could not be engraved: ${why}`,
} as const
