/** Band and key: line-up, key, rights, who plays what when. */
import { capital, counted, halfSteps, listed } from './counting.js'

export const details = {
  title: 'Band and key',
  of: (title: string): string => `“${title}”: who plays, in which key, whose tune it is.`,
  open: 'Band and key',
  plays: (names: readonly string[]): string => `${capital(listed(names))} ${names.length === 1 ? 'plays' : 'play'}.`,
  notSaved: 'Not saved. Why stands at the top of the page.',
  saved: 'Saved; everybody has it.',
  unsaved: 'Not saved yet.',
  putBack: 'Put back what was saved',
  overtaken: {
    lineup: 'Somebody else has saved another line-up since you began.',
    roadmap: 'Somebody else has saved another running order since you began.',
  },
  takeTheirs: 'Take theirs',
  keepMine: 'Keep mine',
  halfSteps,

  lineup: 'Line-up',
  lineupNote: 'Everybody named here gets a part, transposed as the instrument reads.',
  ready: 'Start from a ready one',
  readyNames: {
    'solo-piano': 'Solo piano',
    duo: 'Duo, voice and piano',
    trio: 'Piano trio',
    'quartet-lead': 'Quartet, violin leads',
    'quartet-voice': 'Quartet, voice leads',
    'quartet-trumpet': 'Quartet, trumpet leads',
    quintet: 'Quintet, two horns',
    septet: 'Septet, four horns',
  } as { readonly [name: string]: string | undefined },
  instrument: 'Instrument',
  printed: 'Name on the part',
  role: 'In the band',
  roles: {
    lead: 'has the tune',
    horn: 'plays backgrounds',
    voice: 'sings backgrounds',
    chords: 'plays the chords',
    bass: 'plays the bass',
    drums: 'plays the drums',
  },
  families: {
    voice: 'Voices',
    brass: 'Brass',
    reed: 'Reeds',
    flute: 'Flutes',
    string: 'Strings',
    guitar: 'Guitars',
    bass: 'Basses',
    keys: 'Keyboards',
    mallet: 'Mallets',
    drums: 'Drums',
  },
  player: (number: number, name: string): string => `Player ${number}, ${name}`,
  earlier: 'Earlier',
  later: 'Later',
  remove: 'Remove',
  actOn: (act: string, name: string): string => `${act}: ${name}`,
  movedTo: (name: string, place: number): string => `${name} is now number ${place}.`,
  added: (name: string): string => `${name} added.`,
  removed: (name: string): string => `${name} removed.`,
  add: 'One more player',
  addButton: 'Add',
  full: (most: number): string => `A board takes ${most} players at most.`,
  saveLineup: 'Save the line-up',
  faults: {
    nobody: 'Nobody plays yet. Add somebody first.',
    'no-lead': 'Nobody has the tune yet. Say who.',
    'two-leads': 'Two players have the tune. One leads; give the other one backgrounds.',
    'no-name': 'One player has no name to print on the part.',
    'same-name': (name: string): string => `Two parts would be called “${name}”. Give one of them another name.`,
  },
  outOfReach(facts: {
    readonly player: string
    readonly high?: { readonly note: string; readonly by: number }
    readonly low?: { readonly note: string; readonly by: number }
    readonly hasKey?: boolean
    readonly octave?: 'lower' | 'higher'
    readonly other?: string
  }): string {
    const { player, high, low, hasKey, octave, other } = facts
    const out = [
      ...(high ? [`up to ${high.note}, ${halfSteps(high.by)} above`] : []),
      ...(low ? [`down to ${low.note}, ${halfSteps(low.by)} below`] : []),
    ].join(' and ')
    const mends = [
      ...(hasKey ? ['choose another key'] : []),
      ...(other ? [`let the ${other} have the tune`] : []),
      ...(octave ? [`bring the tune in again an octave ${octave} and choose its key then`] : []),
      ...(hasKey || other || octave ? [] : ['give the tune to a player with a wider range']),
    ]
    return `The tune goes ${out} what is comfortable for the ${player}. ${capital(listed(mends, 'or'))}.`
  },

  key: 'Key',
  keyNow: (key: string, isWritten: boolean): string =>
    isWritten ? `It is in ${key}, as the tune was written.` : `It is in ${key} now.`,
  keyWritten: (key: string): string => ` The tune was written in ${key}.`,
  keyNote: 'The whole arrangement counts, a lift at the end too.',
  keyFor: 'A key that suits',
  keyForBand: 'The band',
  keyForSinger: 'A singer',
  keyForOwn: 'a range of my own',
  lowest: 'Lowest comfortable note',
  highest: 'Highest comfortable note',
  emptyRange: 'The highest note must lie above the lowest.',
  keyList: (who: string): string => `Keys for ${who}, best first`,
  away: (semitones: number): string =>
    semitones === 0 ? 'as written' : `${halfSteps(Math.abs(semitones))} ${semitones > 0 ? 'up' : 'down'}`,
  now: 'now',
  useKey: (key: string): string => `Play it in ${key}`,
  moreKeys: 'Show all twelve keys',
  fewerKeys: 'Show the best ones only',
  keySet: (key: string): string => `It is in ${key} now.`,

  rights: 'Whose tune it is',
  rightsSave: 'Say so',

  passes: 'Who plays what, when',
  passesNote: 'Opening and ending come from their own decisions.',
  melody: 'The tune is with',
  usualLead: (name: string): string => `${name}, as usual`,
  soloist: 'Who solos',
  nobody: 'whoever likes',
  times: 'How often',
  timesOf: (times: number): string => (times === 1 ? 'once' : times === 2 ? 'twice' : `${counted(times)} times`),
  onCue: 'until the cue',
  trading: 'Trading with the drums',
  tradingOf: (bars: number): string => (bars === 0 ? 'no' : `${counted(bars)} bars each`),
  backgrounds: 'backgrounds behind it',
  addSolo: 'Add a solo chorus',
  removeSolo: 'Remove',
  savePasses: 'Save who plays when',
  leadsHere: (name: string): string => `${name} has the tune`,
} as const
