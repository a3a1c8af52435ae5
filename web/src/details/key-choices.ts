/** The keys a leader chooses from: the few that lie best, the one that is on now, and the one the tune is written in. */
import { type KeyFit, type KeyName, type KeySignature, pitchClass, tonicOf } from '@chartloft/shared-theory'

export interface KeyChoice extends KeyFit {
  /** The key the piece is in now. */
  readonly isNow: boolean
  /** The key the tune was brought in. */
  readonly isWritten: boolean
}

/** Best first, as given; at most `most` besides the one on now and the one written, which are always there. */
export function keyChoices(
  fits: readonly KeyFit[],
  written: KeySignature,
  now: KeyName | undefined,
  most: number,
): readonly KeyChoice[] {
  const current = now ?? written.key
  return fits.flatMap((fit, index) => {
    const isWritten = fit.semitones === 0
    const isNow = pitchClass(tonicOf(fit.key)) === pitchClass(tonicOf(current))
    if (index >= most && !isWritten && !isNow) return []
    // One key may have two names: what was asked for is what is said.
    return [{ ...fit, key: isNow ? current : isWritten ? written.key : fit.key, isNow, isWritten }]
  })
}

/** What `setKey` is sent: nothing where the tune stays as it was brought. */
export const keyFields = (choice: Pick<KeyChoice, 'key' | 'isWritten'>): { readonly key?: KeyName } =>
  choice.isWritten ? {} : { key: choice.key }
