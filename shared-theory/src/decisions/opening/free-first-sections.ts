/** Free first sections: the tune begins without anybody counting, and the groove comes in at the section named. */
import type { ArrangedBar } from '../../contract/index.js'
import { rubatoTempo } from '../../rhythm/index.js'
import { issue } from '../../units/index.js'
import { countIn, isShort, middleTick } from '../bars.js'
import { shown } from '../lift/words.js'
import type { Offer, Recipe } from '../recipe.js'
import { stamped } from '../stamp.js'
import { lastFermata, phrasesOf, RUBATO_BPM } from './rubato.js'

interface Run {
  readonly pass: string
  readonly sectionId: string
  readonly letter: string
  readonly from: number
  readonly to: number
}

export const freeFirstSections: Recipe = {
  id: 'free-first-sections',
  kind: 'opening',
  offer: ({ bars, tune }) => {
    const runs = runsOf(bars, (id) => tune.sections.find((section) => section.id === id)?.letter ?? id)
    if (runs.length < 2) return { absent: 'There is one section only, so the groove would have nowhere to come in.' }
    const inFirstPass = runs.filter(({ pass }) => pass === runs[0]?.pass).length
    const alike = runs.slice(0, inFirstPass).findIndex(({ letter }) => letter !== runs[0]?.letter)
    const best = alike > 0 ? alike : Math.max(1, Math.min(inFirstPass - 1, 1))
    const counts = [...new Set([best, 1])].filter((count) => count < runs.length)
    return { offers: counts.map((sections) => offerOf(bars, runs, sections)) }
  },
  apply: (bars, chosen, { tune }) => {
    const runs = runsOf(bars, (id) => tune.sections.find((section) => section.id === id)?.letter ?? id)
    const { params, title, id } = chosen.option
    const sections = countIn(params, 'sections', 1, runs.length - 1)
    const tempoBpm = params['tempoBpm'] ?? RUBATO_BPM
    const added = params['bars'] ?? 0
    const say = (text: string) => ({ bars, issues: [issue('OP13', 'warning', 'chosen', `${title}: ${text}`)] })
    if (sections === undefined) {
      return say(
        `the first ${String(params['sections'])} sections can't be free; between 1 and ${runs.length - 1} can.`,
      )
    }
    if (typeof tempoBpm !== 'number' || !(tempoBpm >= 20 && tempoBpm <= 200)) {
      return say(`nobody breathes at ${String(tempoBpm)}; 20 to 200 quarters a minute work.`)
    }
    if (added !== 0) return say(`free sections add no bars, so ${String(added)} can't be added.`)
    const free = runs.slice(0, sections)
    const last = free.at(-1)?.to ?? 0
    const made = free.flatMap((run, index) => freeRun(bars, run, tempoBpm, index === free.length - 1))
    return {
      bars: [
        ...made.map((bar) => ({ ...bar, provenance: stamped(bar.provenance, 'opening', id, 'OP5') })),
        ...bars.slice(last),
      ],
      issues: [],
    }
  },
}

/** Sections in playing order; a pickup belongs to the one it leads into. */
function runsOf(bars: readonly ArrangedBar[], letterOf: (sectionId: string) => string): readonly Run[] {
  const runs: Run[] = []
  for (const [index, { pass, sectionId, provenance }] of bars.entries()) {
    const run = runs.at(-1)
    const before = bars[index - 1]
    const goesOn =
      run?.pass === pass &&
      run.sectionId === sectionId &&
      (provenance.tuneBar ?? 0) > (before?.provenance.tuneBar ?? -1)
    if (run && goesOn) runs[runs.length - 1] = { ...run, to: index + 1 }
    else runs.push({ pass, sectionId, letter: letterOf(sectionId), from: index, to: index + 1 })
  }
  return runs
}

function freeRun(bars: readonly ArrangedBar[], run: Run, tempoBpm: number, isLastRun: boolean): readonly ArrangedBar[] {
  const own = bars.slice(run.from, run.to)
  const hasPickup = run.from === 0 && own[0] !== undefined && isShort(own[0]) && own.length > 1
  const phrases = phrasesOf(own.length - (hasPickup ? 1 : 0))
  return own.map((bar, index): ArrangedBar => {
    const [inPhrase, length] = phrases[Math.max(0, index - (hasPickup ? 1 : 0))] as readonly [number, number]
    const curve = rubatoTempo(tempoBpm, inPhrase, length)
    const isLast = index === own.length - 1
    const fermataTick = isLast ? lastFermata(bar) : undefined
    if (hasPickup && index === 0) return { ...bar, feel: 'rubato', tempoBpm: curve.tempoBpm }
    if (isLastRun && isLast) return intoTime(bar)
    return { ...bar, feel: 'rubato', ...curve, ...(fermataTick === undefined ? {} : { fermataTick }) }
  })
}

/** The last free bar: its first half may be held, from its middle on the new tempo counts. */
function intoTime(bar: ArrangedBar): ArrangedBar {
  const middle = middleTick(bar)
  const last = bar.melody.at(-1)
  const leavesRoom = !last || last.startTick + last.durationTicks <= middle
  const held = leavesRoom && last ? { fermataTick: last.startTick } : {}
  const chordGoesOn = bar.chords.every(({ startTick }) => startTick === 0)
  // A chord that lasts through the bar would be held with the note, middle and all.
  return { ...bar, feel: 'rubato', ...(chordGoesOn ? {} : held) }
}

function offerOf(bars: readonly ArrangedBar[], runs: readonly Run[], sections: number): Offer {
  const free = runs.slice(0, sections)
  const next = runs[sections] as Run
  const letters = free.map(({ letter }) => letter)
  const end = bars[(free.at(-1)?.to ?? 1) - 1] as ArrangedBar
  const again = letters.includes(next.letter) ? `the next ${next.letter}` : next.letter
  const isSamePass = next.pass === free[0]?.pass
  const where = isSamePass ? `at ${again}` : 'the next time through'
  const chords = end.chords.map(({ chord }) => shown(chord)).join(' ')
  const goal = bars[next.from]?.chords[0]?.chord
  return {
    recipe: 'free-first-sections',
    title: `Free ${letters.join(' ')}, groove ${where}`,
    params: { bars: 0, sections, tempoBpm: RUBATO_BPM },
    summary: `${letters.join(' ')} ${letters.length > 1 ? 'are' : 'is'} played freely around ${RUBATO_BPM}, nobody counting; ${chords} ${chords.includes(' ') ? 'lead' : 'leads'} into ${goal ? shown(goal) : 'what follows'}, where the groove begins.`,
    reason: [
      { rule: 'OP5', text: `rubato for ${letters.join(' ')}, each phrase pushing and holding back` },
      {
        rule: 'OP2',
        text: `the tune's own ${chords} leads to ${goal && goal.root !== '' ? shown(goal) : 'what follows'}; from the middle of that bar the drums count`,
      },
    ],
    suits: isSamePass ? (sections > 1 ? 0.66 : 0.58) : 0.35,
    energy: -0.3,
    distance: 0.1,
    difficulty: 0.4,
  }
}
