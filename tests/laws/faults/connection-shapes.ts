/** Openings and endings that do not connect (VA12). */
import { type Chord, chord, parseChord, pitchClass } from '@chartloft/shared-theory'
import { type Shape, changed, draw, filling, shape, withChords } from './fault.js'
import { type Random, withBar } from './scene.js'

const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']

const pcsOf = ({ notes, bass }: Chord): ReadonlySet<number> =>
  new Set([...notes, ...(bass === undefined ? [] : [bass])].map(pitchClass))

/** A chord that leads nowhere: no fifth, no step, not ♭VII, fewer than two tones shared. Source: common practice, as the rule says it. */
function strange(to: Chord, suffix: string, random: Random): Chord | undefined {
  const candidates = ROOTS.map((root) => chord(root + suffix)).filter((one) => {
    const far = (pitchClass(one.root) - pitchClass(to.root) + 12) % 12
    const farBass = (pitchClass(one.root) - pitchClass(to.bass ?? to.root) + 12) % 12
    const shared = [...pcsOf(one)].filter((pc) => pcsOf(to).has(pc)).length
    return ![0, 1, 7, 10, 11].includes(far) && ![0, 1, 7, 10, 11].includes(farBass) && shared < 2
  })
  return draw(candidates, random)
}

const lostOpening = (suffix: string): Shape =>
  shape('VA12', `an opening that ends on a strange ${suffix || 'triad'}`, (scene, random) => {
    const { music } = scene
    const next = music.bars.findIndex(
      ({ pass }, index) => pass !== 'opening' && music.bars[index - 1]?.pass === 'opening',
    )
    const bar = music.bars[next - 1]
    const to = music.bars[next]?.chords[0]?.chord
    const wrong = to && to.root !== '' && !to.over ? strange(to, suffix, random) : undefined
    if (!bar || !wrong || bar.chords.length === 0) return undefined
    const last = bar.chords.length - 1
    const damaged = random(2) === 0 ? withChords(bar, changed(bar.chords, last, { chord: wrong })) : filling(bar, wrong)
    return { music: withBar(scene, next - 1, damaged), at: [`bars/${next - 1}`] }
  })

const lostEnding = (name: string, suffix: string, degrees: readonly number[]): Shape =>
  shape('VA12', name, (scene, random) => {
    const index = scene.music.bars.length - 1
    const bar = scene.music.bars[index]
    const note = bar?.melody.at(-1)
    const degree = draw(degrees, random) as number
    if (!bar || !note || bar.chords.length === 0) return undefined
    const wrong = parseChord(`${ROOTS[(note.midi - degree + 120) % 12]}${suffix}`)
    return wrong.ok ? { music: withBar(scene, index, filling(bar, wrong.value)), at: [`bars/${index}`] } : undefined
  })

export const CONNECTION_SHAPES: readonly Shape[] = [
  ...['maj7', 'm7', '7', '', 'm7b5', 'm6'].map(lostOpening),
  lostEnding('the last note a ♭9 of the last chord', 'maj7', [1]),
  lostEnding('the last note between the thirds', 'm7', [4]),
  lostEnding('the last note the major seventh of a dominant', '7', [11]),
  lostEnding('the last note foreign to the last chord', '6', [1, 3, 8, 10]),
  shape('VA12', 'another last note', (scene, random) => {
    const index = scene.music.bars.length - 1
    const bar = scene.music.bars[index]
    const last = (bar?.melody.length ?? 0) - 1
    const note = bar?.melody[last]
    const own = bar?.chords.at(-1)?.chord
    const hard =
      own?.kind === 'major-sixth' || own?.kind === 'major-seventh' || own?.kind === 'major'
        ? [1, 3, 8, 10]
        : own?.kind === 'minor-sixth'
          ? [1, 4, 6, 8, 10]
          : []
    const degree = draw(hard, random)
    if (!bar || !note || !own || degree === undefined) return undefined
    const midi = 60 + ((pitchClass(own.root) + degree) % 12)
    const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
    return {
      music: withBar(scene, index, {
        ...bar,
        melody: changed(bar.melody, last, { midi, name: `${names[midi % 12]}4` }),
      }),
      at: [`bars/${index}`],
    }
  }),
]
