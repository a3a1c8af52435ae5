/** Decorations by the names musicians use (ABC standard 2.1, section 4.14). */

/** Musicians' words where the standard's name is a sign. */
const DECORATION_NAMES: { readonly [name: string]: string } = {
  '>': 'accent',
  '^': 'marcato',
  '+': 'plus (stopped or left hand)',
  '<(': 'crescendo',
  '<)': 'crescendo',
  '>(': 'diminuendo',
  '>)': 'diminuendo',
}

/** What a decoration is called among what was left out. */
export const decorationName = (name: string): string => DECORATION_NAMES[name] ?? name.slice(0, 30).replace(/[()]$/, '')
