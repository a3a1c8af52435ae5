import { describe, expect, it } from 'vitest'
import type { Chord } from '../contract/index.js'
import { formatChord, parseChord } from './index.js'

const ACCEPTED =
  'C Cm C- Cmin Cmi C+ Caug C° Cdim Co C°7 Cø Cø7 Cm7b5 C-7(b5) Cmaj7 CM7 CMa7 Cma7 CΔ CΔ7 C7 C6 C6/9 C69 Cm6 C9 C11 C13 Cm9 CmMaj7 Cm(maj7) C-Δ7 Csus Csus2 Csus4 C7sus C7sus4 C9sus C13sus C7sus4(b9) Cadd9 C(add9) C2 Cm(add9) C7b9 C7(b9) C7#9 C7b5 C7#5 C7+ C+7 C7alt Calt C7#11 C7(#11) C13(#11) C13(b9) C7(b9,#11) C7b9#11 C7(b9b13) Cmaj7(#11) Cmaj7#5 C(no3) C5 C7(no5) C7(omit3) C7-9 C7+9 Co9 C6(9) C7(b9/#11) Cmaj7+5 C13sus4b9 Cm11b5 C7b9sus CmMaj9 C-maj7 Cm6/9 C+maj7 C(b5) Csus4add9 C/E Bb7/F'.split(
    ' ',
  )

describe('chord symbols', () => {
  it.each(ACCEPTED)('[CH1] reads %s and writes it back in both styles', (text) => {
    const read = parseChord(text)
    expect(read).toMatchObject({ ok: true })
    const value = (read as { value: Chord }).value
    expect(parseChord(formatChord(value))).toEqual({ ok: true, value })
    expect(parseChord(formatChord(value, 'symbols'))).toEqual({ ok: true, value })
  })
})
