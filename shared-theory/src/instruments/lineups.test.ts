import { describe, expect, it } from 'vitest'
import { findInstrument } from './instruments.js'
import { DEFAULT_LINEUP, LINEUPS } from './lineups.js'

describe('[BA10] ready line-ups', () => {
  it.each(Object.entries(LINEUPS))(
    '%s has one lead, parts that can be file names, known instruments',
    (_name, lineup) => {
      expect(lineup.filter(({ role }) => role === 'lead')).toHaveLength(1)
      expect(new Set(lineup.map(({ id }) => id)).size).toBe(lineup.length)
      for (const { id, instrument } of lineup) {
        expect(id).toMatch(/^[a-z][a-z0-9-]*$/)
        expect(findInstrument(instrument), instrument).toBeDefined()
      }
    },
  )

  it('the default is one of them', () => {
    expect(Object.values(LINEUPS)).toContain(DEFAULT_LINEUP)
  })
})
