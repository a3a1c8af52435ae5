/** What the band plays, measured in every groove, at every level, by every band: the rules of bass, drums, chords and horns. */
import { it } from 'vitest'
import { ALL_GROOVES, bandsPlayed, groovesIn, percent, type Share } from '../../laws/band/sample.js'
import { compingFigures, guitarHolds, inRange, validatorFindings } from '../../laws/band/chord-figures.js'
import { hatsOnTwoAndFour, sevenAccents, timeLines } from '../../laws/band/drum-figures.js'
import { hornFigures, longestBreath } from '../../laws/band/horn-figures.js'
import { kickMeetsBass, rootsOnHarmony, walkingFigures } from '../../laws/band/bass-figures.js'
import { SWING_TEMPI, swingError, unevenness } from '../../laws/band/time-figures.js'
import { figure, type Target } from '../figure.js'

const played = bandsPlayed()
const bars = played.reduce((sum, { arrangement }) => sum + arrangement.bars.length, 0)
const SAMPLE = `${played.length} arrangements, ${bars.toLocaleString('en')} bars`

function sharedFigure(id: string, what: string, found: Share, target: Target, note = SAMPLE): void {
  if (found.failed.length > 0) console.log(`${what}:\n  ${found.failed.slice(0, 8).join('\n  ')}`)
  const value = percent(found)
  figure({ id, what, value, unit: '%', target, note: `${found.of.toLocaleString('en')} counted; ${note}` })
}
const countFigure = (id: string, what: string, found: Share): void => {
  if (found.failed.length > 0) console.log(`${what}:\n  ${found.failed.slice(0, 8).join('\n  ')}`)
  const note = `of ${found.of.toLocaleString('en')}`
  figure({ id, what, value: found.failed.length, unit: '', target: { exactly: 0 }, note })
}

it('the sample', () => {
  figure({
    id: 'BA11',
    what: 'grooves measured',
    value: groovesIn(played),
    unit: `of ${ALL_GROOVES}`,
    target: { exactly: ALL_GROOVES },
    note: SAMPLE,
  })
})

it('bass', () => {
  sharedFigure(
    'BA4',
    'harmonies of bars that do not walk begun on the root or the declared bass',
    rootsOnHarmony(played),
    {
      atLeast: 90,
    },
  )
  const walking = walkingFigures(played)
  sharedFigure('BA3', 'W1: walked bars of first choruses with the root on beat one', walking.rootsFirst, {
    atLeast: 70,
  })
  sharedFigure('BA3', 'W1: walked bars of later choruses with the root on beat one', walking.rootsLater, {
    atLeast: 50,
  })
  sharedFigure('BA3', 'W1: new chords begun on the root', walking.newChordRoots, { exactly: 100 })
  sharedFigure('BA3', 'W2: chord tones on beat three', walking.strongTones, { atLeast: 95 })
  sharedFigure('BA3', 'W3: changes led to by half step, whole step, fourth or fifth', walking.leads, { atLeast: 99 })
  sharedFigure('BA3', 'W4: changes approached by half step, at least', walking.halfSteps, { atLeast: 40 })
  sharedFigure('BA3', 'W4: changes approached by half step, at most', walking.halfSteps, { atMost: 60 })
  countFigure('BA3', 'W4: the same approach three bar lines running', walking.kinds)
  countFigure('BA3', 'W5: pitches struck twice running', walking.noRepeats)
  countFigure('BA3', 'W6: leaps of more than an octave', walking.octave)
  sharedFigure('BA3', 'W6: leaps of more than a fifth turned back from', walking.turned, { atLeast: 90 })
  countFigure('BA3', 'walked notes outside E1–G3', walking.inRange)
  countFigure('BA4', 'W12: bass-drum strokes without a bass note where they are one', kickMeetsBass(played))
}, 600_000)

it('drums', () => {
  sharedFigure('BA6', 'bars of swing with the hat on two and four', hatsOnTwoAndFour(played), { exactly: 100 })
  countFigure(
    'BA6',
    'bars whose cross-stick, bell, agogô or clave is not the figure, or changes its side',
    timeLines(played),
  )
  countFigure('BA6', 'bars of seven without bass and bass drum on both group starts', sevenAccents(played))
}, 600_000)

it('chords', () => {
  const { apart, below, softer } = compingFigures(played)
  countFigure('BA5', 'strokes less than an eighth beside a melody attack', apart)
  countFigure('BA5', 'chord notes nearer than a minor third under the melody, or above it', below)
  countFigure('BA5', 'chord notes louder than the melody they sound under', softer)
  countFigure('BA13', 'guitar chords no hand holds', guitarHolds(played))
}, 600_000)

it('horns', () => {
  const { underLine, consonant, rubs, crossings } = hornFigures(played)
  countFigure('BA12', 'horn notes above the line they support', underLine)
  sharedFigure('BA12', 'notes of one horn under another a third, sixth, unison or octave away', consonant, {
    atLeast: 85,
  })
  countFigure('BA12', 'minor ninths held a beat between horns', rubs)
  countFigure('BA12', 'crossings of harmonised horns', crossings)
  const breath = longestBreath(played)
  figure({
    id: 'BA12',
    what: 'longest stretch a horn plays without breathing',
    value: Math.round(breath.bars * 100) / 100,
    unit: 'bars',
    target: { atMost: 5 },
    note: breath.where,
  })
  countFigure('BA1', 'notes outside the range of their instrument, the tune aside', inRange(played))
}, 600_000)

it('the validator', () => {
  const found = validatorFindings(played)
  console.log(found.slice(0, 8).join('\n'))
  figure({
    id: 'BA1',
    what: 'errors and warnings of the validator on what the band plays, a tune beyond its leader aside',
    value: found.length,
    unit: '',
    target: { exactly: 0 },
    note: SAMPLE,
  })
}, 600_000)

it('time', () => {
  const { worst, fallsWithTempo, shortMs } = swingError(SWING_TEMPI)
  const note = 'tempi 60 to 300; ends and slope of the curve: Friberg & Sundström 2002, rows between from memory'
  figure({
    id: 'SC2',
    what: "the ride's off-beat beside its place on the published curve",
    value: worst,
    unit: 'thousandths of a beat',
    target: { atMost: 1 },
    note,
  })
  figure({
    id: 'SC2',
    what: 'swing ratio falls with tempo',
    value: fallsWithTempo ? 1 : 0,
    unit: '',
    target: { exactly: 1 },
  })
  figure({ id: 'SC2', what: 'shortest swung eighth', value: shortMs, unit: 'ms', target: { atLeast: 100 }, note })
  const loose = unevenness(played.filter((_, index) => index % 10 === 0))
  figure({ id: 'SC4', what: 'onset moved by unevenness, at most', value: loose.ms, unit: 'ms', target: { atMost: 6 } })
  figure({
    id: 'SC4',
    what: 'loudness moved by unevenness, at most',
    value: loose.velocity,
    unit: 'steps',
    target: { atMost: 5 },
  })
  figure({
    id: 'SC4',
    what: 'performances that repeat with their seed and differ with another',
    value: loose.sameAgain && loose.otherSeedDiffers ? 100 : 0,
    unit: '%',
    target: { exactly: 100 },
  })
}, 600_000)
