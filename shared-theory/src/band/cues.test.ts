/** Small notes of another player before an entry. */
import { describe, expect, it } from 'vitest'
import { LINES, ROADMAP, groove, notesOf as playedBy, played } from '../../../tests/fixtures/played-band.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Arrangement, PartNote, PartSpec, PassPlan } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import { fold, unfold } from '../roadmap/index.js'
import { scheduleEvents, writeMusicXml } from '../write/index.js'
import { validate } from '../check/index.js'
import { realiseBand } from './index.js'

const QUINTET = LINES['quintet'] as readonly PartSpec[]
const bossa = groove('bossa')
const play = (roadmap: readonly PassPlan[]): readonly ArrangedBar[] =>
  realiseBand(played(lanternSlip(), bossa, 'chorus-1', 'chorus-last'), {
    lineup: QUINTET,
    roadmap,
    groove: bossa,
    seed: 1,
  })
/** The tenor rests through a chorus of 32 bars at level 1, and has the melody in unison from the next one. */
const LATE = ROADMAP.map((pass) => ({ ...pass, energy: pass.id === 'chorus-1' ? 0.1 : 0.5 }))
const arrangementOf = (bars: readonly ArrangedBar[]): Arrangement => ({
  version: 1,
  title: 'Late',
  lineup: QUINTET,
  groove: 'bossa',
  bars,
})
const notesOf = (bar: ArrangedBar | undefined, id: string) => bar?.parts[id] ?? []
const isCue = (bar: ArrangedBar | undefined): boolean =>
  notesOf(bar, 'tenor-sax').length > 0 && notesOf(bar, 'tenor-sax').every(({ printed }) => printed === 'cue')

describe('[BA18] cues', () => {
  const bars = play(LATE)

  it("stand in the last two bars before an entry after eight and more of rest: the leader's melody, in the reader's range", () => {
    const cued = bars.flatMap((bar, index) => (isCue(bar) ? [index] : []))
    const entry = bars.findIndex((bar) => playedBy(bar, 'tenor-sax').length > 0)
    expect(entry).toBe(32)
    expect(cued).toEqual([30, 31])
    const [low, high] = instrumentOf(QUINTET[1] as PartSpec).range
    for (const index of cued) {
      const cue = notesOf(bars[index], 'tenor-sax')
      const lead = notesOf(bars[index], 'trumpet')
      expect(cue.map(({ startTick, durationTicks }) => [startTick, durationTicks])).toEqual(
        lead.map(({ startTick, durationTicks }) => [startTick, durationTicks]),
      )
      cue.forEach(({ midi, name }, at) => {
        expect((midi - (lead[at]?.midi ?? 0)) % 12).toBe(0)
        expect(midi >= low && midi <= high).toBe(true)
        expect(name.replace(/-?\d+$/, '')).toBe(lead[at]?.name.replace(/-?\d+$/, ''))
      })
    }
  })

  it('who improvised before coming in has rested from nothing', () => {
    const soloing: readonly PassPlan[] = [
      { id: 'chorus-1', kind: 'solo', sections: [], soloist: 'tenor-sax' },
      { id: 'chorus-last', kind: 'chorus', sections: [], energy: 0.5 },
    ]
    expect(play(soloing).filter(isCue)).toEqual([])
  })

  it('after less than eight bars of rest there is none', () => {
    const short = play(ROADMAP.map((pass) => ({ ...pass, energy: 0.5 })))
    expect(short.filter(isCue)).toEqual([])
  })

  it('[VA9] a cue that is not what the melody plays meanwhile is told', () => {
    const told = (change: (notes: readonly PartNote[]) => readonly PartNote[]) => {
      const wrong = bars.map((bar, index) =>
        index === 30 ? { ...bar, parts: { ...bar.parts, 'tenor-sax': change(notesOf(bar, 'tenor-sax')) } } : bar,
      )
      return validate(arrangementOf(wrong)).flatMap(({ code, severity, message }) =>
        code === 'VA9' ? [`${code} ${severity} ${message}`] : [],
      )
    }
    const [cue] = notesOf(bars[30], 'tenor-sax')
    expect(cue?.name).toBe('F4')
    expect(told((notes) => notes)).toEqual([])
    const octave = (note: PartNote) => ({ ...note, midi: note.midi - 12, name: 'F3' })
    expect(told((notes) => notes.map(octave))).toEqual([])
    expect(told((notes) => notes.map((note) => ({ ...note, midi: note.midi + 2, name: 'G4' })))).toEqual([
      'VA9 error Bar 31, tenor sax: the cue has G4 on beat 1, but the melody has F4; write that, or leave the cue out.',
    ])
    expect(told((notes) => notes.map((note) => ({ ...note, startTick: 5040, durationTicks: 15120 })))).toEqual([
      'VA9 error Bar 31, tenor sax: the cue has F4 on beat 2, but the melody has no note there; leave it out.',
    ])
  })

  it('[MX18] are not played, not faulted, not in the score; in the part they are small, with the name of who plays and a rest of its own', () => {
    const arrangement = arrangementOf(bars)
    const early = scheduleEvents(arrangement, { humanise: false }).filter(
      ({ partId, barIndex }) => partId === 'tenor-sax' && barIndex < 32,
    )
    expect(early).toEqual([])
    const found = validate(arrangement).filter(({ path }) => /bars\/3[01]\/parts\/tenor-sax/.test(path))
    expect(found).toEqual([])
    expect(writeMusicXml(arrangement)).not.toContain('<cue/>')
    const part = writeMusicXml(arrangement, { part: 'tenor-sax' })
    const measure = (number: number) =>
      new RegExp(`<measure number="${number}"[^>]*>([\\s\\S]*?)</measure>`).exec(part)?.[1] ?? ''
    expect(measure(31)).toMatch(/\(trumpet\)[\s\S]*<cue\/>[\s\S]*<type size="cue">[\s\S]*<rest measure="yes"\/>/i)
    expect(measure(32)).toMatch(/<cue\/>/)
    expect(measure(32)).not.toMatch(/\(trumpet\)/i)
    expect(measure(30)).not.toMatch(/<cue\/>/)
  })

  it('keep no bar from being written once, and folding gives them back', () => {
    const arrangement = arrangementOf(bars)
    const without = arrangementOf(
      bars.map((bar) => (isCue(bar) ? { ...bar, parts: { ...bar.parts, 'tenor-sax': [] } } : bar)),
    )
    expect(fold(arrangement).bars).toHaveLength(fold(without).bars.length)
    expect(unfold(fold(arrangement))).toEqual(arrangement)
  })
})
