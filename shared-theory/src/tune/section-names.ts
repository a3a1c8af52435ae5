/** From what is written over a section to its letter, role and stable id. */
import type { Section } from '../contract/index.js'

export interface SectionName {
  readonly letter: string
  readonly role: Section['role']
}

/** Words musicians write over a section. Source: common practice. */
const WORDS: readonly (readonly [start: RegExp, name: SectionName])[] = [
  [/^verse/i, { letter: 'Verse', role: 'verse' }],
  [/^(intro|opening|prelude)/i, { letter: 'Intro', role: 'intro' }],
  [/^(coda|outro|ending|tag\b)/i, { letter: 'Coda', role: 'coda' }],
  [/^(chorus|refrain|head)/i, { letter: 'Chorus', role: 'chorus' }],
  [/^(bridge|middle|release)/i, { letter: 'Bridge', role: 'chorus' }],
]

/** 'A', "A'", 'a2' → A; 'Verse 1' → Verse; anything else keeps its own words. */
export function nameOfLabel(text: string): SectionName {
  const plain = text.trim().replace(/^[[("']+|[\])"]+$/g, '')
  const letter = /^([A-Za-z])(?:\d{0,2}|'{0,4})$/.exec(plain)?.[1]
  if (letter) return { letter: letter.toUpperCase(), role: 'chorus' }
  for (const [start, name] of WORDS) if (start.test(plain)) return name
  return { letter: plain.slice(0, 24) || 'A', role: 'chorus' }
}

/** Sections with ids from names in playing order: A1 A2 B1; verse, verse2, coda. */
export function withIds(
  parts: readonly (SectionName & { readonly startBar: number; readonly bars: number })[],
): Section[] {
  const counts = new Map<string, number>()
  return parts.map(({ letter, role, startBar, bars }) => {
    const base = /^[A-Z]$/.test(letter)
      ? letter
      : letter
          .toLowerCase()
          .replace(/[^a-z0-9]+/g, '-')
          .replace(/^-|-$/g, '') || 'section'
    const count = (counts.get(base) ?? 0) + 1
    counts.set(base, count)
    const id =
      base.length === 1 || /\d$/.test(base)
        ? `${base}${base.length === 1 ? '' : '-'}${count}`
        : `${base}${count > 1 ? count : ''}`
    return { id, letter, role, startBar, bars }
  })
}

/** 'AABA', 'Verse AABA Coda'. */
export function patternOf(sections: readonly SectionName[]): string {
  return sections
    .map(({ letter }) => letter)
    .reduce((text, letter, at, letters) => {
      const joins = letter.length === 1 && letters[at - 1]?.length === 1
      return at === 0 || joins ? text + letter : `${text} ${letter}`
    }, '')
}
