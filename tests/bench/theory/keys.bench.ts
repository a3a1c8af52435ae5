/** How often the key is found, with chords and without. `ABC_TUNES=DIR` measures every labelled tune of a directory of .abc files too. */
import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { it } from 'vitest'
import {
  HEARINGS,
  type Hearing,
  type Labelled,
  keyFigures,
  labelledFrom,
  ownTunes,
  traditionalTunes,
} from '../../laws/key-figures.js'
import { figure } from '../figure.js'

const PROMISED = { 'melody and chords': 95, 'melody, chords and signature': 95 } as const

function report(what: string, tunes: readonly Labelled[], everyKey: boolean): void {
  for (const hearing of Object.keys(HEARINGS) as Hearing[]) {
    if (everyKey && hearing === 'melody, chords and signature') continue
    // A made melody is drawn from its chords and has no key of its own.
    if (hearing === 'melody alone' && what.includes('made')) continue
    const figures = keyFigures(tunes, hearing, everyKey)
    const promised = hearing in PROMISED ? PROMISED[hearing as keyof typeof PROMISED] : 0
    figure({
      id: 'KY2',
      what: `key right of ${what}, from ${hearing}`,
      value: figures.right,
      unit: '%',
      target: { atLeast: promised },
      note: `${figures.tunes} readings, first or second ${figures.amongTwo.toFixed(1)} %; ${figures.missed.slice(0, 3).join('; ')}`,
    })
  }
}

it('traditional tunes', () => report('traditional tunes with chords', traditionalTunes(), false))
it('traditional tunes in every key', () => report('traditional tunes in twelve keys', traditionalTunes(), true))
it('our own tunes', () => report('our own tunes', ownTunes(0), false))
it('our own tunes in every key', () => report('our own tunes in twelve keys', ownTunes(0), true))
it('made tunes', () => report('200 made tunes in twelve keys', ownTunes(200).slice(-200), true))

const directory = process.env['ABC_TUNES']
it.runIf(directory !== undefined && existsSync(directory))('tunes of a directory', () => {
  const files = readdirSync(directory as string).filter((name) => name.endsWith('.abc'))
  const tunes = files.flatMap((name) =>
    readFileSync(join(directory as string, name), 'latin1')
      .split(/^(?=X: ?\d)/m)
      .filter((text) => text.startsWith('X:') && /^K:/m.test(text))
      .flatMap((text) => labelledFrom(text)),
  )
  for (const hearing of ['melody and chords', 'melody, chords and signature', 'melody alone'] as const) {
    const figures = keyFigures(tunes, hearing, false)
    process.stdout.write(
      `${hearing}: ${figures.right.toFixed(1)} % of ${figures.tunes} (first or second ${figures.amongTwo.toFixed(1)} %)\n`,
    )
  }
})
