/** Processor time of what pages do, out of the browser's own trace. A busy machine stretches every clock; this it does not stretch. */
import type { Page } from 'playwright-core'

interface TraceEvent {
  readonly name: string
  readonly ph: string
  readonly pid: number
  readonly tid: number
  /** Microseconds: when, how long, and how much of that on a processor. */
  readonly ts: number
  readonly dur?: number
  readonly tdur?: number
  readonly args: { readonly name?: string }
}

export interface Task {
  readonly thread: 'page' | 'worker'
  readonly fromMs: number
  readonly toMs: number
  readonly processorMs: number
}
export interface Traced {
  readonly tasks: readonly Task[]
  /** Moments the page noted with `performance.mark`, on the tasks' clock. */
  marks(name: string): readonly number[]
}

const THREADS: { readonly [name: string]: Task['thread'] } = {
  CrRendererMain: 'page',
  'DedicatedWorker thread': 'worker',
}
const CATEGORIES = ['toplevel', 'blink.user_timing']
const TASK = 'ThreadControllerImpl::RunTask'

/** Everything the browser's pages and their workers did meanwhile, task by task. */
export async function traced(page: Page, act: () => Promise<void>): Promise<Traced> {
  const browser = page.context().browser()
  if (!browser) throw new Error('a page without its browser cannot be traced')
  await browser.startTracing(page, { categories: CATEGORIES })
  let events: readonly TraceEvent[]
  try {
    await act()
  } finally {
    const { traceEvents } = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: TraceEvent[] }
    events = traceEvents
  }
  const threads = new Map(
    events.flatMap(({ name, pid, tid, args }) =>
      name === 'thread_name' ? [[`${pid}:${tid}`, THREADS[args.name ?? '']] as const] : [],
    ),
  )
  const tasks = events.flatMap(({ name, ph, pid, tid, ts, dur = 0, tdur = 0 }): readonly Task[] => {
    const thread = threads.get(`${pid}:${tid}`)
    if (ph !== 'X' || name !== TASK || !thread) return []
    return [{ thread, fromMs: ts / 1000, toMs: (ts + dur) / 1000, processorMs: tdur / 1000 }]
  })
  if (tasks.length === 0) throw new Error('the trace holds no task of a page')
  const marks = (wanted: string) => events.filter(({ name }) => name === wanted).map(({ ts }) => ts / 1000)
  return { tasks, marks }
}

/** The longest thing the page's own thread did in one go: as long as it takes no tap is answered and nothing is drawn. */
export const longestMs = ({ tasks }: Traced): number =>
  tasks.reduce((most, task) => (task.thread === 'page' ? Math.max(most, task.processorMs) : most), 0)
