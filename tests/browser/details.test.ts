/** The leader says who plays and in which key; the band reads it, and the charts follow. */
import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type BoardState, keySignatureOf } from '@chartloft/shared-theory'
import { cleanUp, newBoard } from '../server/harness.js'
import { boardOf, comeIn, type House, type Keys, openHouse, type Page, type Seat } from './house.js'
import { NET_MENDER } from './net-mender.js'

let house: House
let keys: Keys
let leader: Seat
let member: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse()
  keys = await boardOf(house, 'Net Mender', NET_MENDER)
  board = `${house.server.url}/b/${keys.boardId}`
  leader = await comeIn(house, keys.leader, 'Maro')
  member = await comeIn(house, keys.member, 'Tove', 'tenor sax')
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

const stateOf = (page: Page): Promise<BoardState> =>
  page.evaluate(() => (document.querySelector('loft-app') as unknown as { room: { board: BoardState } }).room.board)
const player = (page: Page, number: number) => page.locator('.players > li').nth(number - 1)

async function openBand(page: Page): Promise<void> {
  await page.goto(`${board}/band`)
  await page.getByRole('heading', { name: 'Band and key', level: 1 }).waitFor()
}

describe('[UI45] band and key', () => {
  it('the leader gets there from the board and sets the quintet', async () => {
    const { page } = leader
    await page.goto(board)
    await page.getByRole('link', { name: 'Band and key' }).click()
    await page.getByRole('button', { name: 'Quintet, two horns' }).click()
    await page.getByRole('button', { name: 'Save the line-up' }).click()
    await page.getByText('Saved; everybody has it.').waitFor()
    expect((await stateOf(page)).lineup.map(({ id, role }) => [id, role])).toEqual([
      ['trumpet', 'lead'],
      ['tenor-sax', 'horn'],
      ['piano', 'chords'],
      ['bass', 'bass'],
      ['drums', 'drums'],
    ])
  })

  it('players come, go and change places by keys alone; a part gets a number where its name is taken', async () => {
    const { page } = leader
    await page.getByLabel('One more player').selectOption('tenor-sax')
    await page.getByRole('button', { name: 'Add', exact: true }).click()
    const earlier = player(page, 6).getByRole('button', { name: 'Earlier: Tenor sax 2' })
    await earlier.focus()
    for (let step = 0; step < 3; step++) await page.keyboard.press('Enter')
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('Earlier: Tenor sax 2')
    expect(await player(page, 3).getByLabel('Name on the part').inputValue()).toBe('Tenor sax 2')
    await player(page, 3).getByLabel('Name on the part').fill('<b>Tove</b>')
    await page.getByRole('button', { name: 'Save the line-up' }).click()
    await page.getByText('Saved; everybody has it.').waitFor()
    expect((await stateOf(page)).lineup[2]).toEqual({
      id: 'tenor-sax-2',
      instrument: 'tenor-sax',
      name: '<b>Tove</b>',
      role: 'horn',
    })
    await openBand(member.page)
    expect(await member.page.getByText('<b>Tove</b>').first().isVisible()).toBe(true)
    await page.getByRole('button', { name: 'Remove: <b>Tove</b>' }).click()
    await page.getByRole('button', { name: 'Save the line-up' }).click()
    await page.getByText('Saved; everybody has it.').waitFor()
    expect((await stateOf(page)).lineup).toHaveLength(5)
  })

  it('a lead that cannot reach the tune is said, with what to do; a line-up without a lead is not saved', async () => {
    const { page } = leader
    const warning = player(page, 1).locator('.issue')
    await player(page, 1).getByLabel('Instrument').selectOption('flugelhorn')
    expect(await warning.innerText()).toMatch(
      /up to G5, two half steps above what is comfortable for the Flugelhorn\. Choose another key/,
    )
    await player(page, 1).getByLabel('Instrument').selectOption('voice-bass')
    expect(await warning.innerText()).toMatch(/Let the Piano have the tune\./)
    await player(page, 1).getByLabel('In the band').selectOption('voice')
    await page.getByText('Nobody has the tune yet. Say who.').waitFor()
    const save = page.getByRole('button', { name: 'Save the line-up' })
    expect(await save.getAttribute('aria-disabled')).toBe('true')
    await page.getByRole('button', { name: 'Put back what was saved' }).click()
    expect(await player(page, 1).getByLabel('Instrument').inputValue()).toBe('trumpet')
    expect(await player(page, 1).getByLabel('In the band').inputValue()).toBe('lead')
  })

  it('what somebody else saved in the meantime is not written over unasked', async () => {
    const { page } = leader
    const other = await leader.context.newPage()
    await openBand(other)
    await player(page, 1).getByLabel('Name on the part').fill('Cornet of Maro')
    await player(other, 5).getByLabel('Name on the part').fill('Kit')
    await other.getByRole('button', { name: 'Save the line-up' }).click()
    await page.getByText('Somebody else has saved another line-up').waitFor()
    expect(await page.getByRole('button', { name: 'Save the line-up' }).getAttribute('aria-disabled')).toBe('true')
    await page.getByRole('button', { name: 'Take theirs' }).click()
    expect(await player(page, 5).getByLabel('Name on the part').inputValue()).toBe('Kit')
    expect(await player(page, 1).getByLabel('Name on the part').inputValue()).toBe('Trumpet')
    await other.close()
  })

  it('another key is chosen for a singer, with its reason; the written one stays on offer', async () => {
    const { page } = leader
    await page.getByLabel('A key that suits').selectOption({ label: 'Alto' })
    await page.getByRole('list', { name: 'Keys for Alto, best first' }).waitFor()
    await expect.poll(() => page.locator('.keylist li', { hasText: 'as written' }).count()).toBe(1)
    const best = page.locator('.keylist li', { has: page.getByRole('button') }).first()
    const key = await best.locator('b').innerText()
    expect(await best.innerText()).toMatch(/half steps? to spare|too (low|high)/)
    await best.getByRole('button').click()
    await page.locator('loft-key').getByText(`It is in ${key} now.`).waitFor()
    expect(await page.locator('.keylist li', { hasText: key }).locator('.nowkey').innerText()).toBe('now')
    expect(await page.locator('.keylist').getByText('as written').count()).toBe(1)
    const { key: asked } = await stateOf(page)
    expect(asked?.replaceAll('b', '♭')).toBe(key)
  })

  it('a solo gets its player and its number of choruses; rights are said', async () => {
    const { page } = leader
    const solo = page.getByRole('group', { name: 'Solos' })
    await solo.getByLabel('Who solos').selectOption({ label: 'Tenor sax' })
    await solo.getByLabel('How often').selectOption({ label: 'twice' })
    await solo.getByLabel('until the cue').check()
    await page.getByRole('button', { name: 'Save who plays when' }).click()
    await expect
      .poll(async () => (await stateOf(page)).roadmap.find(({ kind }) => kind === 'solo'))
      .toMatchObject({
        soloist: 'tenor-sax',
        times: 2,
        open: true,
      })
    await page.getByRole('radio', { name: 'Somebody else’s' }).check()
    await page.getByRole('button', { name: 'Say so' }).click()
    await page.locator('loft-rights').getByText('Somebody else’s tune, with permission.').waitFor()
    expect(await page.locator('loft-rights .care').innerText()).toMatch(/permission from its rights holder/)
  })

  it('a soloist who takes up another instrument stays the soloist', async () => {
    const { page } = leader
    for (const instrument of ['alto-sax', 'tenor-sax']) {
      await player(page, 2).getByLabel('Instrument').selectOption(instrument)
      await page.getByRole('button', { name: 'Save the line-up' }).click()
      await expect
        .poll(async () => (await stateOf(page)).roadmap.find(({ kind }) => kind === 'solo')?.soloist)
        .toBe(instrument)
      expect((await stateOf(page)).lineup[1]?.id).toBe(instrument)
    }
    expect(await page.getByText('Somebody else has saved').count()).toBe(0)
  })

  it('a member reads all of it and finds nothing to change it with', async () => {
    const { page } = member
    await openBand(page)
    const read = (await page.locator('loft-details').innerText()).replaceAll(/\s+/g, ' ')
    const { key } = await stateOf(page)
    for (const fact of [
      'Trumpet has the tune',
      'Tenor sax',
      'Kit',
      'Tenor sax solos, twice, until the cue',
      'with permission',
    ])
      expect(read).toContain(fact)
    expect(read).toContain(`It is in ${key?.replaceAll('b', '♭')} now.`)
    expect(await page.locator('loft-details').locator('button, select, input').count()).toBe(0)
  })

  it('the charts offer the tenor sax part, written a ninth up in the new key', async () => {
    const { page } = member
    await page.getByRole('link', { name: 'Charts' }).click()
    await page.locator('.sheet svg').first().waitFor({ timeout: 60_000 })
    await page.getByLabel('Chart', { exact: true }).selectOption({ label: 'Tenor sax' })
    await page
      .locator('.sheets[aria-label="Tenor sax"][aria-busy=false] .sheet svg')
      .first()
      .waitFor({ timeout: 60_000 })
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Tenor sax, MusicXML' }).click(),
    ])
    expect(download.suggestedFilename()).toBe('net-mender-tenor-sax.musicxml')
    const xml = readFileSync(await download.path(), 'utf8')
    const transpose = /<transpose>(.*?)<\/transpose>/s.exec(xml)?.[1] ?? ''
    const number = (name: string) => Number(new RegExp(`<${name}>(-?\\d+)</${name}>`).exec(transpose)?.[1] ?? 0)
    expect(number('chromatic') + 12 * number('octave-change')).toBe(-14)
    const { key } = await stateOf(page)
    const written = Number(/<fifths>(-?\d+)<\/fifths>/.exec(xml)?.[1])
    // A tone up is two fifths; enharmonic spelling may turn the circle once.
    expect((written - keySignatureOf(key ?? '').fifths - 2) % 12).toBe(0)
  })

  it('the server refuses each of these commands from a member, and nothing changes', async () => {
    const before = await stateOf(leader.page)
    const statuses = await member.page.evaluate(
      async ({ id, commands }) => {
        const answers = await Promise.all(
          commands.map((command) =>
            fetch(`/api/boards/${id}/commands`, {
              method: 'POST',
              headers: { 'content-type': 'application/json' },
              body: JSON.stringify({ commandId: `member-tries-${command.kind}`, baseSeq: 9999, ...command }),
            }),
          ),
        )
        return answers.map(({ status }) => status)
      },
      {
        id: keys.boardId,
        commands: [
          { kind: 'setLineup', lineup: before.lineup.slice(1) },
          { kind: 'setKey', key: 'C major' },
          { kind: 'setRights', rights: 'own' },
          { kind: 'setRoadmap', roadmap: before.roadmap },
        ],
      },
    )
    expect(statuses).toEqual([403, 403, 403, 403])
    await leader.page.reload()
    await leader.page.locator('.players').waitFor()
    expect(await stateOf(leader.page)).toEqual(before)
  })

  it('a board without a tune has a line-up all the same', async () => {
    const { links } = await newBoard(house.server, 'Nothing yet')
    const someone = await comeIn(house, house.server.url + links.leader, 'Maro')
    await someone.page.getByRole('link', { name: 'Band and key' }).click()
    await someone.page.getByRole('button', { name: 'Duo, voice and piano' }).click()
    await someone.page.getByRole('button', { name: 'Save the line-up' }).click()
    await someone.page.getByText('Saved; everybody has it.').waitFor()
    expect((await stateOf(someone.page)).lineup.map(({ name }) => name)).toEqual(['Voice', 'Piano'])
    expect(someone.complaints).toEqual([])
  })

  it('no page complained', () => {
    const all = [leader, member].flatMap(({ complaints }) => complaints)
    // A refused fetch is logged by the browser itself.
    expect(all.filter((text) => !/status of 403/.test(text))).toEqual([])
  })
})
