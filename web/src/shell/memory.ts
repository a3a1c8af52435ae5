/** What this browser remembers of its person: a name and what they play. Nothing secret, and nothing breaks without it. */

export interface Remembered {
  readonly name: string
  readonly plays?: string
}
const KEY = 'chartloft:me'

export function remembered(storage: Pick<Storage, 'getItem'> | undefined): Remembered {
  try {
    const held = JSON.parse(storage?.getItem(KEY) ?? '{}') as { name?: unknown; plays?: unknown }
    return {
      name: typeof held.name === 'string' ? held.name : '',
      ...(typeof held.plays === 'string' && held.plays ? { plays: held.plays } : {}),
    }
  } catch {
    return { name: '' }
  }
}

export function remember(storage: Pick<Storage, 'setItem'> | undefined, me: Remembered): void {
  try {
    storage?.setItem(KEY, JSON.stringify(me))
  } catch {
    // reason: a private window without storage only forgets the name
  }
}
