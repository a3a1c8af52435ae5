/** What the programs of General MIDI are called. Source: General MIDI System Level 1, sound set (MIDI Manufacturers Association, 1991). */
const NAMES = [
  'acoustic grand piano|bright acoustic piano|electric grand piano|honky-tonk piano|electric piano 1|electric piano 2|harpsichord|clavinet',
  'celesta|glockenspiel|music box|vibraphone|marimba|xylophone|tubular bells|dulcimer',
  'drawbar organ|percussive organ|rock organ|church organ|reed organ|accordion|harmonica|tango accordion',
  'nylon guitar|steel guitar|electric guitar (jazz)|electric guitar (clean)|electric guitar (muted)|overdriven guitar|distortion guitar|guitar harmonics',
  'acoustic bass|electric bass (finger)|electric bass (pick)|fretless bass|slap bass 1|slap bass 2|synth bass 1|synth bass 2',
  'violin|viola|cello|contrabass|tremolo strings|pizzicato strings|orchestral harp|timpani',
  'string ensemble 1|string ensemble 2|synth strings 1|synth strings 2|choir aahs|voice oohs|synth voice|orchestra hit',
  'trumpet|trombone|tuba|muted trumpet|French horn|brass section|synth brass 1|synth brass 2',
  'soprano sax|alto sax|tenor sax|baritone sax|oboe|English horn|bassoon|clarinet',
  'piccolo|flute|recorder|pan flute|blown bottle|shakuhachi|whistle|ocarina',
  'lead 1 (square)|lead 2 (sawtooth)|lead 3 (calliope)|lead 4 (chiff)|lead 5 (charang)|lead 6 (voice)|lead 7 (fifths)|lead 8 (bass and lead)',
  'pad 1 (new age)|pad 2 (warm)|pad 3 (polysynth)|pad 4 (choir)|pad 5 (bowed)|pad 6 (metallic)|pad 7 (halo)|pad 8 (sweep)',
  'effect 1 (rain)|effect 2 (soundtrack)|effect 3 (crystal)|effect 4 (atmosphere)|effect 5 (brightness)|effect 6 (goblins)|effect 7 (echoes)|effect 8 (sci-fi)',
  'sitar|banjo|shamisen|koto|kalimba|bagpipe|fiddle|shanai',
  'tinkle bell|agogo|steel drums|woodblock|taiko drum|melodic tom|synth drum|reverse cymbal',
  'guitar fret noise|breath noise|seashore|bird tweet|telephone ring|helicopter|applause|gunshot',
].flatMap((family) => family.split('|'))

/** 'tenor sax' for 66; programs count from 0 as the file holds them. */
export const programName = (program: number): string | undefined => NAMES[program]
