/** Bytes of a text file as text: UTF-8, UTF-16 by its mark, else Latin-1, so that no old file is refused for one accent. */

const CHUNK = 8192

export function decodeText(source: string | Uint8Array): string {
  if (typeof source === 'string') return source.charCodeAt(0) === 0xfeff ? source.slice(1) : source
  if (source[0] === 0xff && source[1] === 0xfe) return decodeUtf16(source, 0)
  if (source[0] === 0xfe && source[1] === 0xff) return decodeUtf16(source, 1)
  return decodeUtf8(source) ?? fromUnits(source, (byte) => byte)
}

function fromUnits(bytes: Uint8Array, unit: (byte: number) => number): string {
  const parts: string[] = []
  for (let from = 0; from < bytes.length; from += CHUNK)
    parts.push(String.fromCharCode(...Array.from(bytes.subarray(from, from + CHUNK), unit)))
  return parts.join('')
}

function decodeUtf16(bytes: Uint8Array, highFirst: 0 | 1): string {
  const parts: string[] = []
  for (let from = 2; from + 1 < bytes.length; from += 2 * CHUNK) {
    const units: number[] = []
    for (let at = from; at + 1 < Math.min(from + 2 * CHUNK, bytes.length); at += 2) {
      const first = bytes[at] as number
      const second = bytes[at + 1] as number
      units.push(highFirst ? first * 256 + second : second * 256 + first)
    }
    parts.push(String.fromCharCode(...units))
  }
  return parts.join('')
}

/** Undefined where the bytes are no valid UTF-8 (RFC 3629). */
function decodeUtf8(bytes: Uint8Array): string | undefined {
  const parts: string[] = []
  let units: number[] = []
  let at = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0
  while (at < bytes.length) {
    const lead = bytes[at] as number
    const more =
      lead < 0x80
        ? 0
        : lead >= 0xc2 && lead < 0xe0
          ? 1
          : lead >= 0xe0 && lead < 0xf0
            ? 2
            : lead >= 0xf0 && lead < 0xf5
              ? 3
              : -1
    if (more < 0) return undefined
    let point = more === 0 ? lead : lead & (0x3f >> more)
    for (let index = 1; index <= more; index++) {
      const next = bytes[at + index]
      if (next === undefined || (next & 0xc0) !== 0x80) return undefined
      point = point * 64 + (next & 0x3f)
    }
    if (point > 0xffff) units.push(0xd800 + ((point - 0x10000) >> 10), 0xdc00 + ((point - 0x10000) & 0x3ff))
    else units.push(point)
    if (units.length >= CHUNK) {
      parts.push(String.fromCharCode(...units))
      units = []
    }
    at += more + 1
  }
  parts.push(String.fromCharCode(...units))
  return parts.join('')
}
