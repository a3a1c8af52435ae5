/** Band and key: line-up, key, rights, who plays what when. */
import type { Words } from '../catalogue.js'
import { capital, counted, halfSteps, listed } from './counting.js'

export const details = {
  title: 'Besetzung und Tonart',
  of: (title: string): string => `„${title}“: wer spielt, in welcher Tonart, wessen Stück es ist.`,
  open: 'Besetzung und Tonart',
  plays: (names: readonly string[]): string => `Es ${names.length === 1 ? 'spielt' : 'spielen'} ${listed(names)}.`,
  notSaved: 'Nicht gesichert. Warum, steht oben auf der Seite.',
  saved: 'Gesichert; alle haben es.',
  unsaved: 'Noch nicht gesichert.',
  putBack: 'Zurück zum Gesicherten',
  overtaken: {
    lineup: 'Jemand anderes hat seitdem eine andere Besetzung gesichert.',
    roadmap: 'Jemand anderes hat seitdem einen anderen Ablauf gesichert.',
  },
  takeTheirs: 'Die andere nehmen',
  keepMine: 'Meine behalten',
  halfSteps,

  lineup: 'Besetzung',
  lineupNote: 'Alle, die hier stehen, bekommen eine Stimme, transponiert, wie das Instrument sie liest.',
  ready: 'Mit einer fertigen beginnen',
  readyNames: {
    'solo-piano': 'Klavier allein',
    duo: 'Duo, Gesang und Klavier',
    trio: 'Klaviertrio',
    'quartet-lead': 'Quartett, Geige führt',
    'quartet-voice': 'Quartett, Gesang führt',
    'quartet-trumpet': 'Quartett, Trompete führt',
    quintet: 'Quintett, zwei Bläser',
    septet: 'Septett, vier Bläser',
  } as { readonly [name: string]: string | undefined },
  instrument: 'Instrument',
  printed: 'Name auf der Stimme',
  role: 'In der Band',
  roles: {
    lead: 'hat die Melodie',
    horn: 'spielt Backgrounds',
    voice: 'singt Backgrounds',
    chords: 'spielt die Akkorde',
    bass: 'spielt den Bass',
    drums: 'spielt Schlagzeug',
  },
  families: {
    voice: 'Stimmen',
    brass: 'Blech',
    reed: 'Rohrblatt',
    flute: 'Flöten',
    string: 'Streicher',
    guitar: 'Gitarren',
    bass: 'Bässe',
    keys: 'Tasten',
    mallet: 'Stabspiele',
    drums: 'Schlagzeug',
  },
  player: (number: number, name: string): string => `Platz ${number}, ${name}`,
  earlier: 'Früher',
  later: 'Später',
  remove: 'Wegnehmen',
  actOn: (act: string, name: string): string => `${act}: ${name}`,
  movedTo: (name: string, place: number): string => `${name} steht jetzt an Stelle ${place}.`,
  added: (name: string): string => `${name} ist dazugekommen.`,
  removed: (name: string): string => `${name} ist weggenommen.`,
  add: 'Noch jemand',
  addButton: 'Dazunehmen',
  full: (most: number): string => `Ein Board nimmt höchstens ${most} Stimmen.`,
  saveLineup: 'Besetzung sichern',
  faults: {
    nobody: 'Noch spielt niemand. Nimm zuerst jemanden dazu.',
    'no-lead': 'Noch hat niemand die Melodie. Sag, wer.',
    'two-leads': 'Zwei haben die Melodie. Eine Stimme führt; gib der anderen Backgrounds.',
    'no-name': 'Eine Stimme hat noch keinen Namen zum Drucken.',
    'same-name': (name: string): string => `Zwei Stimmen hießen „${name}“. Gib einer einen anderen Namen.`,
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
      ...(high ? [`bis ${high.note} hinauf, ${halfSteps(high.by)} über das`] : []),
      ...(low ? [`bis ${low.note} hinunter, ${halfSteps(low.by)} unter das`] : []),
    ].join(' und ')
    const mends = [
      ...(hasKey ? ['wähle eine andere Tonart'] : []),
      ...(other ? [`gib die Melodie an: ${other}`] : []),
      ...(octave
        ? [
            `bring das Stück eine Oktave ${octave === 'lower' ? 'tiefer' : 'höher'} noch einmal mit und wähle dann die Tonart`,
          ]
        : []),
      ...(hasKey || other || octave ? [] : ['gib die Melodie jemandem mit größerem Umfang']),
    ]
    return `Die Melodie geht ${out} hinaus, was bequem liegt (${player}). ${capital(listed(mends, 'oder'))}.`
  },

  key: 'Tonart',
  keyNow: (key: string, isWritten: boolean): string =>
    isWritten ? `Es steht in ${key}, wie das Stück notiert war.` : `Es steht jetzt in ${key}.`,
  keyWritten: (key: string): string => ` Notiert war das Stück in ${key}.`,
  keyNote: 'Das ganze Arrangement zählt, auch eine Rückung am Ende.',
  keyFor: 'Eine Tonart, die passt für',
  keyForBand: 'Die Band',
  keyForSinger: 'Eine Singstimme',
  keyForOwn: 'einen eigenen Umfang',
  lowest: 'Tiefster bequemer Ton',
  highest: 'Höchster bequemer Ton',
  emptyRange: 'Der höchste Ton muss über dem tiefsten liegen.',
  keyList: (who: string): string => `Tonarten für: ${who}, die besten zuerst`,
  away: (semitones: number): string =>
    semitones === 0 ? 'wie notiert' : `${halfSteps(Math.abs(semitones))} ${semitones > 0 ? 'höher' : 'tiefer'}`,
  now: 'jetzt',
  useKey: (key: string): string => `In ${key} spielen`,
  moreKeys: 'Alle zwölf Tonarten zeigen',
  fewerKeys: 'Nur die besten zeigen',
  keySet: (key: string): string => `Es steht jetzt in ${key}.`,

  rights: 'Wessen Stück es ist',
  rightsSave: 'So ist es',

  passes: 'Wer spielt was, und wann',
  passesNote: 'Anfang und Schluss kommen aus ihren eigenen Entscheidungen.',
  melody: 'Die Melodie liegt bei',
  usualLead: (name: string): string => `${name}, wie sonst`,
  soloist: 'Wer das Solo spielt',
  nobody: 'wer mag',
  times: 'Wie oft',
  timesOf: (times: number): string =>
    times === 1 ? 'einmal' : times === 2 ? 'zweimal' : times <= 12 ? `${counted(times)}mal` : `${times}-mal`,
  onCue: 'bis zum Zeichen',
  trading: 'Im Wechsel mit dem Schlagzeug',
  tradingOf: (bars: number): string =>
    bars === 0 ? 'nein' : `je ${bars === 1 ? 'ein Takt' : `${counted(bars)} Takte`}`,
  backgrounds: 'Backgrounds dahinter',
  addSolo: 'Einen Solochorus dazu',
  removeSolo: 'Wegnehmen',
  savePasses: 'Sichern, wer wann spielt',
  leadsHere: (name: string): string => `${name} hat die Melodie`,
} satisfies Words['details']
