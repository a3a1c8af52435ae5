/** QR code of a link, for the phone across the room: byte mode, error correction M, versions 1 to 10. After ISO/IEC 18004. */

/** Error-correction words a block and data words of each block, level M, by version from 1 (ISO/IEC 18004, table 9). */
const BLOCKS: readonly { readonly check: number; readonly data: readonly number[] }[] = [
  { check: 10, data: [16] },
  { check: 16, data: [28] },
  { check: 26, data: [44] },
  { check: 18, data: [32, 32] },
  { check: 24, data: [43, 43] },
  { check: 16, data: [27, 27, 27, 27] },
  { check: 18, data: [31, 31, 31, 31] },
  { check: 22, data: [38, 38, 39, 39] },
  { check: 22, data: [36, 36, 36, 37, 37] },
  { check: 26, data: [43, 43, 43, 43, 44] },
]
/** Centres of the alignment patterns by version from 1 (table E.1). */
const CENTRES: readonly (readonly number[])[] = [
  [],
  [6, 18],
  [6, 22],
  [6, 26],
  [6, 30],
  [6, 34],
  [6, 22, 38],
  [6, 24, 42],
  [6, 26, 46],
  [6, 28, 50],
]
const MASKS: readonly ((row: number, column: number) => boolean)[] = [
  (i, j) => (i + j) % 2 === 0,
  (i) => i % 2 === 0,
  (_i, j) => j % 3 === 0,
  (i, j) => (i + j) % 3 === 0,
  (i, j) => (Math.floor(i / 2) + Math.floor(j / 3)) % 2 === 0,
  (i, j) => ((i * j) % 2) + ((i * j) % 3) === 0,
  (i, j) => (((i * j) % 2) + ((i * j) % 3)) % 2 === 0,
  (i, j) => (((i + j) % 2) + ((i * j) % 3)) % 2 === 0,
]

/** Rows of dark (true) and light modules, without the quiet zone; undefined where the text is too long (213 bytes). */
export type QrCode = readonly (readonly boolean[])[]

export function qrCode(text: string): QrCode | undefined {
  const bytes = new TextEncoder().encode(text)
  const version = BLOCKS.findIndex(({ data }, index) => bytes.length + headBytes(index + 1) <= sum(data)) + 1
  if (version === 0) return undefined
  const words = interleaved(dataWords(bytes, version), version)
  const candidates = MASKS.map((_mask, mask) => drawn(words, version, mask))
  return candidates.reduce((best, next) => (penalty(next) < penalty(best) ? next : best))
}

/** Mode and length take a byte and a half, or two and a half from version 10 on; rounded up. */
const headBytes = (version: number): number => (version < 10 ? 2 : 3)
const sum = (numbers: readonly number[]): number => numbers.reduce((total, one) => total + one, 0)

function dataWords(bytes: Uint8Array, version: number): readonly number[] {
  const capacity = sum(BLOCKS[version - 1]?.data ?? [])
  const bits: number[] = []
  const put = (value: number, size: number) => {
    for (let bit = size - 1; bit >= 0; bit--) bits.push((value >> bit) & 1)
  }
  put(0b0100, 4)
  put(bytes.length, version < 10 ? 8 : 16)
  for (const byte of bytes) put(byte, 8)
  put(0, Math.min(4, capacity * 8 - bits.length))
  while (bits.length % 8 > 0) bits.push(0)
  const words: number[] = []
  for (let at = 0; at < bits.length; at += 8)
    words.push(bits.slice(at, at + 8).reduce((word, bit) => word * 2 + bit, 0))
  for (let pad = 0xec; words.length < capacity; pad ^= 0xec ^ 0x11) words.push(pad)
  return words
}

/** The field of 256 elements with the polynomial x⁸+x⁴+x³+x²+1. */
const EXP: number[] = []
const LOG: number[] = []
for (let power = 0, value = 1; power < 255; power++) {
  EXP[power] = value
  LOG[value] = power
  value = value * 2 > 255 ? (value * 2) ^ 0x11d : value * 2
}
const times = (a: number, b: number): number =>
  a === 0 || b === 0 ? 0 : (EXP[((LOG[a] as number) + (LOG[b] as number)) % 255] as number)

/** The Reed–Solomon check words of a block. */
export function checkWords(data: readonly number[], count: number): readonly number[] {
  let generator = [1]
  for (let power = 0; power < count; power++) {
    const next = [...generator, 0]
    generator.forEach((factor, index) => {
      next[index + 1] = (next[index + 1] as number) ^ times(factor, EXP[power] as number)
    })
    generator = next
  }
  const rest = [...data, ...Array.from({ length: count }, () => 0)]
  for (let at = 0; at < data.length; at++) {
    const lead = rest[at] as number
    generator.forEach((factor, index) => {
      rest[at + index] = (rest[at + index] as number) ^ times(factor, lead)
    })
  }
  return rest.slice(data.length)
}

function interleaved(words: readonly number[], version: number): readonly number[] {
  const { check, data } = BLOCKS[version - 1] as (typeof BLOCKS)[number]
  let from = 0
  const blocks = data.map((size) => words.slice(from, (from += size)))
  const checks = blocks.map((block) => checkWords(block, check))
  const across = (rows: readonly (readonly number[])[]): readonly number[] =>
    Array.from({ length: Math.max(...rows.map((row) => row.length)) }, (_, at) =>
      rows.flatMap((row) => (row[at] === undefined ? [] : [row[at]])),
    ).flat()
  return [...across(blocks), ...across(checks)]
}

/** Remainder of a BCH code: 15 bits of format, 18 of version. */
function withCheck(value: number, bits: number, generator: number): number {
  let rest = value << bits
  for (let bit = 31 - Math.clz32(rest); bit >= bits; bit = 31 - Math.clz32(rest)) rest ^= generator << (bit - bits)
  return (value << bits) | rest
}
/** Level M is 00; the standard lays a pattern over it so that it is never empty. */
export const formatBits = (mask: number): number => withCheck(mask, 10, 0x537) ^ 0x5412
export const versionBits = (version: number): number => withCheck(version, 12, 0x1f25)

function drawn(words: readonly number[], version: number, mask: number): QrCode {
  const size = 17 + 4 * version
  const cells: (boolean | undefined)[][] = Array.from({ length: size }, () =>
    Array.from({ length: size }, () => undefined),
  )
  const set = (row: number, column: number, isDark: boolean) => {
    const line = cells[row]
    if (line && column >= 0 && column < size) line[column] = isDark
  }
  /** Concentric squares: a finder with its light border, or an alignment pattern. */
  const square = (row: number, column: number, reach: number, isDark: (ring: number) => boolean) => {
    for (let y = -reach; y <= reach; y++)
      for (let x = -reach; x <= reach; x++) set(row + y, column + x, isDark(Math.max(Math.abs(x), Math.abs(y))))
  }
  for (const [row, column] of [
    [3, 3],
    [3, size - 4],
    [size - 4, 3],
  ] as const)
    square(row, column, 4, (ring) => ring !== 2 && ring !== 4)
  const centres = CENTRES[version - 1] ?? []
  for (const row of centres)
    for (const column of centres) {
      const isFinder = (row === 6 && (column === 6 || column === size - 7)) || (row === size - 7 && column === 6)
      if (!isFinder) square(row, column, 2, (ring) => ring !== 1)
    }
  for (let at = 8; at < size - 8; at++) {
    set(6, at, at % 2 === 0)
    set(at, 6, at % 2 === 0)
  }
  const format = formatBits(mask)
  for (let bit = 0; bit < 15; bit++) {
    const isDark = ((format >> bit) & 1) === 1
    set(bit < 6 ? bit : bit < 8 ? bit + 1 : size - 15 + bit, 8, isDark)
    set(8, bit < 8 ? size - 1 - bit : bit === 8 ? 7 : 14 - bit, isDark)
  }
  set(size - 8, 8, true)
  if (version >= 7) {
    const bits = versionBits(version)
    for (let bit = 0; bit < 18; bit++) {
      const [far, near] = [size - 11 + (bit % 3), Math.floor(bit / 3)]
      set(near, far, ((bits >> bit) & 1) === 1)
      set(far, near, ((bits >> bit) & 1) === 1)
    }
  }
  fill(cells, words, mask)
  return cells as boolean[][]
}

/** Data runs in pairs of columns from the right, up and down in turn, past the timing column. */
function fill(cells: (boolean | undefined)[][], words: readonly number[], mask: number): void {
  const size = cells.length
  const isMasked = MASKS[mask] as (typeof MASKS)[number]
  let bit = 0
  for (let right = size - 1; right > 0; right -= 2) {
    if (right === 6) right = 5
    for (let step = 0; step < size; step++) {
      const row = ((right + 1) & 2) === 0 ? size - 1 - step : step
      for (const column of [right, right - 1]) {
        const line = cells[row] as (boolean | undefined)[]
        if (line[column] !== undefined) continue
        const isDark = (((words[bit >> 3] ?? 0) >> (7 - (bit & 7))) & 1) === 1
        line[column] = isDark !== isMasked(row, column)
        bit++
      }
    }
  }
}

/** How hard it is to read: long runs, blocks, finder-like rows, imbalance (7.8.3). */
function penalty(code: QrCode): number {
  const size = code.length
  const columns = code.map((_row, x) => code.map((row) => row[x] as boolean))
  let points = 0
  for (const line of [...code, ...columns]) {
    const text = line.map((isDark) => (isDark ? '1' : '0')).join('')
    for (const [run] of text.matchAll(/0{5,}|1{5,}/g)) points += run.length - 2
    for (let at = 0; at + 11 <= size; at++)
      if (/^(?:10111010000|00001011101)$/.test(text.slice(at, at + 11))) points += 40
  }
  for (let y = 1; y < size; y++)
    for (let x = 1; x < size; x++)
      if (new Set([code[y]?.[x], code[y - 1]?.[x], code[y]?.[x - 1], code[y - 1]?.[x - 1]]).size === 1) points += 3
  const dark = sum(code.map((row) => row.filter(Boolean).length))
  return points + 10 * Math.floor(Math.abs((20 * dark) / (size * size) - 10))
}

/** As one path of an SVG, a unit a module, with the quiet zone of four modules the standard asks for. */
export const QUIET = 4
export function qrPath(code: QrCode): string {
  return code
    .map((row, y) => row.map((isDark, x) => (isDark ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : '')).join(''))
    .join('')
}
