/** Verovio reads our MusicXML without a word of complaint, and plays the same bars, onsets and pitches. */
import { describe, expect, it } from 'vitest'
import { type Arrangement, writeMusicXml } from '@chartloft/shared-theory'
import { lanternArrangement } from '../fixtures/lantern-band.js'
import {
  codaForm,
  endingsForm,
  everyDecision,
  hardBars,
  jumpPastEndings,
  liftedForm,
  soloForm,
  thirdEndingForm,
} from '../fixtures/varied-chart.js'
import { type HeardPitch, readWithVerovio } from './open-verovio.js'

const CHARTS: { readonly [name: string]: () => Arrangement } = {
  'tune 1': lanternArrangement,
  'the coda form': codaForm,
  'the form with solos': soloForm,
  'first and second endings': endingsForm,
  'endings 1, 2 and 3': thirdEndingForm,
  'a D.S. past endings and repeats': jumpPastEndings,
  'bars of everything hard': hardBars,
  'every decision taken, in 7/4': everyDecision,
  'the coda form, lifted with a tie over the jump': liftedForm,
}

/** Attacks of a part as the arrangement means them: printed notes and cues, ties joined. */
function meantNotes(arrangement: Arrangement, partId: string): readonly HeardPitch[] {
  const notes: HeardPitch[] = []
  let barStart = 0
  let tied = new Set<number>()
  for (const bar of arrangement.bars) {
    const ordered = [...(bar.parts[partId] ?? [])].sort((a, b) => a.startTick - b.startTick)
    for (const note of ordered) {
      const goesOn = tied.has(note.midi)
      if (!goesOn && note.printed !== 'slash') {
        notes.push({ quarter: (barStart + note.startTick) / 5040, midi: note.midi })
      }
      tied = new Set(note.tiedToNext ? [note.midi] : [])
    }
    barStart += bar.lengthTicks
  }
  return inOrder(notes)
}

const inOrder = (notes: readonly HeardPitch[]): readonly HeardPitch[] =>
  [...notes].sort((a, b) => a.quarter - b.quarter || a.midi - b.midi)

/** Verovio's ties do not jump: the F4 tied from To Coda into the coda (bar 52), or from bar 15 into the second ending, is struck again. */
const RESTRUCK: { readonly [chart: string]: readonly HeardPitch[] } = {
  'the coda form, lifted with a tie over the jump': [{ quarter: 204, midi: 65 }],
  'tune 1': [{ quarter: 60, midi: 65 }],
  'first and second endings': [{ quarter: 60, midi: 65 }],
  'a D.S. past endings and repeats': [{ quarter: 92, midi: 65 }],
}

/** Graces are played before the beat, each reader in its own way. */
const withoutGraces = (arrangement: Arrangement): Arrangement => ({
  ...arrangement,
  bars: arrangement.bars.map((bar) => ({
    ...bar,
    melody: bar.melody.map(({ grace: _grace, ...note }) => note),
  })),
})

const rounded = (notes: readonly HeardPitch[]): readonly string[] =>
  notes.map(({ quarter, midi }) => `${quarter.toFixed(2)} ${midi}`)

describe('[MX2] Verovio opens what we write without a warning', () => {
  for (const [name, chart] of Object.entries(CHARTS)) {
    for (const folded of [false, true]) {
      it(`${name}, ${folded ? 'folded' : 'linear'}: score and every part`, async () => {
        const arrangement = chart()
        for (const part of [undefined, ...arrangement.lineup.map(({ id }) => id)]) {
          const xml = writeMusicXml(arrangement, { ...(part === undefined ? {} : { part }), folded })
          const read = await readWithVerovio(xml)
          expect(read.isLoaded).toBe(true)
          expect(read.complaints, part ?? 'score').toEqual([])
          expect(read.pages, part ?? 'score').toBeGreaterThan(0)
        }
      })
    }
  }
})

describe('[MX2] a complaint would be heard', () => {
  it('a note without a step makes Verovio say so', async () => {
    const damaged = writeMusicXml(lanternArrangement(), { part: 'trumpet' }).replace(
      /<step>[A-G]<\/step>/,
      '<step>?</step>',
    )
    expect((await readWithVerovio(damaged)).complaints.length).toBeGreaterThan(0)
    expect((await readWithVerovio(writeMusicXml(lanternArrangement(), { part: 'trumpet' }))).complaints).toEqual([])
  })
})

describe('[MX3] Verovio plays the same bars, onsets and pitches (timemap, repeats expanded)', () => {
  for (const [name, chart] of Object.entries(CHARTS)) {
    for (const folded of [false, true]) {
      it(`${name}, ${folded ? 'folded' : 'linear'}`, async () => {
        const arrangement = withoutGraces(chart())
        const quarters = arrangement.bars.reduce((sum, { lengthTicks }) => sum + lengthTicks, 0) / 5040
        for (const { id, role } of arrangement.lineup) {
          if (role === 'drums') continue
          const meant = meantNotes(arrangement, id)
          if (meant.length === 0) continue
          for (const pitch of ['written', 'concert'] as const) {
            const read = await readWithVerovio(writeMusicXml(arrangement, { part: id, pitch, folded }))
            expect(read.quarters, id).toBe(quarters)
            const restruck = folded ? (RESTRUCK[name] ?? []) : []
            expect(rounded(read.notes), `${id} ${pitch}`).toEqual(rounded(inOrder([...meant, ...restruck])))
          }
        }
      })
    }
  }
})
