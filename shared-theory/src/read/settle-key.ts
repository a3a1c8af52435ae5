/** The key of a file that wrote only a signature, or none: read from the music, with the reasons said. */
import type { KeySignature, Tune } from '../contract/index.js'
import { readKey } from '../tune/index.js'
import { isMinorKey, keySignature, keySignatureOf, noteOfFifths } from '../units/index.js'
import type { IssueList } from './issue-list.js'
import { said } from './said.js'

/** From this confidence on a written key is doubted aloud. From judgement. */
const SURE = 0.8

type Body = Omit<Tune, 'sections' | 'source'>

/** With 'signature' the mode is decided and every bar keeps its accidentals; with 'nothing' the whole tune takes the key found. */
export function settleKey(body: Body, known: 'signature' | 'nothing', issues: IssueList): Body {
  const reading = readKey(
    { ...body, sections: [], source: { format: 'typed', issues: [] } },
    { bySignature: known === 'signature' },
  )
  const fifths = body.key.fifths
  const best =
    known === 'signature' ? reading.ranking.find((one) => keySignatureOf(one.key).fifths === fifths)?.key : reading.key
  if (!best) return body
  const why = reading.key === best ? reading.evidence.slice(0, 3).join(', ') : 'by its signature'
  const change = (key: KeySignature): KeySignature => {
    if (known === 'nothing') return keySignatureOf(best)
    if (!isMinorKey(best)) return key
    return keySignature(noteOfFifths(key.fifths + 3), 'minor') ?? key
  }
  issues.add(
    'RD11',
    'note',
    'file',
    known === 'signature'
      ? said`The file does not say whether the key is major or minor; read as ${best}: ${why}.`
      : said`The file does not say which key it is in; read as ${best}: ${why}.`,
  )
  return { ...body, key: change(body.key), bars: body.bars.map((bar) => ({ ...bar, key: change(bar.key) })) }
}

/** Music in the minor under a signature written as the relative major, or the other way round: kept as written, and said. */
export function doubtKey(tune: Tune, issues: IssueList): void {
  if (tune.key.mode !== 'major' && tune.key.mode !== 'minor') return
  const reading = readKey(tune)
  const isRelative = keySignatureOf(reading.key).fifths === tune.key.fifths && reading.key !== tune.key.key
  const reasons = reading.evidence.slice(1, 4)
  if (isRelative && reading.confidence >= SURE && reasons.length > 0)
    issues.add(
      'RD11',
      'note',
      'file',
      said`The file says ${tune.key.key}, but the tune reads as ${reading.key}: ${reasons.join(', ')}. Change its key if you agree.`,
    )
}
