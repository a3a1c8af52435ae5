import { describe, expect, it } from 'vitest'
import { askToTakeOver } from './register.js'
import { cacheName, handlingOf, isAskedByOwnPage, keptAhead, oldCaches, oldSounds } from './shell-cache.js'

const HERE = 'https://band.example'
const kept = new Set(['/icon.svg'])
const handling = (path: string, more: { method?: string; mode?: string } = {}) =>
  handlingOf({ method: 'GET', mode: 'no-cors', url: new URL(path, HERE).href, ...more }, HERE, kept)

describe('[OF1] the service worker', () => {
  it('answers board addresses with the newest page, else the kept one', () => {
    for (const path of ['/', '/b/x1', '/b/x1/decide/lift', '/b/x1/charts'])
      expect(handling(path, { mode: 'navigate' })).toBe('page')
  })

  it('takes over for a page of its own files, and never from under one of the version before', () => {
    const files = new Set(['/assets/index-NEW1.js', '/index.html'])
    expect(isAskedByOwnPage(askToTakeOver('/assets/index-NEW1.js'), files)).toBe(true)
    expect(isAskedByOwnPage(askToTakeOver('/assets/index-OLD1.js'), files)).toBe(false)
    for (const other of ['take-over', 'skip', undefined, { kind: 'take-over' }])
      expect(isAskedByOwnPage(other, files)).toBe(false)
  })

  it('answers hashed files and the icon from what is kept', () => {
    expect(handling('/assets/index-B9Su.js')).toBe('kept-first')
    expect(handling('/icon.svg')).toBe('kept-first')
  })

  it.each([
    ['/api/session?board=x1', {}],
    ['/api/boards/x1/ledger?after=0', {}],
    ['/api/polls/p1', {}],
    ['/api/boards/x1/commands', { method: 'POST' }],
    ['/ws/x1', {}],
    ['/p/x1', { mode: 'navigate' }],
    ['/metrics', {}],
    ['https://elsewhere.example/assets/a.js', {}],
    ['/assets/a.js', { method: 'HEAD' }],
  ])('leaves %s alone: nothing of a board is ever cached', (path, more) => {
    expect(handling(path, more)).toBe('leave')
  })

  it('fetches ahead what the board’s pages need, neither the engraver nor the poll page', () => {
    const files = [
      { path: '/index.html', bytes: 900 },
      { path: '/poll.html', bytes: 700 },
      { path: '/assets/poll-DcR0EN6K.css', bytes: 15_000 },
      { path: '/assets/loft-polls-CZ5VW1KB.js', bytes: 1200 },
      { path: '/assets/theory-worker-x.js', bytes: 515_000 },
      { path: '/assets/engraver-worker-x.js', bytes: 8_200_000 },
      { path: '/assets/index-x.js.gz', bytes: 50_000 },
      { path: '/service-worker.js', bytes: 2000 },
    ]
    expect(keptAhead(files)).toEqual(['/assets/loft-polls-CZ5VW1KB.js', '/assets/theory-worker-x.js', '/index.html'])
  })

  it('[AU13] keeps sounds from their first use on, over versions of the pages, and drops those no version uses', () => {
    expect(handling('/sounds/piano-06a22aba48.ogg')).toBe('sound')
    expect(
      keptAhead([
        { path: '/sounds/piano-06a22aba48.ogg', bytes: 9000 },
        { path: '/sounds/piano-a75a6dd449.json', bytes: 900 },
      ]),
    ).toEqual([])
    const kept = [`${HERE}/sounds/piano-old.ogg`, `${HERE}/sounds/piano-new.ogg`]
    expect(oldSounds(kept, ['/sounds/piano-new.ogg'])).toEqual([kept[0]])
  })

  it('removes its own caches of other versions and nobody else’s', () => {
    expect(oldCaches([cacheName('a'), cacheName('b'), 'fonts-of-another'], 'b')).toEqual([cacheName('a')])
  })
})
