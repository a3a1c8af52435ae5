import { describe, expect, it } from 'vitest'
import { boardPath, deskPath, historyPath, routeOf, tokenIn } from './route.js'

describe('[UI9] addresses', () => {
  it('name every page, and read back what they were made from', () => {
    expect(routeOf('/')).toEqual({ kind: 'bring' })
    expect(routeOf(boardPath('x1'))).toEqual({ kind: 'board', boardId: 'x1', page: 'board' })
    expect(routeOf(boardPath('x1', 'charts'))).toEqual({ kind: 'board', boardId: 'x1', page: 'charts' })
    expect(routeOf(deskPath('x1', 'harmony@chorus-1/A3:0+8'))).toEqual({
      kind: 'board',
      boardId: 'x1',
      page: 'board',
      slotKey: 'harmony@chorus-1/A3:0+8',
    })
  })

  it('name a state of the history, and two of them', () => {
    expect(routeOf(historyPath('x1', '3-now'))).toEqual({ kind: 'board', boardId: 'x1', page: 'history', at: '3-now' })
    expect(routeOf(boardPath('x1', 'history'))).toEqual({ kind: 'board', boardId: 'x1', page: 'history' })
    expect(routeOf('/b/x1/charts/7').kind).toBe('nowhere')
  })

  it('lead nowhere when they name nothing', () => {
    expect(routeOf('/x/1').kind).toBe('nowhere')
    expect(routeOf('/b/x1/nonsense').kind).toBe('nowhere')
    expect(routeOf('/b/x1/decide/%E0%A4%A').kind).toBe('board')
  })

  it('carry the key in the fragment only', () => {
    expect(tokenIn('#abcdefghijklmnopqrstuv')).toBe('abcdefghijklmnopqrstuv')
    expect(tokenIn('#main')).toBeUndefined()
    expect(tokenIn('')).toBeUndefined()
  })
})
