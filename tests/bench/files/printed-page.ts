/** What is measured on a printed page, inside the browser, from where the engraved things really stand. */

export interface PrintedLine {
  readonly bars: number
  /** Signs for several bars of rest among them. */
  readonly rests: number
  readonly hasEnding: boolean
  readonly beginsInRest: boolean
  /** The first bar's number as the engraver counts, and the letters boxed on the line with the bar they stand over, from 0. */
  readonly marks: readonly { readonly text: string; readonly bar: number }[]
  readonly hasBarNumber: boolean
}
export interface PrintedPage {
  readonly lines: readonly PrintedLine[]
  /** 'Gm7 on a note, line 3': what stands on something it should not. */
  readonly collisions: readonly string[]
  /** Things outside the sheet of paper, in words. */
  readonly outside: readonly string[]
  readonly footer: string
  readonly staffMm: number
  /** The last bar of the page is silent, for turning. */
  readonly endsInRest: boolean
  /** How far down the page its last line reaches, per cent. */
  readonly filledPercent: number
}

/** Runs in the page: everything it needs stands inside it. */
export function measurePages(): PrintedPage[] {
  const TOUCH = 0.8
  const box = (element: Element): DOMRect => element.getBoundingClientRect()
  /** Letters fill the middle of their line: the room above and below them is no ink. */
  const inked = (element: Element): DOMRect => {
    const { x, y, width, height } = box(element)
    return new DOMRect(x, y + height * 0.2, width, height * 0.58)
  }
  const meet = (a: DOMRect, b: DOMRect): boolean =>
    a.width > 0 &&
    b.width > 0 &&
    Math.min(a.right, b.right) - Math.max(a.left, b.left) > TOUCH &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > TOUCH
  const words = (element: Element): string => (element.textContent ?? '').replaceAll(/\s+/g, ' ').trim()

  return [...document.querySelectorAll('.sheet')].map((sheet): PrintedPage => {
    const paper = box(sheet.querySelector('svg') as SVGSVGElement)
    const systems = [...sheet.querySelectorAll('g.line')]
    const collisions: string[] = []
    const outside: string[] = []
    const lines = systems.map((system, index): PrintedLine => {
      const measures = [...system.querySelectorAll('g.measure')]
      const texts = [
        ...system.querySelectorAll(
          'g.harm, g.reh, .above > text, .above .beat, .changed rect, g.dir, g.tempo, g.dynam, g.ending text',
        ),
      ].filter((text) => words(text) !== '' || text.querySelector('use') !== null)
      const notes = [...system.querySelectorAll('g.notehead, g.rest, g.stem, g.accid, g.beam polygon, g.flag')]
      const from = (element: Element): string => element.getAttribute('class')?.split(' ')[0] ?? element.localName
      const boxed = texts.map((text) => ({ text, at: inked(text) }))
      const noted = notes.map((note) => ({ note, at: box(note) }))
      for (const [place, { text, at }] of boxed.entries()) {
        for (const { note, at: other } of noted)
          if (meet(at, other)) {
            collisions.push(`line ${index + 1}: ${from(text)} “${words(text)}” on a ${from(note)}`)
            break
          }
        for (const { text: other, at: otherAt } of boxed.slice(place + 1))
          if (meet(at, otherAt) && !text.contains(other) && !other.contains(text))
            collisions.push(`line ${index + 1}: ${from(text)} “${words(text)}” on ${from(other)} “${words(other)}”`)
        if (
          at.right > paper.right + 1 ||
          at.left < paper.left - 1 ||
          at.bottom > paper.bottom + 1 ||
          at.top < paper.top - 1
        )
          outside.push(`line ${index + 1}: ${words(text)}`)
      }
      const lefts = measures.map((measure) => {
        const staff = measure.querySelector('g.staff path')
        return box(staff ?? measure).left
      })
      const marks = [...system.querySelectorAll('g.reh')].map((mark) => {
        const { left, width } = box(mark)
        const middle = left + width / 2 + 4
        return { text: words(mark), bar: Math.max(0, lefts.filter((edge) => edge <= middle).length - 1) }
      })
      return {
        bars: measures.length,
        rests: system.querySelectorAll('g.multiRest').length,
        hasEnding: system.querySelector('g.voltaBracket') !== null,
        beginsInRest: measures[0]?.querySelector('g.note') === null,
        marks,
        hasBarNumber: system.querySelector('g.mNum') !== null,
      }
    })
    const lastMeasure = systems.at(-1)?.querySelectorAll('g.measure')
    const last = lastMeasure?.[lastMeasure.length - 1]
    const staff = sheet.querySelector('g.staff')
    const strokes = staff ? [...staff.querySelectorAll(':scope > path')].map((path) => box(path).top) : []
    const heightMm = sheet.getAttribute('data-paper') === 'a4' ? 297 : 279.4
    const lowest = Math.max(...systems.map((system) => box(system).bottom))
    return {
      lines,
      collisions,
      outside,
      footer: words(sheet.querySelector('figcaption') as Element),
      staffMm: strokes.length >= 5 ? ((strokes[4]! - strokes[0]!) / paper.height) * heightMm : 0,
      endsInRest: last !== undefined && last.querySelector('g.note') === null,
      filledPercent: (100 * (lowest - paper.top)) / paper.height,
    }
  })
}
