/** Bringing a tune as leaders do it: a MusicXML file with doubts, a MIDI file without chords, one typed in on a phone, one from a keyboard. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Tune } from '@chartloft/shared-theory'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, ROOT } from '../server/harness.js'
import { type Seat, seat } from './browser.js'
import { type House, openHouse, type Page } from './house.js'
import { NET_MENDER } from './net-mender.js'
import { axeFindings, cutOff, sideways, smallTargets } from './seen.js'
import { ABC_BOOK, doubtfulMusicXml, scoreOfParts, waltzMidi } from './tide-files.js'

const SHOTS = join(ROOT, 'tests/out/screens')
let house: House
const seats: Seat[] = []
beforeAll(async () => {
  mkdirSync(SHOTS, { recursive: true })
  house = await openHouse()
})
afterEach(async () => {
  for (const { complaints, context } of seats.splice(0)) {
    await context.close()
    expect(complaints, '[BR16] what the page complained of').toEqual([])
  }
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** Somebody opens the page that brings a tune. */
async function arrive(options: Parameters<typeof seat>[1] = {}): Promise<Page> {
  const person = await seat(house.browser, options)
  seats.push(person)
  await person.page.goto(house.server.url)
  await person.page.getByRole('heading', { name: 'Bring a tune' }).waitFor()
  return person.page
}
const bring = (page: Page, name: string, content: string | Buffer): Promise<void> =>
  page
    .locator('input[type=file]')
    .setInputFiles({ name, mimeType: 'application/octet-stream', buffer: Buffer.from(content as string) })
const engraved = (page: Page): Promise<void> =>
  page.locator('.sheetbox[aria-busy=false] .engraved > svg').first().waitFor()
const bar = (page: Page, number: number) => page.getByRole('button', { name: new RegExp(`^Bar ${number}, `) })
const said = (page: Page) => page.locator('loft-found > section > p[role=status]').innerText()

/** Opens the board and reads back the tune the server holds. */
async function opened(page: Page): Promise<Tune> {
  await page.getByRole('button', { name: 'Yes, open the board' }).click()
  await page.getByRole('button', { name: 'I have kept them' }).waitFor()
  const link = await page.locator('loft-keys code').first().innerText()
  const boardId = /\/b\/([^#]+)#/.exec(link)?.[1] ?? ''
  return page.evaluate(async (id) => {
    const answer = (await (await fetch(`/api/boards/${id}/ledger?after=0`)).json()) as {
      entries: { command: { tune: Tune } }[]
    }
    return answer.entries[0]!.command.tune
  }, boardId)
}
const symbols = (tune: Tune): string[] =>
  tune.bars.map(({ chords }) => chords.map(({ chord }) => chord.symbol).join(' '))

describe('[BR70] a MusicXML file with doubts, by keyboard', () => {
  it('every doubt is reached and leads to its bar; key, form and chords are put right and are the board’s', async () => {
    const page = await arrive()
    await bring(page, 'ebb.musicxml', doubtfulMusicXml())
    await engraved(page)
    // The engraving is drawn by the engraver, a bar each, and chord symbols stand in it.
    expect(await page.locator('.engraved g.measure').count()).toBe(16)
    expect(await page.locator('.engraved g.harm').first().textContent()).toContain('F7')
    const heading = page.getByRole('heading', { name: /things to look at/ })
    const count = Number(/^\d+/.exec(await heading.innerText())?.[0])
    expect(count).toBeGreaterThan(6)
    expect(await page.locator('.doubts li').count()).toBe(6)
    await page.getByRole('button', { name: `Show all ${count}` }).press('Enter')
    expect(await page.locator('.doubts li').count()).toBe(count)

    // A doubt leads to its bar: the focus is on the engraved bar, its desk is open and names the doubt.
    const doubt = page.locator('.doubts li', { has: page.getByText('Bar 4', { exact: true }) }).first()
    await doubt.getByRole('button', { name: 'Look at bar 4' }).press('Enter')
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('data-bar'))).toBe('3')
    await page.getByRole('heading', { name: /^Bar 4/ }).waitFor()
    expect(await page.locator('.bardesk .about').first().innerText()).toContain('3 beats in a bar of 4')

    // Whoever has looked ticks it off.
    await page.getByRole('button', { name: 'Seen to: Bar 4' }).first().press('Enter')
    await expect.poll(() => said(page)).toBe(`Seen to; ${count - 1} left.`)
    expect(await page.locator('.doubts li').count()).toBe(count - 1)
    await bar(page, 4).focus()

    // Arrows walk the sheet; Enter opens a bar with the first beat's field ready to type in.
    await page.keyboard.press('Escape')
    expect(await page.locator('.bardesk').count()).toBe(0)
    await page.keyboard.press('Home')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Enter')
    await page.getByLabel('Chord on beat 1').waitFor()
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('chord-0')
    await page.keyboard.type('Gq7')
    await page.keyboard.press('Enter')
    await page.locator('.bardesk .issue').waitFor()
    expect(await page.locator('.bardesk .issue').innerText()).toMatch(/q/)
    await page.getByLabel('Chord on beat 1').fill('Gm7')
    await page.keyboard.press('Enter')
    await expect.poll(() => said(page)).toMatch(/^Gm7 in bar 2/)
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('chord-5040')
    await page.keyboard.type('C7')
    await page.keyboard.press('Enter')
    await expect.poll(() => bar(page, 2).getAttribute('aria-label')).toContain('G minor 7, C 7')
    await expect.poll(() => page.locator('.engraved').textContent()).toContain('Gm7')

    // A section here, by its desk; then renamed, moved and taken away in the list of marks.
    await page.getByRole('button', { name: 'Close this bar' }).click()
    await bar(page, 10).click()
    await page.getByLabel('A section begins here').fill('Bridge')
    await page.getByRole('button', { name: 'Mark it' }).click()
    await expect.poll(() => said(page)).toBe('Bridge begins at bar 10.')
    await expect
      .poll(() =>
        page
          .locator('.engraved g.reh')
          .allTextContents()
          .then((all) => all.join()),
      )
      .toContain('Bridge')
    await page.getByRole('button', { name: 'Change the form' }).click()
    await page.getByLabel('Bridge begins at bar').fill('12')
    await page.keyboard.press('Tab')
    await expect.poll(() => said(page)).toBe('Bridge now begins at bar 12.')

    await page.getByRole('button', { name: 'Change the key' }).click()
    await page.getByLabel('Key note').selectOption('D')
    await page.getByLabel('Mode').selectOption('minor')
    await page.locator('#fact-key').getByRole('button', { name: 'Use it' }).click()
    await expect.poll(() => said(page)).toBe('Key: D minor.')
    await page.getByLabel('Mode').selectOption('major')
    await page.locator('#fact-key').getByRole('button', { name: 'Use it' }).click()
    await expect.poll(() => said(page)).toBe('Key: D major.')
    await page.getByRole('button', { name: 'Undo: the key' }).click()
    await expect.poll(() => said(page)).toBe('Undone: the key.')

    await page.getByLabel('Title').fill('Ebb Stairs, slower')
    await page.keyboard.press('Tab')
    await page.getByRole('button', { name: 'Change the tempo' }).click()
    await page.getByLabel('quarter notes a minute').fill('84')
    await page.locator('#fact-tempo').getByRole('button', { name: 'Use it' }).click()
    await expect.poll(() => said(page)).toBe('The tempo is set.')

    await page.getByRole('radio', { name: 'Ours' }).check()
    const tune = await opened(page)
    expect([tune.title, tune.key.key, tune.tempoBpm, tune.rights]).toEqual(['Ebb Stairs, slower', 'D minor', 84, 'own'])
    expect(symbols(tune)[1]).toBe('Gm7 C7')
    expect(tune.sections.map(({ letter, startBar }) => `${letter} ${startBar}`)).toContain('Bridge 11')
  })
})

describe('[BR71] a MIDI file without chord symbols', () => {
  it('its lines are told and heard, the tune is chosen, metre and pickup are put right, chords confirmed', async () => {
    const page = await arrive()
    await bring(page, 'waltz.mid', waltzMidi())
    await engraved(page)
    const lines = page.getByRole('radiogroup', { name: 'Melody' })
    expect((await lines.locator('li').allInnerTexts()).map((text) => text.replaceAll(/\s+/g, ' '))).toEqual([
      'Bells glockenspiel, 6 notes, F6 Look Listen',
      'Reeds tenor sax, 25 notes, C4 to C5 Look Listen',
    ])
    // The higher line was proposed; the other one is heard first, then chosen.
    expect(await lines.getByRole('radio').first().isChecked()).toBe(true)
    await lines.getByRole('button', { name: 'Listen to Reeds' }).click()
    await lines.getByRole('button', { name: 'Stop' }).waitFor()
    await expect
      .poll(() =>
        page.evaluate(() => {
          const found = document.querySelector('loft-found') as unknown as {
            listener: { heard: { value: { stage: string; bar?: number } } }
          }
          return found.listener.heard.value.stage
        }),
      )
      .toBe('playing')
    await lines.getByRole('button', { name: 'Stop' }).click()
    await lines.getByRole('radio').nth(1).check()
    await expect.poll(() => said(page)).toBe('Reeds is the melody now.')

    await page.getByRole('button', { name: 'Change the metre' }).click()
    await page.getByLabel('Beats in a bar').fill('3')
    await page.getByLabel('Pickup before bar 1').selectOption('5040')
    await page.locator('#fact-metre').getByRole('button', { name: 'Use it' }).click()
    await expect.poll(() => said(page)).toBe('Metre: 3/4.')
    await expect.poll(() => page.locator('.engraved g.measure').count()).toBe(9)
    // What nobody wrote is in brackets on the sheet until it is confirmed.
    await expect.poll(() => page.locator('.engraved g.harm.proposed').count()).toBeGreaterThan(0)
    expect(await page.locator('.engraved g.harm').first().textContent()).toMatch(/\(.+\)/)
    await bar(page, 1).click()
    await page.getByRole('button', { name: 'Confirm these' }).click()
    await expect.poll(() => said(page)).toMatch(/confirmed/)
    await page.getByRole('button', { name: 'They are right' }).click()
    await expect.poll(() => page.locator('.engraved g.harm.proposed').count()).toBe(0)

    const tune = await opened(page)
    expect([tune.metre, tune.pickupTicks, tune.source.format]).toEqual([{ beats: 3, beatType: 4 }, 5040, 'midi'])
    expect(tune.bars[1]?.melody.map(({ midi }) => midi)).toEqual([65, 69, 72])
    expect(tune.bars.some(({ chords }) => chords.some(({ inferred }) => inferred))).toBe(false)
  })

  it('of several tunes in an ABC file one is chosen; the same bar elsewhere in the form goes along', async () => {
    const page = await arrive()
    await bring(page, 'book.abc', ABC_BOOK)
    await engraved(page)
    await page.getByLabel('Tune', { exact: true }).selectOption({ label: '2. Lamp Oil' })
    await expect.poll(() => page.getByLabel('Title').inputValue()).toBe('Lamp Oil')
    await page.getByRole('button', { name: 'Bring another' }).click()
    await bring(page, 'net.abc', NET_MENDER)
    await engraved(page)
    await bar(page, 2).click()
    expect(await page.getByLabel('Also in bars 10 and 26, the same music').isChecked()).toBe(true)
    await page.getByLabel('Chord on beat 1').fill('G7alt')
    await page.keyboard.press('Enter')
    await expect.poll(() => said(page)).toBe('G7alt in bar 2, bar 10, bar 26.')
    const tune = await opened(page)
    expect([1, 9, 25].map((index) => symbols(tune)[index])).toEqual(['G7alt', 'G7alt', 'G7alt'])
  })
})

describe('[BR76] a score of several parts, with a wrong note in it', () => {
  it('the part that is the tune is looked at and chosen; a wrong note is mended in its bar and in those like it', async () => {
    const page = await arrive()
    await bring(page, 'three.musicxml', scoreOfParts())
    await engraved(page)
    const parts = page.getByRole('radiogroup', { name: 'Melody' })
    // The one with chord symbols was proposed; the silent one is none to choose. Pitches are named as they sound.
    expect((await parts.locator('li').allInnerTexts()).map((text) => text.replaceAll(/\s+/g, ' '))).toEqual([
      'Bass 32 notes, D3 to F3, 8 chord symbols Look Listen',
      'Clarinet in B flat 32 notes, F4 to C5 Look Listen',
    ])
    expect(await parts.getByRole('radio').first().isChecked()).toBe(true)
    await parts.getByRole('button', { name: 'Look at Clarinet in B flat' }).click()
    const preview = parts.locator('.preview')
    await preview.locator('.engraved > svg').first().waitFor()
    expect(await preview.locator('.engraved g.measure').count()).toBe(4)
    await page.screenshot({ path: join(SHOTS, 'bring-parts.png') })
    await parts.getByRole('button', { name: 'Hide Clarinet in B flat' }).click()
    expect(await preview.count()).toBe(0)
    await parts.getByRole('radio').nth(1).check()
    await expect.poll(() => said(page)).toBe('Clarinet in B flat is the melody now.')
    await expect.poll(() => page.locator('.beside .engraved g.measure').count()).toBe(8)

    await bar(page, 2).click()
    const letters = page.getByLabel('Notes of this bar')
    await expect.poll(() => letters.inputValue()).toBe('F2 A2 c2 A2')
    await letters.fill('F2 A2 c2')
    await letters.press('Enter')
    await page.getByText('These notes last 3 beats; the bar has 4. Write z where it is silent.').waitFor()
    expect(await letters.getAttribute('aria-invalid')).toBe('true')
    await letters.fill('F2 A2 c2 ^G2')
    await letters.press('Enter')
    await expect.poll(() => said(page)).toMatch(/^The notes in bar 2.* are written anew\.$/)
    await expect
      .poll(() => page.locator('.beside .engraved g.accid use, .beside .engraved g.accid path').count())
      .toBeGreaterThan(0)
    await page.screenshot({ path: join(SHOTS, 'bring-notes.png') })
    await page.getByRole('button', { name: 'Undo: the notes of a bar' }).click()
    await expect.poll(() => letters.inputValue()).toBe('F2 A2 c2 A2')
    await letters.fill('F2 A2 c2 _A2')
    await letters.press('Enter')
    await expect.poll(() => said(page)).toMatch(/written anew/)
    expect(await axeFindings(page)).toEqual([])
    const tune = await opened(page)
    expect(tune.bars.map(({ melody }) => melody.map(({ name }) => name).join(' ')).slice(0, 3)).toEqual([
      'F4 A4 C5 A4',
      'F4 A4 C5 Ab4',
      'F4 A4 C5 A4',
    ])
    expect(symbols(tune).slice(0, 2)).toEqual(['F', 'Bb'])
  })
})

describe('[BR77] the readers’ doubts on a German page', () => {
  it('are said in German, with their bars, and nothing of them in English but what they quote', async () => {
    const person = await seat(house.browser, { locale: 'de-DE' })
    seats.push(person)
    const { page } = person
    await page.goto(house.server.url)
    await page.locator('input[type=file]').waitFor({ state: 'attached' })
    await bring(page, 'ebb.musicxml', doubtfulMusicXml())
    await engraved(page)
    const doubt = page.locator('.doubts li', { has: page.getByText('Takt 4', { exact: true }) }).first()
    expect(await doubt.locator('p').innerText()).toBe(
      '3 Schläge in einem Takt von 4; der Rest wurde mit Stille gefüllt. Ergänze den fehlenden Ton oder die Pause.',
    )
    const told = await page.locator('.doubts li p').evaluateAll((all) =>
      all.map((one) => {
        const copy = one.cloneNode(true) as HTMLElement
        for (const english of copy.querySelectorAll('[lang=en]')) english.remove()
        return copy.textContent ?? ''
      }),
    )
    expect(told.length).toBeGreaterThan(4)
    for (const text of told) expect(text).not.toMatch(/\b(?:the|was|is|of|bar)\b/)
    await page.screenshot({ path: join(SHOTS, 'bring-found-de.png') })
    await page.reload()
    await bring(page, 'deep.musicxml', `<?xml version="1.0"?><score-partwise>${'<part>'.repeat(2000)}`)
    await page.getByRole('alert').first().waitFor()
    expect(await page.getByRole('alert').first().innerText()).toMatch(/Zeile 1: /)
  })
})

describe('[BR72] typed in on a phone', () => {
  it('by the keys under the text at 320 px: notes are engraved, mistakes marked, and a reload loses nothing', async () => {
    const page = await arrive({ viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true })
    await page.getByRole('button', { name: 'Type it in' }).tap()
    await page.getByLabel('Title').fill('Slip Rope')
    await page.getByLabel('Key note').selectOption('F')
    const keys = page.getByRole('group', { name: 'Keys for the notes' })
    const key = (name: string) => keys.getByRole('button', { name, exact: true })
    await key('Chord').tap()
    await keys.getByLabel('Chord symbol').fill('F')
    await keys.getByRole('button', { name: 'Put it there' }).tap()
    for (const name of ['F', 'A', 'Octave up', 'C', 'Octave down', 'A', 'G', 'Sharp', 'F']) await key(name).tap()
    const text = page.getByLabel('The notes', { exact: true })
    expect(await text.inputValue()).toBe('"F"F A c A | G ^F')
    await key('Take back').tap()
    await keys.locator('select').selectOption('3/4')
    await key('E').tap()
    expect(await text.inputValue()).toBe('"F"F A c A | G E3')
    await engraved(page)
    await expect.poll(() => page.locator('.engraved g.note').count()).toBe(6)

    await text.fill('"F"F A c A | "Hx"G E3 | D4 |]')
    const faults = page.locator('.faults li')
    await faults.first().waitFor()
    expect(await page.locator('.underlined mark').innerText()).toBe('"Hx"')
    await faults.first().getByRole('button', { name: 'Line 1, sign 14' }).tap()
    expect(
      await text.evaluate((field) => {
        const { value, selectionStart, selectionEnd } = field as HTMLTextAreaElement
        return value.slice(selectionStart, selectionEnd)
      }),
    ).toBe('"Hx"')
    await page.reload()
    await page.getByRole('button', { name: 'Type it in' }).tap()
    expect(await text.inputValue()).toBe('"F"F A c A | "Hx"G E3 | D4 |]')
    await text.fill('"F"F A c A | "C7"G E3 | "F"F4 |]')
    await page.getByText('3 bars, no mistakes.').waitFor()
    expect(await sideways(page)).toEqual([])
    await page.screenshot({ path: join(SHOTS, 'bring-typing-320.png'), fullPage: true })
    await page.getByRole('button', { name: 'This is the tune' }).tap()
    await engraved(page)
    const tune = await opened(page)
    expect([tune.title, tune.key.key, symbols(tune)]).toEqual(['Slip Rope', 'F major', ['F', 'C7', 'F']])
    // A board was made of it: the next tune begins empty.
    await page.goto(house.server.url)
    await page.getByRole('button', { name: 'Type it in' }).tap()
    expect(await text.inputValue()).toBe('')
  })
})

/** A MIDI keyboard as the page sees one, played through `keys.send`. */
const FAKE_KEYBOARD = `
  const input = { name: 'Boathouse keys', state: 'connected', onmidimessage: null }
  globalThis.keys = {
    send: (...data) => input.onmidimessage?.({ data: Uint8Array.from(data), timeStamp: performance.now() }),
    press: async (midi, ms) => {
      keys.send(0x90, midi, 80)
      await new Promise((resolve) => setTimeout(resolve, ms))
      keys.send(0x80, midi, 0)
    },
  }
  navigator.requestMIDIAccess = async () => ({ inputs: new Map([['1', input]]), onstatechange: null })
`

describe('[BR73] from a MIDI keyboard', () => {
  it('note by note into the text, named by the key, with bar lines', async () => {
    const page = await arrive()
    await page.addInitScript(FAKE_KEYBOARD)
    await page.reload()
    await page.getByRole('button', { name: 'Play it in' }).click()
    await page.getByLabel('Key note').selectOption('Bb')
    await page.getByRole('button', { name: 'Connect a MIDI keyboard' }).click()
    await page.getByText('Listening to Boathouse keys.').waitFor()
    await page.evaluate(`(async () => { for (const midi of [58, 62, 63, 65, 66]) await keys.press(midi, 5) })()`)
    await expect.poll(() => page.getByLabel('The notes', { exact: true }).inputValue()).toBe('B, D E F | _G')
    await engraved(page)
    await expect.poll(() => page.locator('.engraved g.note').count()).toBe(5)
  })

  it('in time along with clicks: bars and note values are found', async () => {
    const page = await arrive()
    await page.addInitScript(FAKE_KEYBOARD)
    await page.reload()
    await page.getByRole('button', { name: 'Play it in' }).click()
    await page.getByLabel('Metre').selectOption('3/4')
    await page.getByRole('button', { name: 'Connect a MIDI keyboard' }).click()
    await page.getByLabel('Clicks a minute').fill('150')
    await page.getByRole('button', { name: 'Count me in' }).click()
    // Plays by the page's own count: three beats, then one that lasts a bar.
    await page.evaluate(`(async () => {
      const element = document.querySelector('loft-keyboard')
      const start = () => element.downbeatMs
      while (!(start() > 0)) await new Promise((resolve) => setTimeout(resolve, 10))
      const at = (beat) => new Promise((resolve) => setTimeout(resolve, start() + beat * 400 - performance.now()))
      for (const [beat, midi, ms] of [[0, 65, 360], [1, 67, 360], [2, 69, 360], [3, 72, 1100]]) { await at(beat); await keys.press(midi, ms) }
    })()`)
    await page.getByText('Listening: 4 notes so far').waitFor()
    await page.getByRole('button', { name: 'That was it' }).click()
    await engraved(page)
    const tune = await opened(page)
    expect([tune.metre, tune.tempoBpm]).toEqual([{ beats: 3, beatType: 4 }, 150])
    expect(
      tune.bars.map(({ melody }) => melody.map(({ midi, durationTicks }) => `${midi}:${durationTicks / 5040}`)),
    ).toEqual([['65:1', '67:1', '69:1'], ['72:3']])
  })

  it('without leave, and without Web MIDI, the page says what to do', async () => {
    const page = await arrive()
    await page.addInitScript(
      `navigator.requestMIDIAccess = async () => { throw new DOMException('no', 'NotAllowedError') }`,
    )
    await page.reload()
    await page.getByRole('button', { name: 'Play it in' }).click()
    await page.getByRole('button', { name: 'Connect a MIDI keyboard' }).click()
    await page.getByText('does not let this page listen to keyboards').waitFor()
    await page.addInitScript(`delete Navigator.prototype.requestMIDIAccess; delete navigator.requestMIDIAccess`)
    await page.reload()
    await page.getByRole('button', { name: 'Play it in' }).click()
    await page.getByText('This browser knows no MIDI keyboards').waitFor()
  })
})

describe('[BR74] files that are too much', () => {
  it('are refused in words that name the limit of their kind, before they are read', async () => {
    const page = await arrive()
    const large: readonly (readonly [name: string, content: Buffer, words: RegExp])[] = [
      [
        'long.mid',
        Buffer.concat([waltzMidi(), Buffer.alloc(1.2 * 1024 * 1024)]),
        /long\.mid has 1\.2 MB; a MIDI file may have 1 MB\./,
      ],
      [
        'opera.musicxml',
        Buffer.from(doubtfulMusicXml(2) + ' '.repeat(9 * 1024 * 1024)),
        /a MusicXML file may have 8 MB\./,
      ],
      ['book.abc', Buffer.from(ABC_BOOK + '%'.repeat(9 * 1024 * 1024)), /an ABC file may have 8 MB\./],
      ['letter.pdf', Buffer.from('%PDF-1.7 nothing'), /is no MusicXML, ABC or MIDI file/],
    ]
    for (const [name, content, words] of large) {
      await bring(page, name, content)
      await page.getByRole('alert').filter({ hasText: words }).waitFor()
    }
  })

  it('hostile ones are answered within two seconds, and the page draws on meanwhile', async () => {
    const page = await arrive()
    const hostile: readonly (readonly [string, string])[] = [
      ['deep.musicxml', `<?xml version="1.0"?><score-partwise>${'<part>'.repeat(200_000)}`],
      [
        'bomb.musicxml',
        `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><score-partwise>&b;</score-partwise>`,
      ],
      ['wide.abc', `X:1\nK:C\n${'c'.repeat(300_000)}`],
      ['bars.abc', `X:1\nK:C\n${'"C"c|'.repeat(200_000)}`],
      ['loop.abc', `X:1\nK:C\n${'|:'.repeat(20_000)}c:|`],
    ]
    for (const [name, content] of hostile) {
      await page.evaluate(`(() => {
        globalThis.longestMs = 0
        let before = performance.now()
        const look = () => { const now = performance.now(); longestMs = Math.max(longestMs, now - before); before = now; requestAnimationFrame(look) }
        // The test's own hand-over of the file is over when the page hears of it.
        addEventListener('change', () => { before = performance.now(); longestMs = 0 }, true)
        requestAnimationFrame(look)
      })()`)
      const from = Date.now()
      await bring(page, name, content)
      await page.getByRole('alert').first().waitFor({ timeout: 10_000 })
      const took = Date.now() - from
      expect(took, `${name}: ms until it was answered`).toBeLessThan(2000)
      expect(await page.evaluate<number>('longestMs'), `${name}: ms the page stood still`).toBeLessThan(500)
      await page.reload()
      await page.getByRole('heading', { name: 'Bring a tune' }).waitFor()
    }
  })

  it('what takes longer than half a second says so and can be left; the page works on', async () => {
    const page = await arrive()
    await page.locator('.demo .bars').waitFor()
    // A reader that takes its time: the worker is asked, and held.
    await page.evaluate(`(() => {
      const { theory } = document.querySelector('loft-bring').surroundings
      const ask = theory.ask.bind(theory)
      theory.ask = async (call, ...args) => {
        if (call === 'read') await new Promise((resolve) => setTimeout(resolve, 60_000))
        return ask(call, ...args)
      }
    })()`)
    await bring(page, 'net.abc', NET_MENDER)
    await page.getByText('Reading net.abc').waitFor()
    await page.getByRole('button', { name: 'Cancel' }).click()
    await page.getByRole('heading', { name: 'Bring a tune' }).waitFor()
    await expect.poll(() => page.locator('loft-bring > p[role=status]').innerText()).toContain('net.abc was not read')
  })
})

describe('[BR75] the pages of bringing', () => {
  const states: readonly (readonly [name: string, open: (page: Page) => Promise<void>])[] = [
    [
      'found',
      async (page) => {
        await bring(page, 'ebb.musicxml', doubtfulMusicXml())
        await engraved(page)
        await page.getByRole('button', { name: 'Change the form' }).click()
        await bar(page, 3).click()
        await page.locator('.bardesk').waitFor()
      },
    ],
    [
      'lines',
      async (page) => {
        await bring(page, 'waltz.mid', waltzMidi())
        await engraved(page)
        await page.getByRole('button', { name: 'Change the metre' }).click()
      },
    ],
    [
      'typing',
      async (page) => {
        await page.getByRole('button', { name: 'Type it in' }).click()
        await page.getByLabel('The notes', { exact: true }).fill('"F"F A c A | "Hx"G E3 |')
        await engraved(page)
        await page.locator('.faults li').first().waitFor()
        await page.getByText('How notes are written').click()
      },
    ],
  ]
  it.each(
    [320, 360, 820, 1440].flatMap((width) =>
      states.map(([name, open]) => ({ width, name, open, scheme: width === 360 || width === 1440 ? 'both' : 'light' })),
    ),
  )('$name at $width px', async ({ width, name, open, scheme }) => {
    const page = await arrive({ viewport: { width, height: 900 }, bypassCSP: true })
    await open(page)
    for (const colour of scheme === 'both' ? (['light', 'dark'] as const) : (['light'] as const)) {
      await page.emulateMedia({ colorScheme: colour })
      await page.screenshot({ path: join(SHOTS, `bring-${name}-${width}-${colour}.png`), fullPage: true })
      expect(await axeFindings(page)).toEqual([])
    }
    expect(await sideways(page)).toEqual([])
    expect(await smallTargets(page)).toEqual([])
    expect(await cutOff(page)).toEqual([])
  })

  it('the engraver is fetched with the first sheet, not before', async () => {
    const page = await arrive()
    const asked: string[] = []
    page.on('request', (request) => asked.push(request.url()))
    await page.reload()
    await page.locator('.demo .bars').waitFor()
    await page.waitForLoadState('networkidle')
    const isEngraver = (url: string): boolean => /engraver|verovio/i.test(url)
    expect(asked.filter(isEngraver)).toEqual([])
    await bring(page, 'net.abc', NET_MENDER)
    await engraved(page)
    expect(asked.some(isEngraver)).toBe(true)
  })
})
