/** Sets style properties through the object model: style attributes are closed by the page's content policy. */
import { type ElementPart, nothing } from 'lit'
import { directive, Directive, type PartInfo, PartType } from 'lit/directive.js'

type Properties = { readonly [name: string]: string | number | undefined }

class Vars extends Directive {
  #set = new Set<string>()

  constructor(part: PartInfo) {
    super(part)
    if (part.type !== PartType.ELEMENT) throw new Error('vars() stands in an element, not in an attribute')
  }

  override render(_properties: Properties): typeof nothing {
    return nothing
  }

  override update(part: ElementPart, [properties]: [Properties]): typeof nothing {
    const { style } = part.element as HTMLElement
    for (const name of this.#set) if (properties[name] === undefined) style.removeProperty(name)
    this.#set = new Set()
    for (const [name, value] of Object.entries(properties)) {
      if (value === undefined) continue
      style.setProperty(name, String(value))
      this.#set.add(name)
    }
    return nothing
  }
}

/** `<li ${vars({ left: '12%' })}>`: real or custom properties, `undefined` removes. */
export const vars = directive(Vars)
