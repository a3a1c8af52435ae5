/** Undo and redo by person: only what was done here, with a name for each step, and across a reload for single values. */
import * as Y from 'yjs'
import { Cell } from './cell.js'
import { applies, applyStep, type Step, stepsFrom, type Way } from './steps.js'

/** Steps remembered across a reload. */
const MOST_NOTED = 60

export interface StepNotes {
  read(what: 'steps', otherwise: unknown): unknown
  write(what: 'steps', value: unknown): void
}

export class Undo {
  /** What would be taken back, or done again, next. */
  readonly undoable = new Cell<Step | undefined>(undefined)
  readonly redoable = new Cell<Step | undefined>(undefined)
  readonly #doc: Y.Doc
  readonly #manager: Y.UndoManager
  readonly #origin: symbol
  readonly #notes: StepNotes | undefined
  /** Steps of before the reload, oldest first, and those of them taken back since, last taken back last. */
  #earlier: Step[]
  #earlierUndone: Step[]
  #doing: Step | undefined

  /** `scope` are the shared types people write; `mine` marks the transactions that count as this person's. */
  constructor(doc: Y.Doc, scope: ConstructorParameters<typeof Y.UndoManager>[0], mine: symbol, notes?: StepNotes) {
    this.#doc = doc
    this.#origin = Symbol('undone')
    this.#notes = notes
    const noted = (notes?.read('steps', {}) ?? {}) as { readonly undo?: unknown; readonly redo?: unknown }
    this.#earlier = [...stepsFrom(noted.undo)]
    this.#earlierUndone = [...stepsFrom(noted.redo)]
    // Each edit is a step of its own, however quickly the next one follows.
    this.#manager = new Y.UndoManager(scope, { trackedOrigins: new Set([mine]), captureTimeout: 0 })
    this.#manager.on('stack-item-added', ({ stackItem }: { stackItem: { meta: Map<unknown, unknown> } }) => {
      if (this.#doing) stackItem.meta.set('step', this.#doing)
    })
  }

  /** Does something as one named step. */
  do(step: Step, act: () => void): void {
    this.#doing = step
    this.#earlierUndone = []
    act()
    this.#doing = undefined
    this.look()
    this.#note()
  }

  /** Takes back this person's newest step that still stands; returns it. */
  undo(): Step | undefined {
    return this.#go('undo')
  }

  redo(): Step | undefined {
    return this.#go('redo')
  }

  /** Looks anew at what could be taken back: somebody else may have changed it since. */
  look(): void {
    this.undoable.set(this.#next('undo'))
    this.redoable.set(this.#next('redo'))
  }

  #next(way: Way): Step | undefined {
    const mine = this.#stack(way).map(stepOf)
    const old = way === 'undo' ? this.#earlier : this.#earlierUndone
    const inOrder = way === 'undo' ? [...old, ...mine] : [...mine, ...old]
    return inOrder.findLast((step) => applies(this.#doc, step, way))
  }

  #go(way: Way): Step | undefined {
    const stack = this.#stack(way)
    // What was taken back last is done again first: steps of before the reload were taken back after all of this page's.
    const step =
      way === 'undo'
        ? (this.#goHere(stack, way) ?? this.#goEarlier(way))
        : (this.#goEarlier(way) ?? this.#goHere(stack, way))
    this.look()
    this.#note()
    return step
  }

  #goHere(stack: Y.UndoManager['undoStack'], way: Way): Step | undefined {
    while (stack.length > 0 && !applies(this.#doc, stepOf(stack.at(-1)), way)) stack.pop()
    if (stack.length === 0) return undefined
    const step = stepOf(stack.at(-1))
    this.#doing = step
    if (way === 'undo') this.#manager.undo()
    else this.#manager.redo()
    this.#doing = undefined
    return step
  }

  #goEarlier(way: Way): Step | undefined {
    const [from, to] = way === 'undo' ? [this.#earlier, this.#earlierUndone] : [this.#earlierUndone, this.#earlier]
    for (let step = from.pop(); step; step = from.pop()) {
      if (!applies(this.#doc, step, way)) continue
      this.#doc.transact(() => applyStep(this.#doc, step, way), this.#origin)
      to.push(step)
      return step
    }
    return undefined
  }

  #stack(way: Way): Y.UndoManager['undoStack'] {
    return way === 'undo' ? this.#manager.undoStack : this.#manager.redoStack
  }

  /** Notes the steps that can be taken back after a reload too. */
  #note(): void {
    const lasting = (steps: readonly Step[]) => steps.filter(({ changes }) => changes.length > 0).slice(-MOST_NOTED)
    this.#notes?.write('steps', {
      undo: lasting([...this.#earlier, ...this.#stack('undo').map(stepOf)]),
      redo: lasting([...this.#stack('redo').map(stepOf), ...this.#earlierUndone]),
    })
  }
}

const UNNAMED: Step = { deed: { kind: 'other' }, changes: [] }

function stepOf(item: { readonly meta: Map<unknown, unknown> } | undefined): Step {
  return (item?.meta.get('step') as Step | undefined) ?? UNNAMED
}
