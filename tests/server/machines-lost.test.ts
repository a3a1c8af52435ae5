/** Several processes, one room, and some of them lost: nothing that was called saved goes with them. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sayMissing } from './databases.js'
import { Person, type RunningServer, cleanUp, drawFrom, newId, personAt, until } from './harness.js'
import { draftOf, ledgerOf } from './kills.js'
import type { Editor } from './machines.js'
import { type Machines, bandOn, keepEditing, startMachines, untilSame } from './machines.js'

const isThere = sayMissing('two processes on one room: kills, a Redis that is lost, streams and compaction', {
  postgres: true,
  redis: true,
})
const LONG = process.env['LONG'] !== undefined
const seed = Number(process.env['SEED'] ?? 20261126)

describe.skipIf(!isThere)('processes that are lost', () => {
  let machines: Machines
  let [a, b] = [] as unknown as [RunningServer, RunningServer]
  beforeAll(async () => {
    machines = await startMachines()
    a = await machines.start()
    b = await machines.start()
  })
  afterAll(async () => {
    cleanUp()
    await machines.stop()
  })

  it('[RL7] kill −9 of one under load: its people go on at the other, and no saved edit is lost', async () => {
    const rounds = LONG ? 20 : 4
    const draw = drawFrom(seed)
    let saved = 0
    let accepted = 0
    for (let round = 0; round < rounds; round++) {
      const doomed = await machines.start()
      const { board, editors } = await bandOn([doomed, b, doomed, b], `Storm ${round}`)
      const leader = await personAt(doomed, board.links.leader)
      const load = editors.map((editor, index) => keepEditing(editor, `r${round}e${index}`, 6))
      const rows: { commandId: string; seq: number }[] = []
      let isOver = false
      const commanding = (async () => {
        while (!isOver) {
          const commandId = newId()
          const answer = await leader.command('markPrinted', {}, commandId).catch(() => undefined)
          if (!answer) return
          if (answer.status === 200) rows.push({ commandId, seq: answer.body.seq })
        }
      })()
      await until(() => editors.every((editor) => editor.saved.size > 10), 'under load', 30_000)
      await new Promise((resolve) => setTimeout(resolve, draw() * 150))
      await doomed.stop('SIGKILL')
      isOver = true
      await commanding
      await Promise.all(editors.filter((_editor, index) => index % 2 === 0).map((one) => one.move(one.person.at(b))))
      const before = editors.map((editor) => editor.saved.size)
      await until(
        () => editors.every((editor, index) => editor.saved.size > (before[index] ?? 0) + 5),
        'all go on',
        30_000,
      )
      for (const one of load) one.stop()
      await untilSame(editors, `round ${round}: all alike`)
      const wanted = editors.flatMap((editor) => [...editor.saved].filter((key) => key !== ''))
      const reader = await personAt(b, board.links.leader)
      // Read by a process that starts now: what it has comes from the store.
      for (const { wire } of editors) wire.socket.terminate()
      const fresh = await machines.start({ REDIS_URL: '' })
      const cards = (await draftOf(reader.at(fresh))).getMap('cards')
      expect(
        wanted.filter((key) => !cards.has(key)),
        `seed ${seed}, round ${round}`,
      ).toEqual([])
      const entries = await ledgerOf(reader.at(fresh))
      expect(rows.filter(({ commandId, seq }) => entries[seq - 1]?.command.commandId !== commandId)).toEqual([])
      await fresh.stop()
      saved += wanted.length
      accepted += rows.length
    }
    console.log(
      `${rounds} kills of one of two processes: ${saved} saved edits and ${accepted} accepted commands, none lost (seed ${seed})`,
    )
    expect(saved).toBeGreaterThan(rounds * 40)
  }, 900_000)

  it('[RL7] both killed at once: no saved edit is lost, though edits rest on others’', async () => {
    const pair = [await machines.start(), await machines.start()] as const
    const { board, editors } = await bandOn([pair[0], pair[1], pair[0], pair[1]], 'Dark')
    // Letters typed into one text, each after another's: nobody's edit stands alone.
    const load = editors.map((editor, index) => {
      let count = 0
      return setInterval(() => {
        if (!editor.isOpen) return
        const text = editor.doc.getText('notes')
        editor.doc.transact(() => {
          text.insert(text.length, `${index}`)
          editor.set(`t${index}-${count++}`)
        })
      }, 6)
    })
    await until(() => editors.every((editor) => editor.saved.size > 25), 'under load', 30_000)
    await Promise.all(pair.map((server) => server.stop('SIGKILL')))
    for (const timer of load) clearInterval(timer)
    const fresh = await machines.start({ REDIS_URL: '' })
    const cards = (await draftOf(await personAt(fresh, board.links.leader))).getMap('cards')
    const wanted = editors.flatMap((editor) => [...editor.saved].filter((key) => key !== ''))
    expect(wanted.filter((key) => !cards.has(key))).toEqual([])
    await fresh.stop()
  })

  it('[RL7] an edit called saved stands, though it rests on one whose process died before saving it; so does one heard from a dead process and sent again', async () => {
    const slow = await machines.start({ SAVE_EVERY_MS: '1000' })
    const quick = await machines.start()
    const { board, editors } = await bandOn([slow, quick], 'Rests on')
    const [one, other] = editors
    const textOf = (editor: Editor) => editor.doc.getText('notes')
    textOf(one).insert(0, 'ground ')
    await until(() => textOf(other).toJSON() === 'ground ', 'heard')
    const said = other.saved.size
    other.doc.transact(() => {
      textOf(other).insert(7, 'house')
      other.set('house')
    })
    await until(() => other.saved.has('house') || other.saved.size > said + 1, 'called saved')
    expect([...one.saved].filter((key) => key !== '')).toEqual([])
    await slow.stop('SIGKILL')
    await quick.stop('SIGKILL')
    const third = await machines.start({ SAVE_EVERY_MS: '1000' })
    expect((await draftOf(await personAt(third, board.links.leader))).getText('notes').toJSON()).toBe('ground house')
    // Heard by the second process, which has not saved it, and then brought to it again.
    const fourth = await machines.start()
    await one.move(one.person.at(third))
    await other.move(other.person.at(fourth))
    textOf(one).insert(0, 'again ')
    await until(() => textOf(other).toJSON().startsWith('again '), 'heard')
    await third.stop('SIGKILL')
    await one.move(one.person.at(fourth))
    await one.wire.hear(({ type, json }) => type === 17 && json.n >= 1)
    await fourth.stop('SIGKILL')
    const fresh = await machines.start({ REDIS_URL: '' })
    expect((await draftOf(await personAt(fresh, board.links.leader))).getText('notes').toJSON()).toBe(
      'again ground house',
    )
    await fresh.stop()
  })

  it('[RL8] Redis killed and started empty: edits go on being saved, meet in the store meanwhile, and none is lost', async () => {
    const { board, editors } = await bandOn([a, b, a, b], 'Deaf')
    const load = editors.map((editor, index) => keepEditing(editor, `d${index}`, 8))
    for (let round = 0; round < (LONG ? 5 : 2); round++) {
      await until(() => editors.every(({ saved }) => saved.size > 20 * (round + 1)), 'under load', 30_000)
      await machines.redis.kill()
      editors[0].set(`during-${round}`)
      await until(() => editors[1].cards.has(`during-${round}`), 'heard by way of the store', 10_000)
      const ready = await new Person(a).call('GET', '/readyz')
      expect(ready.status).toBe(200)
      await machines.redis.start()
    }
    await until(() => [a, b].every((server) => server.stdout().includes('hear each other again')), 'both are back')
    for (const one of load) one.stop()
    await untilSame(editors, 'all alike')
    const began = performance.now()
    editors[0].set('after')
    await until(() => editors[1].cards.has('after'), 'heard at once again')
    expect(performance.now() - began).toBeLessThan(1000)
    const wanted = editors.flatMap((editor) => [...editor.saved].filter((key) => key !== ''))
    for (const { wire } of editors) wire.socket.terminate()
    const fresh = await machines.start({ REDIS_URL: '' })
    const cards = (await draftOf(await personAt(fresh, board.links.leader))).getMap('cards')
    expect(wanted.filter((key) => !cards.has(key))).toEqual([])
    expect(wanted.length).toBeGreaterThan(80)
    await fresh.stop()
  })

  it('[RL9] streams are trimmed behind the store, and a draft compacted by both processes loses nothing', async () => {
    const both = [await machines.start({ ROOM_IDLE_MS: '200' }), await machines.start({ ROOM_IDLE_MS: '200' })] as const
    const { board, editors } = await bandOn([...both], 'Long')
    const load = editors.map((editor, index) => keepEditing(editor, `l${index}`, 5))
    await until(() => editors.every(({ saved }) => saved.size > 300), 'a long tail', 60_000)
    for (const one of load) one.stop()
    await untilSame(editors, 'alike')
    const wanted = editors.flatMap((editor) => [...editor.saved].filter((key) => key !== ''))
    for (const { wire } of editors) wire.socket.close()
    const tail = async () =>
      Number(
        (
          (await machines.postgres.query(
            machines.env['DATABASE_URL'] ?? '',
            'select count(*) as n from tails where board_id = $1',
            [board.boardId],
          )) as { n: string }[]
        )[0]?.n,
      )
    await until(async () => (await tail()) === 0, 'both rooms are compacted and gone', 20_000)
    const cards = (await draftOf(await personAt(both[1], board.links.leader))).getMap('cards')
    expect(wanted.filter((key) => !cards.has(key))).toEqual([])
    for (const server of both) expect(await server.stop()).toBe(0)
  })
})
