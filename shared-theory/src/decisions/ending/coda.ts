/** Coda: the tune's own, after the last chorus, in whatever key, metre and groove that ended. */
import type { ArrangedBar, Section, Tune } from '../../contract/index.js'
import { sectionBars } from '../section-bars.js'
import type { Close } from './close.js'
import { type EndingContext, type EndingIdea, lengthInWords } from './idea.js'

export const coda: EndingIdea = {
  id: 'coda',
  rule: 'EN11',
  energy: 0,
  distance: 0.05,
  difficulty: 0.1,
  variants: (close, context) => {
    const { tune, plan } = context
    const section = codaOf(tune)
    if (!section) return 'The tune has no coda of its own.'
    const isPlayed = plan.roadmap.some(({ sections }) => sections.includes(section.id))
    if (isPlayed) return 'The coda is in the running order already.'
    const made = codaBars(close, section, context)
    return typeof made === 'string' ? made : [{ bars: made.length }]
  },
  write: (close, _params, context) => {
    const section = codaOf(context.tune)
    if (!section) return { refused: 'The tune has no coda of its own.' }
    const made = codaBars(close, section, context)
    if (typeof made === 'string') return { refused: made }
    return {
      from: close.bars.length,
      bars: made,
      title: `The tune's own coda, ${lengthInWords(made.length)}`,
      summary: `After the last chorus the tune's own ${lengthInWords(section.bars)} bring it home, as the writer meant.`,
      reason: [{ rule: 'EN11', text: `section ${section.id} of the tune, in ${(made[0] as ArrangedBar).key.key}` }],
      suits: 0.88,
    }
  },
}

const codaOf = (tune: Tune): Section | undefined => tune.sections.find(({ role }) => role === 'coda')

function codaBars({ bars }: Close, section: Section, { tune, plan }: EndingContext): readonly ArrangedBar[] | string {
  const like = bars.findLast(({ melody }) => melody.length > 0) ?? bars.at(-1)
  return like ? sectionBars({ tune, plan, section, like, name: 'ending' }) : 'There are no bars to end.'
}
