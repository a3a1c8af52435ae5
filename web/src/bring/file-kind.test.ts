import { describe, expect, it } from 'vitest'
import { carried, kindOf } from './file-kind.js'

const bytes = (text: string) => new TextEncoder().encode(text)

describe('[UI13] bringing a file', () => {
  it('goes by content before name', () => {
    expect(kindOf('tune.txt', bytes('X:1\nT:Lantern\nK:F\nFGA|\n'))).toBe('abc')
    expect(kindOf('tune.abc', bytes('MThd\0\0\0\x06'))).toBe('midi')
    expect(kindOf('tune', bytes('\ufeff<?xml version="1.0"?><score-partwise/>'))).toBe('musicxml')
    expect(kindOf('tune.mxl', bytes('PK\x03\x04'))).toBe('musicxml')
    expect(kindOf('letter.pdf', bytes('%PDF-1.7 T: no'))).toBeUndefined()
  })

  it('carries text as text and bytes as base64', () => {
    expect(carried('abc', bytes('X:1\n'))).toEqual({ data: 'X:1\n', encoding: 'utf8' })
    expect(carried('midi', Uint8Array.of(77, 84, 104, 100, 0, 255))).toEqual({ data: 'TVRoZAD/', encoding: 'base64' })
  })
})
