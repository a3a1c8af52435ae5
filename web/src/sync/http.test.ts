import { describe, expect, it } from 'vitest'
import { Api, CallError } from './http.js'

const answering = (...answers: (Response | Error)[]) => {
  const calls: { path: string; body: unknown }[] = []
  const fetch = (path: string, init?: RequestInit) => {
    calls.push({ path, body: init?.body ? JSON.parse(init.body as string) : undefined })
    const answer = answers[Math.min(calls.length, answers.length) - 1]
    return answer instanceof Error ? Promise.reject(answer) : Promise.resolve(answer)
  }
  let id = 0
  return { calls, api: new Api(fetch, () => `id-${++id}`) }
}

describe('[SY1] calls to the server', () => {
  it('sends a command again with the same id when the connection broke', async () => {
    const { api, calls } = answering(new TypeError('network'), Response.json({ seq: 7 }))
    expect(await api.command('b1', 'setRights', { rights: 'own' })).toEqual({ seq: 7 })
    expect(calls.map((call) => call.body)).toEqual([
      { commandId: 'id-1', kind: 'setRights', rights: 'own' },
      { commandId: 'id-1', kind: 'setRights', rights: 'own' },
    ])
  })

  it('turns a refusal into its code, words and issues', async () => {
    const issues = [{ code: 'VA3', severity: 'error', path: 'bars/3', message: 'Bar 4: …' }]
    const { api } = answering(Response.json({ error: { code: 'invalid', message: 'no', issues } }, { status: 422 }))
    const refused = await api.vote('p', ['a']).catch((error: unknown) => error)
    expect(refused).toBeInstanceOf(CallError)
    expect(refused).toMatchObject({ code: 'invalid', message: 'no', issues })
  })

  it('says something useful where the answer is no JSON', async () => {
    const { api } = answering(new Response('<html>', { status: 502 }))
    await expect(api.session('b')).rejects.toMatchObject({
      code: 'unavailable',
      message: expect.stringContaining('502'),
    })
  })

  it('reads a long ledger page by page', async () => {
    const row = (seq: number) => ({ seq, at: 0, by: {}, command: {} })
    const { api, calls } = answering(
      Response.json({ entries: [row(1), row(2)], seq: 3, more: true }),
      Response.json({ entries: [row(3)], seq: 3 }),
    )
    expect((await api.ledger('b', 0)).map((entry) => entry.seq)).toEqual([1, 2, 3])
    expect(calls[1]?.path).toBe('/api/boards/b/ledger?after=2')
  })

  it('asks for a poll’s options once, and again where they stand elsewhere', async () => {
    const options = [{ id: 'a', title: 'As it is' }]
    const known = { pollId: 'p', optionsPath: '/api/polls/p/options/1', options }
    const { api, calls } = answering(
      Response.json(known),
      Response.json({ pollId: 'p', optionsPath: '/api/polls/p/options/1', open: false }),
      Response.json({ pollId: 'p', optionsPath: '/api/polls/p/options/2', open: false }),
      Response.json({ options: [] }),
    )
    const first = await api.poll('p')
    expect(await api.poll('p', first)).toMatchObject({ open: false, options })
    expect(await api.poll('p', first)).toMatchObject({ open: false, options: [] })
    expect(calls.map(({ path }) => path)).toEqual([
      '/api/polls/p',
      '/api/polls/p/state',
      '/api/polls/p/state',
      '/api/polls/p/options/2',
    ])
  })
})
