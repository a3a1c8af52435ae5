import { describe, expect, it } from 'vitest'
import { OPTION } from './test-rows.js'
import { COMMAND_KINDS, isCommandKind, isStale, mayCommand, noteChange, targetOf } from './commands.js'

const LIFT = { decision: 'lift', at: { passId: 'chorus-last', sectionId: 'A1' } }

describe('[BD6] who may', () => {
  it('the leader everything, a member a version’s name, a listener nothing', () => {
    expect(COMMAND_KINDS.filter((kind) => !mayCommand('leader', kind))).toEqual([])
    expect(COMMAND_KINDS.filter((kind) => mayCommand('member', kind))).toEqual(['nameVersion'])
    expect(COMMAND_KINDS.filter((kind) => mayCommand('listener', kind))).toEqual([])
  })
  it('kinds are words of the table only', () => {
    expect(['lock', 'setTune'].every(isCommandKind)).toBe(true)
    expect(['createBoard', 'importBoard', 'toString', '__proto__', 7, null].some(isCommandKind)).toBe(false)
  })
})

describe('[BD7] staleness', () => {
  const changes = new Map<string, number>()
  noteChange(changes, { kind: 'lock', slot: LIFT, option: OPTION }, 5)
  noteChange(changes, { kind: 'setLineup', lineup: [] }, 7)
  noteChange(changes, { kind: 'nameVersion', name: 'x' }, 9)
  const rows: readonly (readonly [string, object, number, boolean])[] = [
    ['the same place, seen before the change', { kind: 'unlock', slot: LIFT }, 4, true],
    ['the same place, seen after it', { kind: 'unlock', slot: LIFT }, 5, false],
    ['another place', { kind: 'lock', slot: { decision: 'lift' } }, 0, false],
    ['another target', { kind: 'setRoadmap', roadmap: [] }, 0, false],
    ['the line-up', { kind: 'setLineup', lineup: [] }, 6, true],
    ['everything, where anything changed', { kind: 'restoreVersion', toSeq: 1 }, 6, true],
    ['everything, where only a name was given', { kind: 'restoreVersion', toSeq: 1 }, 7, false],
    ['what changes no music', { kind: 'setRights', rights: 'own' }, 0, false],
  ]
  for (const [what, command, baseSeq, expected] of rows) {
    it(what, () => expect(isStale(changes, command as { kind: string }, baseSeq)).toBe(expected))
  }
  it('a new tune changes every target', () => {
    const after = new Map(changes)
    noteChange(after, { kind: 'setTune' }, 12)
    expect(isStale(after, { kind: 'lock', slot: { decision: 'groove' } }, 11)).toBe(true)
    expect(isStale(after, { kind: 'lock', slot: { decision: 'groove' } }, 12)).toBe(false)
  })
  it('polls are targets by their id', () => {
    expect(targetOf({ kind: 'closePoll', pollId: 'p1' })).toBe('poll:p1')
  })
})
