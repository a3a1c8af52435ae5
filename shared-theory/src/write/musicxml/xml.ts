/** XML elements as plain values, and their one text form: two spaces a level, attributes in the order given. */

export interface XmlElement {
  readonly name: string
  readonly attributes: readonly (readonly [name: string, value: string])[]
  readonly children: readonly XmlElement[]
  readonly text?: string
}
/** What may stand among children: absent ones are left out. */
export type XmlChild = XmlElement | undefined | false | readonly XmlElement[]

type AttributeValues = { readonly [name: string]: string | number | undefined | false }

/** An element with children: `el('pitch', {}, leaf('step', 'C'))`. */
export function el(name: string, attributes: AttributeValues = {}, ...children: readonly XmlChild[]): XmlElement {
  return { name, attributes: attributesOf(attributes), children: children.flatMap(present) }
}

/** An element with text only. */
export function leaf(name: string, text: string | number, attributes: AttributeValues = {}): XmlElement {
  return { name, attributes: attributesOf(attributes), children: [], text: String(text) }
}

function attributesOf(values: AttributeValues): readonly (readonly [string, string])[] {
  return Object.entries(values).flatMap(([name, value]) =>
    value === undefined || value === false ? [] : [[name, String(value)] as const],
  )
}

function present(child: XmlChild): readonly XmlElement[] {
  if (!child) return []
  return Array.isArray(child) ? (child as readonly XmlElement[]) : [child as XmlElement]
}

/** The element's text, ending in a line break. */
export function renderXml(element: XmlElement): string {
  const lines: string[] = []
  write(element, '', lines)
  return `${lines.join('\n')}\n`
}

function write(element: XmlElement, indent: string, lines: string[]): void {
  const attributes = element.attributes.map(([name, value]) => ` ${name}="${escapeXml(value)}"`).join('')
  const open = `${indent}<${element.name}${attributes}`
  if (element.text !== undefined) lines.push(`${open}>${escapeXml(element.text)}</${element.name}>`)
  else if (element.children.length === 0) lines.push(`${open}/>`)
  else {
    lines.push(`${open}>`)
    for (const child of element.children) write(child, `${indent}  `, lines)
    lines.push(`${indent}</${element.name}>`)
  }
}

const ENTITIES: { readonly [sign: string]: string } = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }

/** Text made safe for XML 1.0: markup signs become entities, characters XML cannot carry become spaces. */
export function escapeXml(text: string): string {
  let out = ''
  for (const sign of text) out += ENTITIES[sign] ?? (isXmlCharacter(sign.codePointAt(0) as number) ? sign : ' ')
  return out
}

/** XML 1.0 (fifth edition) production 2, Char. */
function isXmlCharacter(code: number): boolean {
  if (code < 0x20) return code === 0x9 || code === 0xa || code === 0xd
  return !(code >= 0xd800 && code <= 0xdfff) && code !== 0xfffe && code !== 0xffff
}
