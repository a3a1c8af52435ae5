/** Plain tunes, such as most folk songs and dances, and what an arranger tries on them first. */
import { qualityOf } from '../../chords/index.js'
import { keyPitchClasses } from '../../fit/index.js'
import { pitchClass } from '../../units/index.js'
import { spansOf, type Stretch } from './stretch.js'

/** Whether a stretch has chords, and nothing but triads and dominant sevenths on roots of its key. */
export function isPlain(stretch: Stretch): boolean {
  const inKey = keyPitchClasses(stretch.key)
  const sounding = spansOf(stretch).filter(({ chord }) => chord.root !== '')
  return (
    sounding.length > 0 &&
    sounding.every(({ chord }) => {
      const isTriad = chord.notes.length === 3 && !chord.over
      return (isTriad || qualityOf(chord) === 'dominant') && inKey.has(pitchClass(chord.root))
    })
  )
}
