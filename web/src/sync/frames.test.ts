import { describe, expect, it } from 'vitest'
import { draftFrame } from './frames.js'

describe('[SY2] frames that the server counts', () => {
  it('are sync step 2 and updates, nothing else', () => {
    expect(draftFrame(Uint8Array.of(0, 1, 0))).toBe('step2')
    expect(draftFrame(Uint8Array.of(0, 2, 0))).toBe('update')
    expect(draftFrame(Uint8Array.of(0, 0, 0))).toBeUndefined()
    expect(draftFrame(Uint8Array.of(1, 2))).toBeUndefined()
    expect(draftFrame(Uint8Array.of(16, 2))).toBeUndefined()
  })
})
