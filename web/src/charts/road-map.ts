/** The whole form in one line, as it is called out at a rehearsal: 'Opening 8 · A A B A · solos 2× · A A B A, last B up · ending 4'. */
import type { ArrangedBar } from '@chartloft/shared-theory'
import { sayKey } from '../look/say.js'

interface Stretch {
  readonly pass: string
  readonly letters: string[]
  bars: number
  readonly key: ArrangedBar['key']
  readonly lifts: string[]
}

export function roadMapLine(bars: readonly ArrangedBar[]): string {
  const stretches: Stretch[] = []
  let section = ''
  for (const [index, bar] of bars.entries()) {
    const pass = bar.pass
    let stretch = stretches.at(-1)
    if (stretch?.pass !== pass) {
      stretch = { pass, letters: [], bars: 0, key: bar.key, lifts: [] }
      stretches.push(stretch)
      section = ''
    }
    if (bar.sectionId !== section) {
      section = bar.sectionId
      stretch.letters.push(letterOf(section))
    }
    const before = bars[index - 1]
    if (before && before.key.key !== bar.key.key) stretch.lifts.push(`${letterOf(bar.sectionId)} in ${sayKey(bar.key)}`)
    stretch.bars++
  }
  return stretches.map(say).join(' · ')
}

function say({ pass, letters, bars, lifts }: Stretch): string {
  if (pass === 'opening' || pass === 'ending') return `${pass} ${bars}`
  const solo = pass.startsWith('solo') ? 'solo ' : ''
  return `${solo}${letters.join(' ')}${lifts.length > 0 ? ` (${lifts.join(', ')})` : ''}`
}

/** 'A1' → 'A', 'verse' → 'Verse'. */
const letterOf = (sectionId: string): string => {
  const letter = sectionId.replace(/\d+$/, '')
  return letter.charAt(0).toUpperCase() + letter.slice(1)
}
