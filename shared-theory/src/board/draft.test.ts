import { describe, expect, it } from 'vitest'
import type { HandEdit } from '../contract/index.js'
import { OPTION } from './test-rows.js'
import { editKey, optionWithEdits, readDraft } from './draft.js'
import { normaliseEdits } from './read-edits.js'
import { readLineup, readOption, readRoadmap, readSlot } from './read-option.js'

const CHORD: HandEdit = {
  kind: 'chord',
  at: { pass: 'chorus-1', sectionId: 'A1', bar: 2 },
  metre: { beats: 4, beatType: 4 },
  startTick: 0,
  symbol: 'Db7',
}

describe('[BD8] reading a draft', () => {
  it('a comment’s anchor keeps what its bar was made from, and nothing that is no count or name', () => {
    const anchored = (more: object) =>
      readDraft({ comments: { x: { anchor: { passId: 'chorus-1', sectionId: 'A1', bar: 2, ...more }, text: 'here' } } })
        .draft.comments[0]?.anchor
    const place = { passId: 'chorus-1', sectionId: 'A1', bar: 2 }
    expect(anchored({ tuneBar: 6, turn: 1, part: 1 })).toEqual({ ...place, tuneBar: 6, turn: 1, part: 1 })
    expect(anchored({ optionId: 'vamp-1' })).toEqual({ ...place, optionId: 'vamp-1' })
    expect(anchored({ tuneBar: -1, turn: 'first', part: 0.5, optionId: 7 })).toEqual(place)
    expect(anchored({ optionId: 'x'.repeat(5000) })).toEqual(place)
  })

  it('typed content comes out typed, in order', () => {
    const { draft, issues } = readDraft({
      meta: { schema: 1 },
      roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: ['A1'] }],
      cards: { 'chorus-1/A1': { note: 'softly', edits: { [editKey(CHORD)]: CHORD } } },
      options: {
        second: { slot: 'lift@chorus-last/A1', option: OPTION, edits: {}, by: 'Tove', order: 2 },
        first: { slot: { decision: 'lift' }, option: OPTION, edits: { [editKey(CHORD)]: CHORD }, order: 1 },
      },
      trying: { groove: 'bossa', 'no slot': 'x', lift: 7 },
      comments: {
        late: { anchor: 'chorus-1/A1/3', text: 'too busy?', by: 'Penn', at: 20, resolved: false },
        early: {
          anchor: { passId: 'chorus-1', sectionId: 'A1', bar: 0 },
          text: 'nice',
          by: 'Odile',
          at: 10,
          resolved: true,
        },
      },
      notes: 'bring brushes',
    })
    expect(issues).toEqual([])
    expect(draft.options.map((option) => option.id)).toEqual(['first', 'second'])
    expect(draft.comments.map((comment) => comment.id)).toEqual(['early', 'late'])
    expect(draft.trying).toEqual({ groove: 'bossa' })
    expect(draft.cards[0]?.edits[0]?.edit).toEqual(CHORD)
    expect(draft.notes).toBe('bring brushes')
  })

  it('hostile, older and newer content gives issues, never an exception', () => {
    const garbage: readonly unknown[] = [
      null,
      undefined,
      7,
      'x',
      [],
      () => 1,
      { __proto__: null },
      { a: { b: { c: [] } } },
      'x'.repeat(100_000),
      Number.NaN,
      Array.from({ length: 10_000 }, () => ({})),
    ]
    for (const value of garbage) {
      for (const name of ['meta', 'roadmap', 'cards', 'options', 'trying', 'comments', 'notes']) {
        const { draft } = readDraft({ [name]: value })
        expect(draft.options).toEqual([])
        const inside = readDraft({
          [name]: {
            'chorus-1/A1': value,
            x: { option: value, slot: value, edits: { y: value }, anchor: value, text: value },
          },
        })
        expect(inside.draft.roadmap).toEqual([])
      }
      expect(readDraft(value).draft.notes).toBe('')
    }
    expect(readDraft({ meta: { schema: 9 } }).issues[0]?.path).toBe('meta/schema')
    expect(readDraft({ options: { a: { slot: 'groove', option: OPTION } } }).issues[0]?.message).toContain(
      'cannot answer',
    )
  })
})

describe('[BD9] hand edits', () => {
  it('what reads is kept, what does not has its place named', () => {
    const { edits, issues } = normaliseEdits([
      CHORD,
      { ...CHORD, startTick: -1 },
      { ...CHORD, symbol: 'x'.repeat(65) },
      { kind: 'bars', at: 'opening', bars: 4 },
      'edit',
    ])
    expect(edits).toEqual([CHORD, { kind: 'bars', at: 'opening', bars: 4 }])
    expect(issues.map((found) => found.path)).toEqual(['edits/1/startTick', 'edits/2/symbol', 'edits/4'])
  })
  it('melody and voicing edits keep their fields, and nothing else', () => {
    const melody = {
      kind: 'melody',
      at: CHORD.at,
      metre: { beats: 3, beatType: 4 },
      notes: [
        {
          startTick: 0,
          durationTicks: 5040,
          midi: 70,
          name: 'Bb4',
          tuplet: { actual: 3, normal: 2 },
          lyric: 'la',
          grace: ['A4'],
          evil: true,
        },
      ],
    }
    const voicing = {
      kind: 'voicing',
      at: CHORD.at,
      metre: { beats: 4, beatType: 4 },
      startTick: 0,
      partId: 'piano',
      midi: [48, 55],
      extra: 1,
    }
    const { edits, issues } = normaliseEdits([melody, voicing])
    expect(issues).toEqual([])
    expect(JSON.stringify(edits)).not.toMatch(/evil|extra/)
    expect(edits[0]).toMatchObject({ notes: [{ lyric: 'la', grace: ['A4'] }] })
  })
  it('two edits of one thing have one key, of different bars two; an edit stands over the option’s own', () => {
    expect(editKey(CHORD)).toBe('chorus-1/A1/2:0')
    expect(editKey({ ...CHORD, symbol: 'G7' })).toBe(editKey(CHORD))
    expect(editKey({ ...CHORD, at: { ...CHORD.at, bar: 3 } })).not.toBe(editKey(CHORD))
    const option = { ...OPTION, handEdits: [CHORD] }
    const changed = { ...CHORD, symbol: 'G7' }
    expect(optionWithEdits({ option, edits: [{ key: editKey(changed), edit: changed }] }).handEdits).toEqual([changed])
    expect(optionWithEdits({ option, edits: [] })).toBe(option)
  })
})

describe('[BD1] what comes from outside is read field by field', () => {
  it('options: whole ones pass unchanged, broken ones name every field at fault', () => {
    expect(readOption({ ...OPTION, surprise: 1 })).toEqual({ ok: true, value: OPTION })
    const read = readOption({ ...OPTION, kind: 'colour', score: 2, params: { f: { g: 1 } }, reason: [{ rule: 1 }] })
    expect(read.ok ? [] : read.issues.map((found) => found.path)).toEqual([
      'option/kind',
      'option/params/f',
      'option/reason/0/rule',
      'option/reason/0/text',
      'option/score',
    ])
  })
  it('slots, line-ups and running orders', () => {
    expect(readSlot({ decision: 'groove', junk: 1 })).toEqual({ ok: true, value: { decision: 'groove' } })
    expect(readSlot({ decision: 'groove', at: {} }).ok).toBe(false)
    const piano = { id: 'piano', instrument: 'piano', name: 'Piano', role: 'chords' }
    expect(readLineup([piano]).ok).toBe(true)
    for (const wrong of [
      [],
      [piano, piano],
      [{ ...piano, id: 'a/b' }],
      [{ ...piano, role: 'boss' }],
      Array.from({ length: 25 }, (_, index) => ({ ...piano, id: `p${index}` })),
    ])
      expect(readLineup(wrong).ok).toBe(false)
    const pass = {
      id: 'solo-1',
      kind: 'solo',
      sections: ['A1'],
      times: 3,
      open: true,
      soloist: 'piano',
      trading: 4,
      backgrounds: true,
      energy: 0.5,
    }
    expect(readRoadmap([pass])).toEqual({ ok: true, value: [pass] })
    for (const wrong of [
      [],
      [pass, pass],
      [{ ...pass, times: 33 }],
      [{ ...pass, kind: 'bridge' }],
      [{ ...pass, sections: 'A1' }],
    ])
      expect(readRoadmap(wrong).ok).toBe(false)
  })
})
