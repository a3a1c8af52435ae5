/** Engraved SVG is parsed and allow-listed before it enters the page: shapes and text stay, everything that could act goes. */

const ELEMENTS: ReadonlySet<string> = new Set([
  'svg',
  'g',
  'path',
  'use',
  'defs',
  'symbol',
  'rect',
  'line',
  'polyline',
  'polygon',
  'ellipse',
  'circle',
  'text',
  'tspan',
  'title',
  'desc',
  'style',
])
const ATTRIBUTES: ReadonlySet<string> = new Set([
  'id',
  'class',
  'd',
  'x',
  'y',
  'x1',
  'x2',
  'y1',
  'y2',
  'cx',
  'cy',
  'r',
  'rx',
  'ry',
  'width',
  'height',
  'viewBox',
  'points',
  'transform',
  'fill',
  'stroke',
  'stroke-width',
  'stroke-linecap',
  'stroke-linejoin',
  'stroke-dasharray',
  'font-family',
  'font-size',
  'font-style',
  'font-weight',
  'text-anchor',
  'overflow',
  'color',
  'opacity',
  'fill-opacity',
  'stroke-opacity',
  'preserveAspectRatio',
  'version',
  'letter-spacing',
  'dx',
  'dy',
])

/** The page's picture as an element of this document; undefined where it is no SVG. Text of titles and lyrics stays text. */
export function cleanSvg(source: string, into: Document = document): SVGSVGElement | undefined {
  const parsed = new DOMParser().parseFromString(source, 'image/svg+xml')
  const root = parsed.documentElement
  if (root.localName !== 'svg' || parsed.querySelector('parsererror')) return undefined
  const copy = copyAllowed(root, into)
  return copy instanceof SVGSVGElement ? copy : undefined
}

function copyAllowed(element: Element, into: Document): Element | undefined {
  // Style sheets inside would be refused by the page's policy; the page's own sheet says what they said.
  if (!ELEMENTS.has(element.localName) || element.localName === 'style') return undefined
  const copy = into.createElementNS('http://www.w3.org/2000/svg', element.localName)
  for (const attribute of element.attributes) {
    const name = attribute.localName
    if (name === 'href' ? attribute.value.startsWith('#') : ATTRIBUTES.has(name) || name.startsWith('data-'))
      copy.setAttribute(name, attribute.value)
  }
  for (const child of element.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) copy.append(into.createTextNode(child.textContent ?? ''))
    else if (child instanceof Element || child.nodeType === Node.ELEMENT_NODE) {
      const kept = copyAllowed(child as Element, into)
      if (kept) copy.append(kept)
    }
  }
  return copy
}
