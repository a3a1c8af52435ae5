/** Pairwise covering: few rows in which every pair of values of any two columns occurs at least once. */

/** Rows of value indices for columns of the given sizes; greedy, deterministic. Every pair of any two columns' values is in some row. */
export function pairwiseRows(sizes: readonly number[]): readonly (readonly number[])[] {
  const uncovered = new Set<string>()
  const key = (a: number, va: number, b: number, vb: number): string => `${a}.${va}-${b}.${vb}`
  for (let a = 0; a < sizes.length; a++)
    for (let b = a + 1; b < sizes.length; b++)
      for (let va = 0; va < (sizes[a] as number); va++)
        for (let vb = 0; vb < (sizes[b] as number); vb++) uncovered.add(key(a, va, b, vb))
  const rows: number[][] = []
  while (uncovered.size > 0) {
    const row: (number | undefined)[] = sizes.map(() => undefined)
    const [first] = uncovered
    const found = /^(\d+)\.(\d+)-(\d+)\.(\d+)$/.exec(first as string) as RegExpExecArray
    row[Number(found[1])] = Number(found[2])
    row[Number(found[3])] = Number(found[4])
    sizes.forEach((size, column) => {
      if (row[column] !== undefined) return
      let best = rows.length % size
      let bestGain = -1
      for (let offset = 0; offset < size; offset++) {
        const value = (rows.length + offset) % size
        let gain = 0
        row.forEach((other, otherColumn) => {
          if (other === undefined || otherColumn === column) return
          const pair =
            otherColumn < column ? key(otherColumn, other, column, value) : key(column, value, otherColumn, other)
          if (uncovered.has(pair)) gain++
        })
        if (gain > bestGain) [best, bestGain] = [value, gain]
      }
      row[column] = best
    })
    const full = row as number[]
    for (let a = 0; a < full.length; a++)
      for (let b = a + 1; b < full.length; b++) uncovered.delete(key(a, full[a] as number, b, full[b] as number))
    rows.push(full)
  }
  return rows
}
