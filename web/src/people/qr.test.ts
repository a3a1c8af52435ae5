import { describe, expect, it } from 'vitest'
import { checkWords, formatBits, qrCode, qrPath, versionBits } from './qr.js'

describe('[UI46] a link as a QR code', () => {
  it('has the check words of a worked example', () => {
    // "HELLO WORLD" at 1-M, an example found in many introductions; from memory.
    const data = [32, 91, 11, 120, 209, 114, 220, 77, 67, 64, 236, 17, 236, 17, 236, 17]
    expect(checkWords(data, 10)).toEqual([196, 35, 39, 119, 235, 215, 231, 226, 93, 23])
  })

  it('has the format and version words of the standard', () => {
    // ISO/IEC 18004, tables C.1 (level M, masks 0 to 7) and D.1 (versions 7 to 10); from memory.
    expect(Array.from({ length: 8 }, (_, mask) => formatBits(mask).toString(2).padStart(15, '0'))).toEqual([
      '101010000010010',
      '101000100100101',
      '101111001111100',
      '101101101001011',
      '100010111111001',
      '100000011001110',
      '100111110010111',
      '100101010100000',
    ])
    expect([7, 8, 9, 10].map((version) => versionBits(version))).toEqual([0x07c94, 0x085bc, 0x09a99, 0x0a4d3])
  })

  it('holds what was put in, at every size, and says where a text is too long', () => {
    for (const length of [1, 14, 15, 26, 27, 42, 43, 62, 63, 84, 85, 106, 107, 122, 123, 152, 153, 180, 181, 213]) {
      const text = Array.from({ length }, (_, at) => String.fromCharCode(33 + ((at * 37 + length) % 90))).join('')
      expect(read(qrCode(text) ?? []), `${length} bytes`).toBe(text)
    }
    expect(qrCode('x'.repeat(214))).toBeUndefined()
  })

  it('is drawn with four light modules around it', () => {
    const path = qrPath([[true, false]])
    expect(path).toBe('M4 4h1v1h-1z')
  })
})

const DATA = [
  [16],
  [28],
  [44],
  [32, 32],
  [43, 43],
  Array(4).fill(27),
  Array(4).fill(31),
  [38, 38, 39, 39],
  [36, 36, 36, 37, 37],
  [43, 43, 43, 43, 44],
]

/** Reads a code the other way round: mask from the format beside the upper left finder, modules in their order, blocks apart. */
function read(code: readonly (readonly boolean[])[]): string {
  const size = code.length
  const version = (size - 17) / 4
  const at = (row: number, column: number) => code[row]?.[column] === true
  const format = [0, 1, 2, 3, 4, 5, 7, 8].reduce((bits, row, bit) => bits | (Number(at(row, 8)) << bit), 0)
  const mask = Array.from({ length: 8 }, (_, one) => one).find((one) => (formatBits(one) & 0xff) === format)
  const centres = version === 1 ? [] : version < 7 ? [6, size - 7] : [6, (size - 1) / 2, size - 7]
  const isFixed = (row: number, column: number): boolean =>
    row === 6 ||
    column === 6 ||
    (row < 9 && (column < 9 || column > size - 9)) ||
    (column < 9 && row > size - 9) ||
    (version >= 7 && ((row < 6 && column > size - 12) || (column < 6 && row > size - 12))) ||
    centres.some((y) =>
      centres.some(
        (x) =>
          !((y === 6 && x === 6) || (y === 6 && x === size - 7) || (y === size - 7 && x === 6)) &&
          Math.abs(row - y) < 3 &&
          Math.abs(column - x) < 3,
      ),
    )
  const isFlipped = (i: number, j: number): boolean =>
    [
      (i + j) % 2,
      i % 2,
      j % 3,
      (i + j) % 3,
      ((i >> 1) + Math.floor(j / 3)) % 2,
      ((i * j) % 2) + ((i * j) % 3),
      (((i * j) % 2) + ((i * j) % 3)) % 2,
      (((i + j) % 2) + ((i * j) % 3)) % 2,
    ][mask as number] === 0
  const bits: number[] = []
  const pairs: number[] = []
  for (let right = size - 1; right > 0; right -= right === 8 ? 3 : 2) pairs.push(right)
  pairs.forEach((right, turn) => {
    for (let step = 0; step < size; step++) {
      const row = turn % 2 === 0 ? size - 1 - step : step
      for (const column of [right, right - 1])
        if (!isFixed(row, column)) bits.push(Number(at(row, column) !== isFlipped(row, column)))
    }
  })
  const words = Array.from({ length: bits.length >> 3 }, (_, word) =>
    Number.parseInt(bits.slice(word * 8, word * 8 + 8).join(''), 2),
  )
  const sizes = DATA[version - 1] as number[]
  const blocks: number[][] = sizes.map(() => [])
  let next = 0
  for (let place = 0; place < Math.max(...sizes); place++)
    sizes.forEach((length, block) => place < length && blocks[block]?.push(words[next++] as number))
  const stream = blocks
    .flat()
    .map((word) => word.toString(2).padStart(8, '0'))
    .join('')
  const head = version < 10 ? 12 : 20
  const length = Number.parseInt(stream.slice(4, head), 2)
  const bytes = Array.from({ length }, (_, byte) =>
    Number.parseInt(stream.slice(head + byte * 8, head + byte * 8 + 8), 2),
  )
  return new TextDecoder().decode(new Uint8Array(bytes))
}
