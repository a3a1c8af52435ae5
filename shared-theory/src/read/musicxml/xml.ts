/** Just enough XML for a score, in one bounded pass: elements, attributes, text, and the line each stands on.
 *  Written here and not taken from a library because a file from a stranger must be refused by line number, without entities,
 *  at a known depth, and in time linear in its size. Source: XML 1.0 (fifth edition). */
import { LIMITS } from '../../units/index.js'
import { Unreadable } from '../issue-list.js'
import { said } from '../said.js'

export interface XmlElement {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: readonly XmlElement[]
  /** Own text, entities resolved, not that of children. */
  readonly text: string
  /** 1-based line of the opening tag. */
  readonly line: number
}

interface OpenElement {
  readonly name: string
  readonly attributes: Record<string, string>
  readonly children: XmlElement[]
  text: string
  readonly line: number
}

const NAME = /[A-Za-z_][\w.:-]{0,80}/y
const ATTRIBUTE = /\s+([A-Za-z_][\w.:-]{0,80})\s*=\s*(?:"([^"<]{0,4000})"|'([^'<]{0,4000})')/y
const TAG_END = /\s*(\/?)>/y
const NAMED_ENTITIES: { readonly [name: string]: string } = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" }

/** The root element. Throws `Unreadable` with the line for anything that is not well-formed, too deep or defines entities. */
export function parseXml(text: string): XmlElement {
  return new XmlReader(text).read()
}

class XmlReader {
  #at = 0
  #line = 1
  /** Index of the first line end not yet counted. */
  #nextBreak: number
  #count = 0
  readonly #open: OpenElement[] = []
  #root: XmlElement | undefined

  constructor(readonly text: string) {
    this.#nextBreak = this.#breakFrom(0)
  }

  read(): XmlElement {
    const { text } = this
    while (this.#at < text.length) {
      const tag = text.indexOf('<', this.#at)
      this.#takeText(text.slice(this.#at, tag < 0 ? text.length : tag))
      if (tag < 0) break
      this.#at = tag
      this.#takeMarkup()
    }
    const unclosed = this.#open.at(-1)
    if (unclosed) this.#stop(`<${unclosed.name}> of line ${unclosed.line} is never closed; the file is cut short.`)
    if (!this.#root) this.#stop('there is no element in it.')
    return this.#root
  }

  #takeMarkup(): void {
    const { text } = this
    if (text.startsWith('<!--', this.#at)) this.#skipPast('-->', 'comment')
    else if (text.startsWith('<![CDATA[', this.#at)) {
      const from = this.#at + 9
      this.#skipPast(']]>', 'CDATA section')
      const open = this.#open.at(-1)
      if (open) this.#takeText(text.slice(from, this.#at - 3).replaceAll('&', '&amp;'))
    } else if (text.startsWith('<?', this.#at)) this.#skipPast('?>', 'instruction')
    else if (text.startsWith('<!DOCTYPE', this.#at)) this.#doctype()
    else if (text[this.#at + 1] === '/') this.#closingTag()
    else this.#openingTag()
  }

  #skipPast(end: string, what: string): void {
    const found = this.text.indexOf(end, this.#at)
    if (found < 0) this.#stop(`a ${what} is never ended.`)
    this.#at = found + end.length
  }

  /** An external identifier is passed over and never fetched; definitions inside the file are refused. */
  #doctype(): void {
    const end = this.text.indexOf('>', this.#at)
    const declaration = end < 0 ? '' : this.text.slice(this.#at, end)
    if (end < 0 || declaration.includes('[') || this.#root || this.#open.length > 0)
      throw new Unreadable(
        'RD13',
        `line/${this.#lineHere()}`,
        said`Line ${this.#lineHere()}: the file defines its own entities (DOCTYPE with '['); such files are not opened. Save it again from a notation program.`,
      )
    this.#at = end + 1
  }

  #openingTag(): void {
    const line = this.#lineHere()
    this.#at++
    const name = this.#match(NAME)?.[0]
    if (!name) this.#stop("'<' is not followed by a name.")
    const attributes: Record<string, string> = Object.create(null) as Record<string, string>
    for (let found = this.#match(ATTRIBUTE); found; found = this.#match(ATTRIBUTE))
      attributes[found[1] as string] = this.#resolve(found[2] ?? found[3] ?? '')
    const end = this.#match(TAG_END)
    if (!end) this.#stop(`the tag <${name}> is not well formed.`)
    this.#count++
    if (this.#count > LIMITS.xmlElements) this.#limit(`more than ${LIMITS.xmlElements} elements`)
    if (this.#root && this.#open.length === 0) this.#stop(`<${name}> follows the end of the score.`)
    const element: OpenElement = { name, attributes, children: [], text: '', line }
    this.#open.at(-1)?.children.push(element)
    if (!this.#root) this.#root = element
    if (end[1] === '/') return
    this.#open.push(element)
    if (this.#open.length > LIMITS.xmlDepth) this.#limit(`elements nested more than ${LIMITS.xmlDepth} deep`)
  }

  #closingTag(): void {
    this.#at += 2
    const name = this.#match(NAME)?.[0]
    const end = this.#match(TAG_END)
    const open = this.#open.pop()
    if (!name || !end || end[1] === '/') this.#stop('a closing tag is not well formed.')
    if (!open || open.name !== name)
      this.#stop(open ? `</${name}> closes <${open.name}> of line ${open.line}.` : `</${name}> closes nothing.`)
  }

  #takeText(raw: string): void {
    const open = this.#open.at(-1)
    if (open) {
      if (raw.length + open.text.length > LIMITS.xmlText)
        this.#limit(`more than ${LIMITS.xmlText} characters of text in <${open.name}>`)
      if (open.children.length === 0 || raw.trim() !== '') open.text += raw.includes('&') ? this.#resolve(raw) : raw
    } else if (raw.trim() !== '') this.#stop('text stands outside the score.')
  }

  #resolve(raw: string): string {
    if (!raw.includes('&')) return raw
    return raw.replace(/&([^;&\s]{0,40});?/g, (whole, name: string) => {
      const code = /^#x([0-9a-fA-F]{1,6})$/.exec(name)?.[1] ?? /^#(\d{1,7})$/.exec(name)?.[1]
      if (code === undefined) return NAMED_ENTITIES[name] ?? this.#stop(`'${whole.slice(0, 20)}' is no entity of XML.`)
      const point = Number.parseInt(code, name.startsWith('#x') ? 16 : 10)
      return point > 0 && point <= 0x10ffff ? String.fromCodePoint(point) : this.#stop(`'${whole}' is no character.`)
    })
  }

  #match(pattern: RegExp): RegExpExecArray | null {
    pattern.lastIndex = this.#at
    const found = pattern.exec(this.text)
    if (found) this.#at = pattern.lastIndex
    return found
  }

  #lineHere(): number {
    while (this.#nextBreak < this.#at) {
      this.#line++
      this.#nextBreak = this.#breakFrom(this.#nextBreak + 1)
    }
    return this.#line
  }

  #breakFrom(place: number): number {
    const found = this.text.indexOf('\n', place)
    return found < 0 ? Number.POSITIVE_INFINITY : found
  }

  #stop(what: string): never {
    const line = this.#lineHere()
    throw new Unreadable(
      'RD13',
      `line/${line}`,
      said`Line ${line}: the XML is broken: ${what} Save the file again from where it was made.`,
    )
  }

  #limit(what: string): never {
    const line = this.#lineHere()
    throw new Unreadable('RD10', `line/${line}`, said`Line ${line}: the file has ${what}; no tune needs that.`)
  }
}

export function childOf(element: XmlElement | undefined, name: string): XmlElement | undefined {
  return element?.children.find((child) => child.name === name)
}

export function childrenOf(element: XmlElement | undefined, name: string): readonly XmlElement[] {
  return element?.children.filter((child) => child.name === name) ?? []
}

/** Trimmed text of a child, '' where there is none. */
export function textOf(element: XmlElement | undefined, name: string): string {
  return childOf(element, name)?.text.trim() ?? ''
}

/** Number in a child's text, undefined where there is none. */
export function numberOf(element: XmlElement | undefined, name: string): number | undefined {
  const text = textOf(element, name)
  const value = Number(text)
  return text !== '' && Number.isFinite(value) ? value : undefined
}
