/** The real engraver on real charts: what it draws can be taken apart, stands clear, and has every player's own key. */
import { beforeAll, describe, expect, it } from 'vitest'
import createVerovioModule from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'
import { type Arrangement, writeChart } from '@chartloft/shared-theory'
import { composePages } from '../../web/src/charts/compose-pages.js'
import { type EngravingToolkit, engraveLines, unitsOf } from '../../web/src/charts/engrave.js'
import { codaForm, endingsForm, hardBars, liftedForm } from '../fixtures/varied-chart.js'

let toolkit: EngravingToolkit
beforeAll(async () => {
  toolkit = new VerovioToolkit(await createVerovioModule()) as unknown as EngravingToolkit
})

const SCALE = 98
const SHEET = {
  width: unitsOf(2100, SCALE),
  height: unitsOf(2970, SCALE),
  margins: {
    left: unitsOf(130, SCALE),
    right: unitsOf(110, SCALE),
    top: unitsOf(100, SCALE),
    bottom: unitsOf(150, SCALE),
  },
}
const engraved = (arrangement: Arrangement, options: Parameters<typeof writeChart>[1]) => {
  const chart = writeChart(arrangement, { folded: true, ...options })
  return { ...chart, ...engraveLines(toolkit, chart.musicXml, 1860, SCALE) }
}

describe('[UI39] lines of a real chart', () => {
  it.each([
    ['coda form', codaForm],
    ['endings', endingsForm],
    ['everything hard', hardBars],
  ])('%s: every written bar is drawn once, in order, nothing remarked', (_name, form) => {
    const arrangement = form()
    for (const part of arrangement.lineup.map(({ id }) => id)) {
      const { systems, marks, warnings, shapes } = engraved(arrangement, { part })
      expect(warnings, part).toBe('')
      const drawn = systems.flatMap(({ bars }) => bars.map(({ number }) => number))
      let inside = 0
      const wanted = marks.filter(({ restBars }) => {
        if (inside > 1) {
          inside--
          return false
        }
        inside = restBars ?? 0
        return true
      })
      expect(drawn, part).toEqual(wanted.map(({ number }) => number))
      const pages = composePages(systems, shapes, { marks, sheet: SHEET })
      expect(pages.flatMap(({ bars }) => bars)).toEqual(drawn)
      for (const { svg } of pages)
        for (const [, id] of svg.matchAll(/xlink:href="#([^"]+)"/g)) expect(svg).toContain(`id="${id}"`)
    }
  })
  it('a score at written pitch has every player’s own key after a lift, the drummer none', () => {
    const { systems } = engraved(liftedForm(), { pitch: 'written' })
    const { svg } = systems.at(-1)!
    const first = svg.slice(0, svg.indexOf('class="measure"', svg.indexOf('class="measure"') + 10))
    const staves = first.split('class="staff"').slice(1)
    const names = liftedForm().lineup.map(({ id }) => id)
    const accidentals = staves.map(
      (staff) => (staff.split('class="layer"')[0]?.match(/class="keyAccid"/g) ?? []).length,
    )
    // G major: a B♭ trumpet and tenor read A (three sharps), an E♭ alto E (four), C instruments G.
    const expected: { readonly [part: string]: number } = { trumpet: 3, alto: 4, tenor: 3, piano: 1, bass: 1, drums: 0 }
    expect(names.map((name, index) => [name, accidentals[index]])).toEqual(names.map((name) => [name, expected[name]]))
  })
})

describe('[UI92] one layout for all pages', () => {
  it('a part is given to the engraver once, whatever its length', () => {
    let loaded = 0
    const counting: EngravingToolkit = {
      setOptions: (options) => toolkit.setOptions(options),
      loadData: (data) => {
        loaded++
        return toolkit.loadData(data)
      },
      getMEI: (options) => toolkit.getMEI(options),
      getPageCount: () => toolkit.getPageCount(),
      renderToSVG: (page) => toolkit.renderToSVG(page),
      getLog: () => toolkit.getLog(),
    }
    const { musicXml, marks } = writeChart(codaForm(), { part: 'trumpet' })
    const { systems, shapes } = engraveLines(counting, musicXml, 1860, SCALE)
    expect(composePages(systems, shapes, { marks, sheet: SHEET }).length).toBeGreaterThan(1)
    expect(loaded).toBe(1)
  })
})
