/** What the band plays, in a sample of grooves, levels and bands; `npm run bench -- sound` has them all. */
import { describe, expect, it } from 'vitest'
import { ALL_GROOVES, bandsPlayed, groovesIn, percent } from './sample.js'
import { compingFigures, guitarHolds, inRange, validatorFindings } from './chord-figures.js'
import { hatsOnTwoAndFour, sevenAccents, timeLines } from './drum-figures.js'
import { hornFigures, longestBreath } from './horn-figures.js'
import { kickMeetsBass, rootsOnHarmony, walkingFigures } from './bass-figures.js'
import { swingError, unevenness } from './time-figures.js'

const LONG = process.env['LONG'] === '1'

describe('the band as a good rhythm section', () => {
  const played = bandsPlayed(LONG ? 1 : 7)

  it('[BA11] the sample has every groove', () => {
    expect(groovesIn(played)).toBe(ALL_GROOVES)
  })

  it('[BA4] the bass has root or declared bass where a harmony begins, and meets the bass drum', () => {
    const roots = rootsOnHarmony(played)
    expect(roots.of).toBeGreaterThan(1000)
    expect(percent(roots)).toBeGreaterThanOrEqual(90)
    const kick = kickMeetsBass(played)
    expect(kick.of).toBeGreaterThan(100)
    expect(kick.failed).toEqual([])
  })

  it('[BA3] walking lines', () => {
    const walking = walkingFigures(played)
    expect(walking.noRepeats.of).toBeGreaterThan(500)
    expect(percent(walking.rootsFirst)).toBeGreaterThanOrEqual(70)
    expect(percent(walking.rootsLater)).toBeGreaterThanOrEqual(50)
    expect(walking.newChordRoots.failed).toEqual([])
    expect(percent(walking.strongTones)).toBeGreaterThanOrEqual(95)
    expect(percent(walking.leads)).toBeGreaterThanOrEqual(99)
    expect(percent(walking.halfSteps)).toBeGreaterThanOrEqual(40)
    expect(percent(walking.halfSteps)).toBeLessThanOrEqual(60)
    for (const each of [walking.kinds, walking.noRepeats, walking.octave, walking.inRange])
      expect(each.failed).toEqual([])
  })

  it('[BA6] hats on two and four, time-lines on their side, seven in its groups', () => {
    for (const found of [hatsOnTwoAndFour(played), timeLines(played), sevenAccents(played)]) {
      expect(found.of).toBeGreaterThan(20)
      expect(found.failed).toEqual([])
    }
  })

  it('[BA5] chords leave the melody its room', () => {
    const { apart, below, softer } = compingFigures(played)
    expect(apart.of).toBeGreaterThan(1000)
    expect(apart.failed).toEqual([])
    expect(below.failed).toEqual([])
    expect(softer.failed).toEqual([])
  })

  it('[BA13] a hand can hold what the guitarist is given', () => {
    const found = guitarHolds(played)
    expect(found.of).toBeGreaterThan(100)
    expect(found.failed).toEqual([])
  })

  it('[BA12] horns stay under the line, uncrossed, without minor ninths, and breathe', () => {
    const { underLine, consonant, rubs, crossings } = hornFigures(played)
    expect(underLine.of).toBeGreaterThan(200)
    for (const each of [underLine, rubs, crossings]) expect(each.failed).toEqual([])
    expect(percent(consonant)).toBeGreaterThanOrEqual(85)
    expect(longestBreath(played).bars).toBeLessThanOrEqual(5)
  })

  it('[BA1] everybody stays in range, and the validator finds only what the tune brings', () => {
    expect(inRange(played).failed).toEqual([])
    expect(validatorFindings(played)).toEqual([])
  })

  it('[SC2] the ride swings by the published curve (Friberg & Sundström 2002 at its ends)', () => {
    const { worst, fallsWithTempo, shortMs } = swingError([60, 120, 180, 240, 300])
    expect(worst).toBeLessThanOrEqual(1)
    expect(fallsWithTempo).toBe(true)
    expect(shortMs).toBeGreaterThanOrEqual(100)
  })

  it('[SC4] unevenness is bounded and its seed repeats it', () => {
    const loose = unevenness(played.filter((_, index) => index % 10 === 0))
    expect(loose.ms).toBeLessThanOrEqual(6)
    expect(loose.velocity).toBeLessThanOrEqual(5)
    expect(loose.sameAgain && loose.otherSeedDiffers).toBe(true)
  })
})
