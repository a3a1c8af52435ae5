import { describe, expect, it } from 'vitest'
import { askEarly, earlyAnswer, sessionQuestion } from './early-session.js'

const TOKEN = 'k'.repeat(43)

/** A page opened at an address whose server answers with this. */
function opened(pathname: string, hash: string, told: object, name = '') {
  const asked: { path: string; body: unknown }[] = []
  const sentTo: string[] = []
  const getItem = () => (name ? JSON.stringify({ name }) : null)
  askEarly({
    location: { pathname, hash, replace: (to) => void sentTo.push(String(to)) },
    storage: { getItem } as unknown as Storage,
    fetch: async (path, { body }) => {
      asked.push({ path, body: typeof body === 'string' ? JSON.parse(body) : body })
      return Response.json(told)
    },
  })
  return { asked, sentTo }
}
const settled = () => new Promise((resolve) => setTimeout(resolve, 5))

describe('[SY7] a page’s first question', () => {
  it('goes out once, with the link’s key and the name this browser knows, and the page takes its answer', async () => {
    const { asked, sentTo } = opened('/b/x1', `#${TOKEN}`, { boardId: 'x1', role: 'member' }, 'Tove')
    expect(asked).toEqual([{ path: '/api/session', body: { token: TOKEN, name: 'Tove', withState: true } }])
    const answer = await earlyAnswer(sessionQuestion('x1', TOKEN, 'Tove'))
    expect(await answer?.json()).toEqual({ boardId: 'x1', role: 'member' })
    expect(earlyAnswer(sessionQuestion('x1', TOKEN, 'Tove'))).toBeUndefined()
    await settled()
    expect(sentTo).toEqual([])
  })
  it('asks by the cookie where the address has no key', async () => {
    const { asked } = opened('/b/x1/charts', '', { boardId: 'x1', role: 'leader' })
    expect(asked).toEqual([{ path: '/api/session?board=x1&state', body: undefined }])
    expect(earlyAnswer(sessionQuestion('x1', undefined, ''))).toBeDefined()
  })
  it('is no answer to another question', () => {
    opened('/b/x1', `#${TOKEN}`, { boardId: 'x1', role: 'member' })
    expect(earlyAnswer(sessionQuestion('x1', 'y'.repeat(43), ''))).toBeUndefined()
  })
  it('sends a listener on to the listeners’ page', async () => {
    const { sentTo } = opened('/b/x1', `#${TOKEN}`, { boardId: 'x1', role: 'listener' })
    await settled()
    expect(sentTo).toEqual(['/p/x1'])
  })
  it('is not asked where no board is', () => {
    expect(opened('/', '', {}).asked).toEqual([])
    expect(opened('/p/x1', '', {}).asked).toEqual([])
  })
})
