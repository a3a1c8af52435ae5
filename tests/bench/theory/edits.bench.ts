/** Hand edits at full sample: seen or named, whatever changes after them; and what they cost. */
import { it } from 'vitest'
import { compile, compileForm, defaultPlan } from '@chartloft/shared-theory'
import { drawn } from '../../fixtures/made-tunes.js'
import { writtenTunes } from '../../laws/fold-laws.js'
import { editIn, measureEdits } from '../../laws/hand-edit-laws.js'
import { figure, processorMs } from '../figure.js'

it('edits lost', () => {
  const { faults, edits, seen, named } = measureEdits(3000, 72, 30)
  if (faults.length > 0) console.log(faults.slice(0, 20).join('\n'))
  figure({
    id: 'CO11',
    what: 'hand edits neither seen in the arrangement nor named in an issue',
    value: faults.length,
    unit: '',
    target: { exactly: 0 },
    note: `${edits} edits, before and after a change upstream, seed 72: ${seen} seen, ${named} named`,
  })
})

it('speed', () => {
  const [tune] = writtenTunes()
  const base = defaultPlan(tune!)
  const plan = {
    ...base,
    roadmap: base.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4 } : pass)),
  }
  const { bars } = compileForm(plan)
  const draw = drawn(5)
  const edits = Array.from({ length: 200 }, () => editIn(bars, plan, draw)).filter((edit) => edit !== undefined)
  const edited = { ...plan, edits: edits.filter(({ kind }) => kind !== 'bars') }
  for (let round = 0; round < 5; round++) compile(edited)
  figure({
    id: 'CO7',
    what: `recompile of ${bars.length} bars with ${edited.edits.length} hand edits: form, chords, melody`,
    value: processorMs(() => compileForm(edited), 15),
    unit: 'ms',
    target: { atMost: 30 },
  })
  figure({
    id: 'CO7',
    what: `recompile of ${bars.length} bars with ${edited.edits.length} hand edits, with every part`,
    value: processorMs(() => compile(edited), 9),
    unit: 'ms',
    target: { atMost: 150 },
  })
})
