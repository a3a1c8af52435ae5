import { describe, expect, it } from 'vitest'
import { Cell, derive } from './cell.js'

describe('[UI1] watched values', () => {
  it('tells every watcher once per change, none for the same value, none after leaving', () => {
    const cell = new Cell(1)
    const heard: number[] = []
    const leave = cell.watch((value) => heard.push(value))
    cell.set(2)
    cell.set(2)
    leave()
    cell.set(3)
    expect(heard).toEqual([2])
    expect(cell.value).toBe(3)
  })

  it('works a derived value out once for several changes of one round', async () => {
    const a = new Cell(1)
    const b = new Cell(10)
    let computed = 0
    const sum = derive([a, b], () => {
      computed++
      return a.value + b.value
    })
    a.set(2)
    b.set(20)
    await Promise.resolve()
    expect(sum.value).toBe(22)
    expect(computed).toBe(2)
  })
})
