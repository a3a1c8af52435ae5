import { describe, expect, it } from 'vitest'
import { LINEUPS, type PartSpec, type PassPlan } from '@chartloft/shared-theory'
import { readLineup } from '@chartloft/shared-theory/board'
import {
  added,
  faultOf,
  fromReady,
  lineupOf,
  MOST_PLAYERS,
  moved,
  playersOf,
  removed,
  renamedIn,
  withInstrument,
  withName,
  withRole,
} from './lineup-draft.js'

const QUINTET = LINEUPS['quintet'] as readonly PartSpec[]
const QUARTET = LINEUPS['quartet-lead'] as readonly PartSpec[]
const ids = (lineup: readonly PartSpec[]) => lineup.map(({ id }) => id)
const rolesOf = (players: ReturnType<typeof playersOf>) => players.map(({ role }) => role)

describe('[UI40] a line-up being written', () => {
  it('a second player of an instrument gets a numbered part, safe as a file name, that the server takes', () => {
    const players = added(added(playersOf(QUINTET), 'tenor-sax'), 'double-bass')
    const lineup = lineupOf(players, QUINTET)
    expect(ids(lineup).slice(5)).toEqual(['tenor-sax-2', 'bass-2'])
    expect(lineup.slice(5).map(({ name }) => name)).toEqual(['Tenor sax 2', 'Double bass'])
    expect(readLineup(lineup).ok).toBe(true)
  })

  it('a part keeps its id while its player stays, also when others go or change places', () => {
    const two = lineupOf(added(playersOf(QUINTET), 'tenor-sax'), QUINTET)
    const left = lineupOf(moved(removed(playersOf(two), 'tenor-sax'), 'tenor-sax-2', -1), two)
    expect(ids(left)).toEqual(['trumpet', 'piano', 'bass', 'tenor-sax-2', 'drums'])
  })

  it('another instrument renames the part and takes its name and role along, unless they were given', () => {
    const changed = withInstrument(playersOf(QUINTET), 'tenor-sax', 'vibraphone')
    expect(lineupOf(changed, QUINTET)[1]).toEqual({
      id: 'vibraphone',
      instrument: 'vibraphone',
      name: 'Vibraphone',
      role: 'horn',
    })
    const named = withInstrument(withName(playersOf(QUINTET), 'tenor-sax', 'Tove'), 'tenor-sax', 'piano')
    expect(lineupOf(named, QUINTET)[1]).toEqual({ id: 'piano-2', instrument: 'piano', name: 'Tove', role: 'chords' })
    expect(lineupOf(withInstrument(playersOf(QUINTET), 'bass', 'electric-bass'), QUINTET)[3]?.id).toBe('bass')
  })

  it('has one lead: who led before goes back to the usual', () => {
    const players = withRole(playersOf(QUINTET), 'piano', 'lead')
    expect(rolesOf(players)).toEqual(['horn', 'horn', 'lead', 'bass', 'drums'])
    expect(faultOf(players)).toBeUndefined()
    expect(faultOf(withRole(players, 'piano', 'chords'))).toEqual({ kind: 'no-lead' })
    expect(rolesOf(added(playersOf(QUINTET.slice(3)), 'flute'))).toEqual(['bass', 'drums', 'lead'])
  })

  it('says what is missing: nobody, no name, two of one name, two leads', () => {
    const players = playersOf(QUINTET)
    expect(faultOf([])).toEqual({ kind: 'nobody' })
    expect(faultOf(withName(players, 'bass', '  '))).toEqual({ kind: 'no-name', key: 'bass' })
    expect(faultOf(withName(players, 'bass', 'PIANO '))).toEqual({ kind: 'same-name', key: 'bass', name: 'PIANO' })
    expect(faultOf(players.map((player) => ({ ...player, role: 'lead' as const })))).toEqual({ kind: 'two-leads' })
  })

  it('every ready line-up is saved as it is, over any other', () => {
    for (const [name, ready] of Object.entries(LINEUPS)) {
      const players = fromReady(playersOf(QUARTET), name)
      const lineup = lineupOf(players, QUARTET)
      expect(faultOf(players), name).toBeUndefined()
      expect(readLineup(lineup).ok, name).toBe(true)
      expect(lineup.map(({ id: _id, ...rest }) => rest)).toEqual(ready.map(({ id: _id, ...rest }) => rest))
    }
    expect(ids(lineupOf(fromReady(playersOf(QUARTET), 'quintet'), QUARTET))).toEqual(ids(QUINTET))
  })

  it('a name that came free is given again, none twice', () => {
    const two = added(removed(added(playersOf(QUINTET), 'trumpet'), 'trumpet'), 'trumpet')
    expect(two.slice(4).map(({ name }) => name)).toEqual(['Trumpet 2', 'Trumpet'])
    const same = withInstrument(playersOf(QUINTET), 'tenor-sax', 'trumpet')
    expect(same[1]?.name).toBe('Trumpet 2')
    expect(withInstrument(same, 'tenor-sax', 'tenor-sax')[1]?.name).toBe('Tenor sax')
  })

  it('takes no more players than a board holds', () => {
    let players = playersOf(QUINTET)
    for (let count = 0; count < 40; count++) players = added(players, 'trombone')
    expect(players).toHaveLength(MOST_PLAYERS)
    expect(new Set(players.map(({ key }) => key)).size).toBe(MOST_PLAYERS)
    expect(faultOf(players)).toBeUndefined()
    expect(readLineup(lineupOf(players, QUINTET)).ok).toBe(true)
  })

  it('the running order follows: renamed players by their new part, gone players no longer named', () => {
    const roadmap: readonly PassPlan[] = [
      { id: 'chorus-1', kind: 'chorus', sections: ['A1'], melody: 'tenor-sax' },
      { id: 'solo-1', kind: 'solo', sections: ['A1'], soloist: 'trumpet', times: 2 },
    ]
    const players = withInstrument(removed(playersOf(QUINTET), 'trumpet'), 'tenor-sax', 'alto-sax')
    expect(renamedIn(roadmap, players, lineupOf(players, QUINTET))).toEqual([
      { id: 'chorus-1', kind: 'chorus', sections: ['A1'], melody: 'alto-sax' },
      { id: 'solo-1', kind: 'solo', sections: ['A1'], times: 2 },
    ])
    expect(renamedIn(roadmap, playersOf(QUINTET), QUINTET)).toBe(roadmap)
  })
})
