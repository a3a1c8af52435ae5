/** The page of measured figures: each with its target and how near it is, by area, and how costs grow. */

/** A figure's row: whether it holds, and its cells as text. */
export function rowOf({ area, id, what, value, unit, target, baseline, growth, note }) {
  const [[kind, bound]] = Object.entries(target)
  const holds = kind === 'atLeast' ? value >= bound : kind === 'atMost' ? value <= bound : value === bound
  const sign = { atLeast: '≥', atMost: '≤', exactly: '=' }[kind]
  const ratio = growth ? '' : ratioOf({ value, unit, kind, bound, baseline })
  return { area, holds, cells: [holds ? 'holds' : 'MISSED', id, what, `${round(value)} ${unit}`.trim(), `${sign} ${round(bound)}`, ratio, note ?? ''] }
}

/** How many times the named baseline it is; where none was measured in the same run, how many times its target.
 *  An exponent has neither. */
function ratioOf({ value, unit, kind, bound, baseline }) {
  if (baseline) return `${round(value / baseline.value)} × ${baseline.name}`
  if (unit === '×') return `${round(value)} × the other in the same run`
  if (kind === 'exactly' || bound === 0) return ''
  return `${round(value / bound)} × target`
}

const HEAD = ['', 'rule', 'what', 'value', 'target', 'ratio', 'conditions']

/** As lines for a terminal. */
export function textPage(rows, about) {
  const widths = HEAD.map((head, column) => Math.max(head.length, ...rows.map(({ cells }) => cells[column].length)))
  const line = (cells) => cells.map((cell, column) => (column < cells.length - 1 ? cell.padEnd(widths[column]) : cell)).join('  ').trimEnd()
  const areas = [...new Set(rows.map(({ area }) => area))]
  const parts = areas.flatMap((area) => ['', area, ...rows.filter((row) => row.area === area).map(({ cells }) => line(cells))])
  return [about, '', line(HEAD), ...parts, ''].join('\n')
}

/** As one page of Markdown, to keep or to send. */
export function markdownPage(rows, about) {
  const line = (cells) => `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`
  const areas = [...new Set(rows.map(({ area }) => area))]
  const tables = areas.flatMap((area) => [
    `## ${area}`,
    '',
    line(HEAD),
    line(HEAD.map(() => '---')),
    ...rows.filter((row) => row.area === area).map(({ cells }) => line(cells)),
    '',
  ])
  return ['# Measured figures', '', about, '', ...tables].join('\n')
}

function round(value) {
  if (!Number.isFinite(value)) return String(value)
  return Math.abs(value) >= 1000 ? Math.round(value).toLocaleString('en') : String(Number(value.toPrecision(4)))
}
