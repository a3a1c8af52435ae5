/** A short stable hash of plain JSON: names options, tunes and plans alike on server, browser and command line. No security use. */

/** 13 hex digits (53 bits) of the value's JSON with sorted keys. */
export function hashOf(value: unknown): string {
  const text = stableJson(value)
  let a = 0xdeadbeef
  let b = 0x41c6ce57
  for (let index = 0; index < text.length; index++) {
    const code = text.charCodeAt(index)
    a = Math.imul(a ^ code, 2654435761)
    b = Math.imul(b ^ code, 1597334677)
  }
  a = Math.imul(a ^ (a >>> 16), 2246822507) ^ Math.imul(b ^ (b >>> 13), 3266489909)
  b = Math.imul(b ^ (b >>> 16), 2246822507) ^ Math.imul(a ^ (a >>> 13), 3266489909)
  return (4294967296 * (2097151 & b) + (a >>> 0)).toString(16).padStart(14, '0')
}

/** JSON with object keys in code-unit order, so that equal content gives equal text. */
export function stableJson(value: unknown): string {
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  if (Array.isArray(value)) return `[${value.map(stableJson).join(',')}]`
  const entries = Object.entries(value as Record<string, unknown>).filter(([, held]) => held !== undefined)
  entries.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
  return `{${entries.map(([key, held]) => `${JSON.stringify(key)}:${stableJson(held)}`).join(',')}}`
}
