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

/** Music signs inside text come as code points of a music text font that readers' machines lack; these stand in ordinary fonts.
 *  Source of the code points: SMuFL 1.4. */
const PLAIN_SIGNS: { readonly [sign: string]: string } = {
  '\uE260': '♭',
  '\uE261': '♮',
  '\uE262': '♯',
  '\uE263': '𝄪',
  '\uE264': '𝄫',
  '\uEA63': '𝄫',
  '\uEA64': '♭',
  '\uEA65': '♮',
  '\uEA66': '♯',
  '\uEA67': '𝄪',
  '\uED60': '♭',
  '\uED61': '♮',
  '\uED62': '♯',
  '\uED63': '𝄪',
  '\uED64': '𝄫',
  '\uE870': '°',
  '\uE871': 'ø',
  '\uE872': '+',
  '\uE873': '∆',
  '\uE874': '-',
  '\uECA3': '𝅗𝅥',
  '\uECA5': '♩',
  '\uECA7': '♪',
  '\uECB7': '.',
}

/** The engraver's accidentals inside text fill little of their size; those of ordinary fonts are set as large as the letters beside them. */
const ACCIDENTALS = /(<tspan [^>]*font-size=")(\d+)(px"[^>]*>[\uEA63-\uEA67]+<)/g
const LETTER_SHARE = 405 / 720

const withPlainSigns = (text: string): string =>
  text.replaceAll(/[\uE000-\uF8FF]/g, (sign) => PLAIN_SIGNS[sign] ?? sign)

/** The page's picture as an element of this document; undefined where it is no SVG. Text of titles and lyrics stays text. */
export function cleanSvg(source: string, into: Document = document): SVGSVGElement | undefined {
  const parsed = new DOMParser().parseFromString(withoutStyles(source), 'image/svg+xml')
  const root = parsed.documentElement
  if (root.localName !== 'svg' || parsed.querySelector('parsererror')) return undefined
  const copy = copyAllowed(root, into)
  return copy instanceof SVGSVGElement ? copy : undefined
}

/** Style sheets and attributes are refused by the page's policy, and each refusal is a complaint in the console: they go before parsing.
 *  The page's own sheet says what they said. */
function withoutStyles(source: string): string {
  return source
    .replaceAll(/<style[\s\S]*?<\/style>/g, '')
    .replaceAll(/\sstyle="[^"]*"/g, '')
    .replaceAll(ACCIDENTALS, (_all, before: string, size: string, after: string) => {
      return `${before}${Math.round(Number(size) * LETTER_SHARE)}${after}`
    })
}

function copyAllowed(element: Element, into: Document): Element | undefined {
  if (!ELEMENTS.has(element.localName)) return undefined
  const copy = into.createElementNS('http://www.w3.org/2000/svg', element.localName)
  for (const attribute of element.attributes) {
    const name = attribute.localName
    if (name === 'href' ? attribute.value.startsWith('#') : ATTRIBUTES.has(name) || name.startsWith('data-'))
      copy.setAttribute(name, attribute.value)
  }
  for (const child of element.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) copy.append(into.createTextNode(withPlainSigns(child.textContent ?? '')))
    else if (child instanceof Element || child.nodeType === Node.ELEMENT_NODE) {
      const kept = copyAllowed(child as Element, into)
      if (kept) copy.append(kept)
    }
  }
  return copy
}
