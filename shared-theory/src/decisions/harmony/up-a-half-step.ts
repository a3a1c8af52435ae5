/** Everything up a half step under an unmoved melody: every root moves, every quality is fitted anew, the last bar is home again. */
import { keyAway, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { type LineSlot, rootInKey } from '../../fit/index.js'
import { chainOf, fittedOr, lineFrame } from './fitted.js'
import { shown } from './clash.js'
import { type HarmonyIdea, type Writing } from './idea.js'
import { chordAt, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

/** Points for a chord that stays what it was, major or minor or dominant, on its new root. */
const KEEP = 4

export const upAHalfStep: HarmonyIdea = {
  id: 'up-a-half-step',
  rule: 'HA11',
  energy: 0.4,
  difficulty: 0.6,
  isFarFromPlain: true,
  variants: (stretch) => (stretch.bars.length < 2 ? 'One bar is too short to go up and come back.' : [{}]),
  write: (stretch): Writing => {
    const slots = movedSlots(stretch)
    if (slots.length === 0) return { refused: 'There are no chords here to move.' }
    const home = chordAt(stretch, stretch.starts[stretch.bars.length - 1] as number)
    const fitted = fittedOr(stretch, {
      ...lineFrame(stretch),
      slots,
      keep: KEEP,
      mayAnticipate: true,
      ...(home ? { after: home } : {}),
    })
    if ('refused' in fitted) return fitted
    const early = fitted.filter(({ isEarly }) => isEarly).length
    const place = barsInWords(stretch.numbers.slice(0, -1))
    const isHome = !home || home.root === '' || pitchClass(home.root) === pitchClass(tonicOf(stretch.key.key))
    return {
      chords: fitted,
      title: 'Everything up a half step',
      summary: `In ${ofTheTune(place)} every root goes up a half step and each chord is fitted to the melody${early > 0 ? ', one of them a beat early' : ''}; ${home ? shown(home) : 'the last bar'} ${isHome ? 'brings it home' : 'leads back to the key'}.`,
      reason: [
        { rule: 'HA11', text: 'every root up a half step; the melody stays' },
        ...chainOf(fitted),
        {
          rule: 'HA11',
          text: `the return: ${fitted.at(-1) ? shown((fitted.at(-1) as (typeof fitted)[number]).chord) : ''} to ${home ? shown(home) : 'home'}`,
        },
      ],
      suits: 0.5,
    }
  },
}

function movedSlots(stretch: Stretch): readonly LineSlot[] {
  const key = keyAway(stretch.key, 1)
  return stretch.bars.slice(0, -1).flatMap((bar, offset) =>
    bar.chords
      .filter(({ chord }) => chord.root !== '')
      .map(({ chord, startTick, durationTicks }): LineSlot => {
        const start = (stretch.starts[offset] as number) + startTick
        return {
          startTick: start,
          endTick: start + durationTicks,
          // Heard in the key a half step up, named from the key that is printed.
          roots: [{ root: rootInKey(pitchClass(chord.root) + 1, stretch.key) }],
          was: chord,
          key,
        }
      }),
  )
}
