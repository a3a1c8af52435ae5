/** Pages in the states people meet besides the quiet one: forms open, errors, no network, ended, votes closed, tied and hidden, the other language. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { cleanUp, newBoard, personAt } from '../server/harness.js'
import { editByHand, option, typeChord } from './desk.js'
import { boardOf, comeIn, demoKeys, type House, type Keys, openDesk, openHouse, type Seat, slotKeyOf } from './house.js'
import { seat } from './browser.js'
import { NET_MENDER } from './net-mender.js'
import { axeFindings, cutOff, sideways, smallTargets } from './seen.js'

let house: House
let keys: Keys
let leader: Seat
let board = ''

beforeAll(async () => {
  house = await openHouse(['--demo'])
  keys = await demoKeys(house)
  board = `${house.server.url}/b/${keys.boardId}`
  leader = await comeIn(house, keys.leader, 'Maro Quill', 'piano', { bypassCSP: true })
})
afterAll(async () => {
  await house?.browser.close()
  cleanUp()
})

/** Looks at a page as it stands now, on a phone and on a desk, by day and on stage. */
async function look(page: Page): Promise<{ readonly [where: string]: readonly string[] }> {
  const found: { [where: string]: readonly string[] } = {}
  for (const [width, colorScheme] of [
    [360, 'light'],
    [360, 'dark'],
    [1440, 'light'],
    [1440, 'dark'],
  ] as const) {
    await page.setViewportSize({ width, height: width === 360 ? 740 : 950 })
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
    const wrong = [...(await axeFindings(page))]
    if (colorScheme === 'light')
      wrong.push(...(await sideways(page)), ...(await cutOff(page)), ...(await smallTargets(page)))
    if (wrong.length > 0) found[`${width} ${colorScheme}`] = wrong
  }
  return found
}

/** Somebody else at the demo board, who may use axe too. */
const newcomer = () => seat(house.browser, { bypassCSP: true })

describe('[BR4] in any state axe finds nothing, nothing sticks out or is cut off, and everything can be hit', () => {
  it('before somebody has a name, and without a key', async () => {
    const { page, context } = await newcomer()
    await page.goto(board)
    await page.getByRole('heading', { level: 1 }).waitFor()
    expect(await look(page), 'no session').toEqual({})
    await page.goto(`${board}#${'x'.repeat(30)}`)
    await page.getByRole('heading', { name: 'This link does not open a board' }).waitFor()
    expect(await look(page), 'a wrong key').toEqual({})
    await page.goto('about:blank')
    await page.goto(keys.member)
    await page.locator('.whoami').waitFor()
    expect(await look(page), 'no name yet').toEqual({})
    await context.close()
  })

  it('an empty board, for the leader and for a member', async () => {
    const empty = await newBoard(house.server, 'Nothing brought yet')
    for (const link of [empty.links.leader, empty.links.member]) {
      const { page, context } = await newcomer()
      await page.goto(house.server.url + link)
      await page.getByRole('heading', { name: 'Nothing brought yet' }).waitFor()
      expect(await look(page)).toEqual({})
      await context.close()
    }
  })

  it('a desk with a chord being edited, a refused one, a comment being written, a vote being prepared, an answer about to be locked', async () => {
    const { page } = leader
    await openDesk(page, board, await slotKeyOf(page, board, 'ending'))
    const [place = ''] = await editByHand(page, 1)
    expect(await look(page), 'editing').toEqual({})
    await typeChord(page, 1, place, 'Zebra')
    await option(page, 1).locator('[role=alert]').waitFor()
    expect(await look(page), 'no chord').toEqual({})
    await page.getByRole('button', { name: 'Say something at a bar' }).click()
    await page.getByLabel('What do you want to say?').waitFor()
    expect(await look(page), 'commenting').toEqual({})
    await page.getByRole('button', { name: 'Ask everybody' }).click()
    await page.locator('loft-open-poll form').waitFor()
    expect(await look(page), 'asking').toEqual({})
    await page.locator('loft-lock form input[type=radio]').first().check()
    await page.locator('loft-option summary').first().click()
    expect(await look(page), 'about to lock').toEqual({})
  })

  it('settings open, the list of keys open, and the band playing', async () => {
    const { page } = leader
    await page.setViewportSize({ width: 1440, height: 950 })
    await page.goto(board)
    await page.getByRole('button', { name: 'My part and practice' }).click()
    await page.locator('#player-more #my-part').waitFor()
    expect(await look(page), 'settings').toEqual({})
    await page.setViewportSize({ width: 360, height: 640 })
    const go = await page.locator('.player .go').boundingBox()
    expect(go && go.y >= 0 && go.y + go.height <= 640, 'play is in view on a small phone').toBe(true)
    await page.setViewportSize({ width: 1440, height: 950 })
    await page.locator('main').press('?')
    await page.getByRole('dialog', { name: 'Keys to press' }).waitFor()
    expect(await look(page), 'keys').toEqual({})
    await page.keyboard.press('Escape')
    await page.getByRole('dialog').waitFor({ state: 'hidden' })
    await page.getByRole('button', { name: 'Play', exact: true }).click()
    await page.locator('loft-pass .bar.now').first().waitFor()
    expect(await look(page), 'playing').toEqual({})
    await page.getByRole('button', { name: 'Stop', exact: true }).click()
  })

  it('a link shown with its code', async () => {
    const { page } = leader
    await page.goto(`${board}/people`)
    await page.getByLabel('A note, so that you know it again').fill('for the second trumpet')
    await page.getByRole('button', { name: 'Make the link' }).click()
    await page.getByRole('button', { name: 'QR code: Band' }).click()
    await page.getByRole('img', { name: 'QR code: Band' }).waitFor()
    expect(await look(page)).toEqual({})
  })

  it('no network, with edits that wait, and a command refused', async () => {
    const { page, context } = await comeIn(house, keys.leader, 'Maro Quill', 'piano', { bypassCSP: true })
    await openDesk(page, board, await slotKeyOf(page, board, 'opening'))
    await context.setOffline(true)
    await page.getByRole('button', { name: 'Hear option 1' }).click()
    await page.locator('.kept[data-state=offline]').waitFor({ timeout: 20_000 })
    await page.locator('loft-lock form input[type=radio]').first().check()
    await page.locator('loft-lock form button.main').click()
    await page.locator('.trouble').waitFor()
    expect(await look(page)).toEqual({})
    await context.close()
  })

  it('a link taken back, and a board deleted', async () => {
    const other = await boardOf(house, 'Net Mender', NET_MENDER)
    const there = other.leader.replace(house.server.url, '')
    const owner = await personAt(house.server, there, 'Odda')
    const [member, own] = [await newcomer(), await newcomer()]
    await member.page.goto(other.member)
    await member.page.locator('loft-pass').first().waitFor()
    await own.page.goto(other.leader)
    await own.page.locator('loft-pass').first().waitFor()
    const linkId = await own.page.evaluate(() => {
      const { room } = document.querySelector('loft-app') as unknown as {
        room: { board: { links: { linkId: string; role: string }[] } }
      }
      return room.board.links.find(({ role }) => role === 'member')?.linkId
    })
    const revoked = await owner.command('revokeLink', { linkId, baseSeq: await owner.seq() })
    expect(revoked.status).toBe(200)
    await member.page.locator('.trouble').waitFor()
    expect(await look(member.page), 'taken back').toEqual({})
    await member.context.close()
    await owner.call('DELETE', `/api/boards/${other.boardId}`, { title: 'Net Mender' })
    await own.page.locator('.trouble').waitFor()
    expect(await look(own.page), 'deleted').toEqual({})
    await own.context.close()
  })

  it('votes: hidden, by marks, closed, and closed with a tie', async () => {
    const ask = await personAt(house.server, keys.leader.replace(house.server.url, ''), 'Maro Quill')
    const first = (await ask.call('GET', `/api/boards/${keys.boardId}/polls`)).body.polls[0] as { pollId: string }
    const { options } = (await ask.call('GET', `/api/polls/${first.pollId}`)).body as { options: unknown[] }
    const open = async (fields: object): Promise<string> => {
      const answer = await ask.command('openPoll', {
        question: 'Which one?',
        audience: 'everyone',
        tally: 'afterClose',
        method: 'single',
        options,
        baseSeq: await ask.seq(),
        ...fields,
      })
      if (answer.status !== 200) throw new Error(JSON.stringify(answer.body))
      const { polls } = (await ask.call('GET', `/api/boards/${keys.boardId}/polls`)).body as {
        polls: { pollId: string }[]
      }
      return polls.at(-1)?.pollId ?? ''
    }
    const { page, context } = await newcomer()
    await page.goto(keys.listener)
    await page.waitForURL(/\/p\//)
    for (const [name, fields] of [
      ['hidden', {}],
      ['by marks', { method: 'score' }],
    ] as const) {
      await page.goto(`${house.server.url}/p/${keys.boardId}/${await open(fields)}`)
      await page.locator('.answer').first().waitFor()
      expect(await look(page), name).toEqual({})
    }
    const tied = await open({})
    const [one, two] = options as [{ id: string }, { id: string }]
    const voters = await Promise.all(
      [one.id, two.id].map(async (id) => {
        const voter = await personAt(house.server, keys.listener.replace(house.server.url, ''))
        return voter.call('POST', `/api/polls/${tied}/ballots`, {
          ballotId: `ballot-${id}`.slice(0, 30),
          choices: [id],
        })
      }),
    )
    expect(voters.map(({ status }) => status)).toEqual([200, 200])
    await ask.command('closePoll', { pollId: tied, baseSeq: await ask.seq() })
    await page.goto(`${house.server.url}/p/${keys.boardId}/${tied}`)
    await page.getByText('level').waitFor()
    expect(await look(page), 'tied').toEqual({})
    await context.close()
  })

  it('in German: the board, a desk, the people, a vote', async () => {
    const { page, context } = await seat(house.browser, { bypassCSP: true, locale: 'de-DE' })
    await page.goto(keys.leader)
    await page.getByLabel('Wie nennt dich die Band?').fill('Jorun')
    await page.getByRole('button', { name: 'Das bin ich' }).click()
    for (const [path, ready] of [
      ['', 'loft-pass ol.bars'],
      [`/decide/${encodeURIComponent(await slotKeyOf(page, board, 'lift'))}`, 'loft-option ol.bars'],
      ['/people', 'main h1'],
      ['/history', 'loft-history li'],
      ['/band', '.keylist li'],
    ] as const) {
      await page.goto(board + path)
      await page.locator(ready).first().waitFor({ timeout: 30_000 })
      expect(await look(page), path).toEqual({})
    }
    await context.close()
  })
})
