/** Walks a bar of the melody's part for all that is not read: every element that is neither read nor of the page is told. Names of elements:
 *  MusicXML 4.0. */
import { type LeftOut, type LeftOutFamily, type LeftOutPlace, shownWords } from '../left-out.js'
import { readRoadWords } from '../road-words.js'
import { SECTION_WORDS } from './directions.js'
import { type XmlElement, childOf, childrenOf } from './xml.js'

/** Elements that are read, or only say how the page looks or which sound a program takes. */
const READ_OR_PAGE: { readonly [parent: string]: ReadonlySet<string> } = {
  measure: new Set(
    'note backup forward attributes harmony direction sound barline print listening grouping link bookmark figured-bass'.split(
      ' ',
    ),
  ),
  note: new Set(
    'grace cue chord pitch unpitched rest duration tie instrument footnote level voice type dot accidental time-modification stem notehead notehead-text staff beam notations lyric listen play'.split(
      ' ',
    ),
  ),
  notations: new Set('footnote level tied tuplet ornaments technical articulations'.split(' ')),
  attributes: new Set(
    'footnote level divisions key time staves part-symbol instruments clef staff-details transpose for-part directive measure-style'.split(
      ' ',
    ),
  ),
  harmony: new Set('root numeral function kind inversion bass degree frame offset footnote level staff'.split(' ')),
  direction: new Set('direction-type offset footnote level voice staff sound listening'.split(' ')),
  'direction-type': new Set('rehearsal segno coda words metronome'.split(' ')),
  sound: new Set('instrument-change midi-device midi-instrument play swing offset'.split(' ')),
  barline: new Set('bar-style footnote level segno coda ending repeat wavy-line fermata'.split(' ')),
}

/** Musicians' words where the element's own name is not one. */
const NAMES: { readonly [element: string]: string } = {
  wedge: 'hairpins',
  slur: 'slurs',
  slide: 'slides',
  fermata: 'fermatas',
  arpeggiate: 'rolled chords',
  'non-arpeggiate': 'chords not to be rolled',
  'accidental-mark': 'accidentals over ornaments',
  'other-notation': 'other signs at notes',
  'other-direction': 'other signs over the staff',
  'octave-shift': 'octave lines (the notes are read where they sound)',
  pedal: 'pedal signs',
  dashes: 'dashed lines',
  bracket: 'brackets over the staff',
  'harp-pedals': 'harp pedal diagrams',
  'principal-voice': 'signs for the main voice',
  'string-mute': 'mutes',
  scordatura: 'another tuning (scordatura)',
  'staff-divide': 'signs that divide the staff',
  image: 'pictures',
  symbol: 'signs in words',
  percussion: 'pictures of percussion',
  tremolo: 'tremolos',
  'trill-mark': 'trills',
  'strong-accent': 'marcato accents',
  'wavy-line': 'wavy lines',
}
const nameOf = (element: string): string => NAMES[element] ?? element.slice(0, 40).replaceAll('-', ' ')

export class UnreadElements {
  constructor(readonly leftOut: LeftOut) {}

  /** Everything of a bar that is not read; `isMine` tells the melody's own notes, the others being told as other voices. */
  measure(measure: XmlElement, place: string, isMine: (note: XmlElement) => boolean): void {
    for (const child of measure.children) {
      if (child.name === 'note' && !isMine(child)) continue
      const at = { place, path: `line/${child.line}` }
      this.#unknown('measure', child, at)
      this.#attributesOf(child, at)
      switch (child.name) {
        case 'note':
          this.#note(child, at)
          break
        case 'attributes':
          this.#attributes(child, at)
          break
        case 'harmony':
          if (childOf(child, 'frame')) this.#add('other', 'chord diagrams', at)
          this.#childrenUnknown('harmony', child, at)
          break
        case 'figured-bass':
          this.#add('other', 'figured bass', at)
          break
        case 'direction':
          this.#direction(child, at)
          break
        case 'sound':
          this.#sound(child, at)
          break
        case 'barline':
          this.#barline(child, at)
          break
        default:
      }
    }
  }

  #note(note: XmlElement, at: LeftOutPlace): void {
    this.#childrenUnknown('note', note, at)
    const head = childOf(note, 'notehead')?.text.trim() ?? 'normal'
    if (head !== 'normal' && head !== 'slash' && head !== '')
      this.#add('marks', `noteheads of another shape (${head.slice(0, 20)})`, at)
    if (childOf(note, 'play')) this.#add('marks', 'ways of playing', at)
    for (const notations of childrenOf(note, 'notations')) {
      for (const child of notations.children)
        if (child.name === 'ornaments' || child.name === 'technical' || child.name === 'articulations')
          for (const mark of child.children) this.#add('marks', nameOf(mark.name), at)
        else if (child.name === 'dynamics') this.#dynamics(child, at)
        else if (child.name === 'tied' && child.attributes['type'] === 'let-ring')
          this.#add('marks', 'ties that let ring', at)
        else if (!READ_OR_PAGE['notations']?.has(child.name)) this.#add('marks', nameOf(child.name), at)
    }
    for (const lyric of childrenOf(note, 'lyric'))
      for (const sung of lyric.children)
        if (sung.name === 'humming' || sung.name === 'laughing') this.#add('other', sung.name, at)
  }

  #attributes(attributes: XmlElement, at: LeftOutPlace): void {
    this.#childrenUnknown('attributes', attributes, at)
    for (const { text } of childrenOf(attributes, 'directive'))
      if (text.trim()) this.#add('words', shownWords(text.trim()), at)
    for (const clef of childrenOf(attributes, 'clef'))
      if (childOf(clef, 'sign')?.text.trim() === 'percussion')
        this.#add('other', 'the percussion clef (notes with a pitch are read at that pitch)', at)
    for (const details of childrenOf(attributes, 'staff-details'))
      for (const name of ['staff-tuning', 'capo']) if (childOf(details, name)) this.#add('marks', nameOf(name), at)
    if (childOf(childOf(attributes, 'transpose'), 'double')) this.#add('other', 'doubling an octave away', at)
    if (childOf(childOf(attributes, 'time'), 'interchangeable'))
      this.#add('other', 'the second of two metres that take turns', at)
    for (const style of childrenOf(attributes, 'measure-style'))
      for (const { name } of style.children)
        if (name === 'slash') this.#add('marks', 'bars shown as slashes (the notes under them are read)', at)
        else if (name.endsWith('-repeat'))
          this.#add(
            'marks',
            `signs that repeat a ${name === 'beat-repeat' ? 'beat' : 'bar'} (the notes under them are read)`,
            at,
          )
  }

  #direction(direction: XmlElement, at: LeftOutPlace): void {
    this.#childrenUnknown('direction', direction, at)
    for (const type of childrenOf(direction, 'direction-type'))
      for (const child of type.children) {
        const text = child.text.trim()
        if (child.name === 'dynamics') this.#dynamics(child, at)
        else if (child.name === 'words') {
          if (text && !readRoadWords(text) && !SECTION_WORDS.test(text)) this.#add('words', shownWords(text), at)
        } else if (!READ_OR_PAGE['direction-type']?.has(child.name)) this.#add('marks', nameOf(child.name), at)
      }
    for (const sound of childrenOf(direction, 'sound')) this.#sound(sound, at)
  }

  #dynamics(dynamics: XmlElement, at: LeftOutPlace): void {
    for (const { name } of dynamics.children) this.#add('marks', `dynamics (${nameOf(name)})`, at)
  }

  #sound(sound: XmlElement, at: LeftOutPlace): void {
    this.#childrenUnknown('sound', sound, at)
    if (childOf(sound, 'swing')) this.#add('other', 'the swing of its playback (the groove decides)', at)
    for (const name of ['forward-repeat', 'time-only', 'pizzicato'])
      if (sound.attributes[name] !== undefined) this.#add('other', `'${name}' for playback`, at)
  }

  #barline(barline: XmlElement, at: LeftOutPlace): void {
    this.#childrenUnknown('barline', barline, at)
    for (const name of ['wavy-line', 'fermata']) if (childOf(barline, name)) this.#add('marks', nameOf(name), at)
    if (childOf(barline, 'repeat')?.attributes['after-jump'] === 'yes')
      this.#add('other', 'repeats taken again after a jump', at)
  }

  /** Notes, words and chords for some of the times only. */
  #attributesOf(element: XmlElement, at: LeftOutPlace): void {
    const holders = [element, ...childrenOf(element, 'lyric')]
    if (element.name !== 'sound' && holders.some(({ attributes }) => attributes['time-only'] !== undefined))
      this.#add('other', 'what belongs to one of several times only (it is read every time)', at)
  }

  #childrenUnknown(parent: string, element: XmlElement, at: LeftOutPlace): void {
    for (const child of element.children) this.#unknown(parent, child, at)
  }

  #unknown(parent: string, child: XmlElement, at: LeftOutPlace): void {
    if (!READ_OR_PAGE[parent]?.has(child.name))
      this.#add('other', `<${child.name.slice(0, 40)}>, which is not known here`, at)
  }

  #add(family: LeftOutFamily, words: string, at: LeftOutPlace): void {
    this.leftOut.add(family, words, at)
  }
}
