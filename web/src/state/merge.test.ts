import { describe, expect, it } from 'vitest'
import type { DraftStore } from './draft.js'
import { chordAt, ENDING, meet, notesOf, optionOf, pageOf, reloaded, tuneAt } from './test-draft.js'

const edits = (page: DraftStore, id = 'e1') =>
  page.optionNamed(id)?.edits.map(({ key, edit }) => (edit.kind === 'chord' ? `${key} ${edit.symbol}` : key)) ?? []
/** Two people who have both seen option e1, and have no line to each other from now on. */
function apart(clientIds: readonly [number, number] = [1, 2]) {
  const mine = [new Set<number>(), new Set<number>()] as const
  const [maro, tove] = [pageOf(mine[0], undefined, clientIds[0]), pageOf(mine[1], undefined, clientIds[1])]
  maro.try(ENDING, optionOf('e1'), 'Maro')
  meet(maro, tove)
  return { maro, tove, mine }
}

describe('[OF4] two people who edited without a line', () => {
  it('lose nothing where they wrote in different bars', () => {
    const { maro, tove } = apart()
    maro.edit(ENDING, optionOf('e1'), chordAt(0, 'Gb6'), 'Maro')
    tove.edit(ENDING, optionOf('e1'), chordAt(1, 'Cb6'), 'Tove')
    tove.edit(ENDING, optionOf('e1'), tuneAt(1, 60), 'Tove')
    meet(maro, tove)
    expect(edits(maro)).toHaveLength(3)
    expect(edits(tove)).toEqual(edits(maro))
    expect([...maro.conflicts.open.value, ...tove.conflicts.open.value]).toEqual([])
  })

  it.each([
    [1, 2],
    [2, 1],
  ])('are both told of a bar both rewrote, whoever comes back first (%i, %i)', (one, other) => {
    const { maro, tove } = apart([one, other])
    maro.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb7'), 'Maro')
    maro.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb6'), 'Maro')
    tove.edit(ENDING, optionOf('e1'), chordAt(2, 'Bbmaj7'), 'Tove')
    meet(maro, tove)
    const stands = edits(maro)[0] ?? ''
    const [winner, loser] = stands.endsWith('Bb6') ? [maro, tove] : [tove, maro]
    expect(loser.conflicts.open.value).toMatchObject([
      {
        mineStands: false,
        mine: { symbol: loser === maro ? 'Bb6' : 'Bbmaj7' },
        other: winner.doc.clientID,
        who: `person ${winner.doc.clientID}`,
      },
    ])
    expect(loser.conflicts.open.value[0]?.theirs).toMatchObject({ symbol: winner === maro ? 'Bb6' : 'Bbmaj7' })
    expect(winner.conflicts.open.value).toMatchObject([{ mineStands: true, other: loser.doc.clientID }])
  })

  it('are told of the tune’s notes and of what is tried at a place, too', () => {
    const { maro, tove } = apart()
    for (const [page, midi] of [
      [maro, 60],
      [tove, 62],
    ] as const) {
      page.edit(ENDING, optionOf('e1'), tuneAt(0, midi), '')
      page.try(ENDING, optionOf(page === maro ? 'e2' : 'e3'), '')
    }
    meet(maro, tove)
    for (const page of [maro, tove])
      expect(page.conflicts.open.value.map(({ path }) => path[0]).sort()).toEqual(['options', 'trying'])
    expect(maro.view.value.trying).toEqual(tove.view.value.trying)
  })

  it('are not told where one saw the other’s edit and changed it, nor where both wrote the same', () => {
    const { maro, tove } = apart()
    maro.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb6'), 'Maro')
    meet(maro, tove)
    tove.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb7'), 'Tove')
    tove.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb9'), 'Tove')
    meet(maro, tove)
    maro.edit(ENDING, optionOf('e1'), chordAt(0, 'F7'), 'Maro')
    tove.edit(ENDING, optionOf('e1'), chordAt(0, 'F7'), 'Tove')
    meet(maro, tove)
    // Whose edit stands may know only that the other wrote there, not what.
    for (const page of [maro, tove])
      expect(page.conflicts.open.value.filter(({ mineStands, theirs }) => !mineStands || theirs !== undefined)).toEqual(
        [],
      )
    expect(maro.conflicts.open.value.length + tove.conflicts.open.value.length).toBeLessThan(2)
  })

  it.each([
    [1, 2],
    [2, 1],
  ])('keep all their bars when both were the first to edit an option (%i, %i)', (one, other) => {
    const [maro, tove] = [pageOf(undefined, undefined, one), pageOf(undefined, undefined, other)]
    maro.edit(ENDING, optionOf('e9'), chordAt(0, 'Gb6'), 'Maro')
    maro.edit(ENDING, optionOf('e9'), chordAt(3, 'F7'), 'Maro')
    tove.edit(ENDING, optionOf('e9'), chordAt(1, 'Cb6'), 'Tove')
    tove.edit(ENDING, optionOf('e9'), chordAt(3, 'F9'), 'Tove')
    meet(maro, tove)
    expect(edits(maro, 'e9')).toHaveLength(3)
    expect(edits(tove, 'e9')).toEqual(edits(maro, 'e9'))
    const stands = edits(maro, 'e9').includes('ending/ending/3:0 F7') ? maro : tove
    const gaveWay = stands === maro ? tove : maro
    expect(gaveWay.conflicts.open.value.map(({ path, mineStands }) => [path.at(-1), mineStands])).toEqual([
      ['ending/ending/3:0', false],
    ])
    // Whose map stands may learn only that the other one edited there too.
    expect(stands.conflicts.open.value.map(({ mineStands }) => mineStands)).toEqual([true])
  })

  it('may take their own back, as an edit that can be undone', () => {
    const { maro, tove } = apart()
    maro.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb6'), 'Maro')
    tove.edit(ENDING, optionOf('e1'), chordAt(2, 'Bbmaj7'), 'Tove')
    meet(maro, tove)
    const loser = edits(maro)[0]?.endsWith('Bb6') ? tove : maro
    const conflict = loser.conflicts.open.value[0]
    if (!conflict) throw new Error('no conflict was told')
    loser.take(conflict, 'mine')
    meet(maro, tove)
    for (const page of [maro, tove]) {
      expect(edits(page)).toEqual([`ending/ending/2:0 ${loser === maro ? 'Bb6' : 'Bbmaj7'}`])
      expect(page.conflicts.open.value).toEqual([])
    }
    loser.undo()
    expect(edits(loser)).toEqual([`ending/ending/2:0 ${loser === maro ? 'Bbmaj7' : 'Bb6'}`])
  })

  it('are told after a reload too: of edits made before it, and of what they had been told', () => {
    const { maro, tove, mine } = apart()
    const notes = notesOf()
    maro.edit(ENDING, optionOf('e1'), chordAt(2, 'Bb6'), 'Maro')
    const later = reloaded(maro, mine[0], notes)
    tove.edit(ENDING, optionOf('e1'), chordAt(2, 'Bbmaj7'), 'Tove')
    meet(later, tove)
    expect(later.conflicts.open.value).toHaveLength(1)
    const latest = reloaded(later, mine[0], notes)
    expect(latest.conflicts.open.value).toEqual(later.conflicts.open.value)
    expect(tove.conflicts.open.value).toHaveLength(1)
  })
})
