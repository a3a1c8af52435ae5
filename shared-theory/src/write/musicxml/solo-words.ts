/** Tells a player where a solo of theirs begins and where it ends. */
import type { ChartBar } from './measure.js'

/** 'your solo' over the first bar a part improvises in alone, 'solos open' where others may too, 'end solo' over the first after it. */
export function withSoloWords(partId: string, charts: readonly ChartBar[]): readonly ChartBar[] {
  const solos = (chart: ChartBar | undefined): boolean => chart?.bar.soloists?.includes(partId) === true
  return charts.map((chart, index) => {
    if (index > 0 && solos(charts[index - 1]) === solos(chart)) return chart
    if (solos(chart)) return { ...chart, partWords: isAlone(chart) ? 'your solo' : 'solos open' }
    return index > 0 ? { ...chart, partWords: 'end solo' } : chart
  })
}

const isAlone = ({ bar }: ChartBar): boolean => bar.soloists?.length === 1
