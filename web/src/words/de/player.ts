/** The player at the foot, practice settings, and the stand. */
import type { Words } from '../catalogue.js'
import { plural } from './counting.js'

export const player = {
  label: 'Abspielen',
  play: 'Start',
  stop: 'Stopp',
  loading: 'Die Band kommt gleich',
  join: 'Einsteigen: Die Band spielt',
  plays: (bar: number): string => `Es spielt ab Takt ${bar}.`,
  stopped: 'Es hat aufgehört.',
  toStart: 'Zum Anfang',
  together: 'Zusammen',
  alone: 'Allein',
  togetherLabel: 'Zusammen spielen',
  leads: (name: string): string => `${name} führt`,
  youLead: 'du führst',
  otherVersion: 'Diese Seite hört eine andere Fassung als die Band: Sie ist noch nicht nachgekommen.',
  level: 'Meine Lautstärke',
  ears: 'Beginnt leise. Dreh mit Kopfhörern langsam auf.',
  settings: 'Meine Stimme und Üben',
  hear: 'Ich höre',
  hearing: { everybody: 'alle', 'only-me': 'nur mich', 'without-me': 'alle außer mir' },
  myPart: 'Meine Stimme',
  noPart: 'noch keine',
  partLevel: (part: string): string => `${part} lauter oder leiser`,
  partDb: (db: number): string => (db === 0 ? 'wie gemischt' : `${db > 0 ? '+' : '−'}${Math.abs(db)} dB`),
  mix: 'Mischung: jede Stimme',
  silent: 'Stumm',
  silence: (part: string): string => `${part} stumm`,
  rowLevel: 'Lautstärke',
  rowLevelOf: (part: string): string => `Lautstärke von ${part}`,
  rowPan: 'Links – rechts',
  rowPanOf: (part: string): string => `${part} nach links oder rechts`,
  panAt: (pan: number | undefined): string =>
    pan === undefined
      ? 'wie gemischt'
      : pan === 0
        ? 'Mitte'
        : `${Math.abs(Math.round(pan * 100))} % ${pan < 0 ? 'links' : 'rechts'}`,
  plainMix: 'Wieder wie gemischt',
  click: 'Klick',
  clickAlong: 'Zur Musik',
  over: 'Zu laut: Es wird begrenzt. Dreh meine Lautstärke oder eine Stimme zurück.',
  clipLight: 'Leuchtet, wo die Mischung zu laut ist und begrenzt wird',
  loop: 'Schleife',
  noLoop: 'keine',
  loopBars: 'Takte als Schleife',
  loopFrom: 'Schleife ab Takt',
  loopTo: 'Schleife bis Takt',
  loopOfBars: (from: number, to: number): string => (from === to ? `Takt ${from}` : `Takte ${from}–${to}`),
  loopOf: (letter: string, from: number, to: number): string => `${letter}, Takte ${from}–${to}`,
  tempo: 'Übetempo',
  slower: 'Langsamer',
  faster: 'Schneller',
  percent: (scale: number): string => `${Math.round(scale * 100)} %`,
  latency: 'Mein Gerät klingt später um',
  bounce: 'Was ich höre als Tondatei sichern',
  bouncing: 'Die Datei wird gemacht',
  bounceCancel: 'Lassen',
  bounceKind: 'Art der Datei',
  bounceKinds: { wav: 'WAV, volle Größe', ogg: 'Ogg, viel kleiner' },
  bounceNote: (canOgg: boolean): string =>
    `Das ganze Stück in diesem Tempo, mit dem, was ich höre, und meinen Lautstärken.${canOgg ? '' : ' Als WAV: Dieser Browser kann kein Ogg schreiben.'}`,
  bounced: 'Die Datei ist fertig.',
  bounceCancelled: 'Gelassen: Es wurde keine Datei gemacht.',
  bounceNothing: 'Es gibt noch nichts zu spielen.',
  bounceFailed:
    'Die Datei konnte nicht gemacht werden: Vielleicht fehlt diesem Gerät der Speicher. Ein kürzeres Stück geht vielleicht.',
  soundCredits: 'Von wem die Klänge sind',
  latencyLess: 'Weniger spät',
  latencyMore: 'Später',
  latencyMs: (ms: number): string => `${ms < 0 ? `−${-ms}` : ms} ms`,
  latencyNote: 'Kabellose Lautsprecher und Kopfhörer hinken nach. Stell es für jedes Gerät einmal ein.',
  tapAlong: 'Durch Mittippen herausfinden',
  tapNow: 'Tipp mit jedem Klick',
  tapHow: 'Hör auf den Schlag und tipp dann mit jedem Klick: die Taste hier, die Leertaste oder Enter.',
  tapAgain: {
    'too-few': 'Das waren zu wenige. Noch einmal, und tipp, bis die Klicks aufhören.',
    uneven: 'Das war zu ungleichmäßig. Noch einmal.',
  },
  tapped: (ms: number): string =>
    Math.abs(ms) < 10
      ? 'Es ist pünktlich.'
      : `Gefunden: ${ms < 0 ? `${-ms} ms zu früh` : `${ms} ms zu spät`}. Ab dem nächsten Start wird es ausgeglichen.`,
  countIn: 'Einzählen',
  countInBars: (bars: number): string => (bars === 0 ? 'ohne' : plural(bars, 'Takt', 'Takte')),
  of: (at: string, total: string): string => `${at} von ${total}`,
} satisfies Words['player']

export const listen = {
  now: 'Jetzt',
  next: 'Danach',
  andThen: (letter: string): string => `Dann ${letter}`,
  barOf: (bar: number, bars: number): string => `Takt ${bar} von ${bars}`,
  asWritten: 'Wie notiert',
  concert: 'Klingend',
  pitch: 'Gezeigte Tonhöhe',
  screenOn: 'Der Bildschirm bleibt an',
  notReady: 'Die Takte werden ausgerechnet',
  none: 'Es gibt noch kein Stück.',
} satisfies Words['listen']
