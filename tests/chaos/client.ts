/** One device of a band member as the server sees it: a Y.Doc that speaks y-protocols, edits whether connected or not, and believes an edit
 *  safe only once it was told so. */
import { MESSAGE, type Authors } from '@chartloft/shared-theory/board'
import * as decoding from 'lib0/decoding'
import * as Y from 'yjs'
import { syncBytes } from '../server/harness.js'

export const idOf = (number: number): number => 1000 + number

export class Client {
  readonly doc = new Y.Doc()
  private send: ((bytes: Uint8Array) => void) | undefined
  private ended: (() => void) | undefined
  /** Sync messages with edits sent on this connection, each with how many edits had been made by then. */
  private sentBy: number[] = []
  private hasToldAll = false
  private hasHeardAuthors = false
  /** Whose edits are whose, as this device was told. */
  authors: Authors['clients'] = {}
  private edits: { readonly kind: 'set' | 'delete'; readonly key: string }[] = []
  /** How many of the edits, oldest first, were called saved at some time. */
  private savedCount = 0
  private made = 0
  isSynced = false

  constructor(
    readonly number: number,
    private readonly draw: () => number,
  ) {
    this.doc.clientID = idOf(number)
    this.doc.on('update', (update: Uint8Array, origin: unknown) => {
      if (origin !== 'server') this.tell(2, update)
    })
  }

  joined(send: (bytes: Uint8Array) => void, ended: () => void): void {
    this.send = send
    this.ended = ended
    this.sentBy = []
    this.hasToldAll = false
    this.hasHeardAuthors = false
    this.isSynced = false
    this.send(syncBytes(0, Y.encodeStateVector(this.doc)))
  }

  lost(): void {
    const { ended } = this
    this.send = undefined
    this.ended = undefined
    this.isSynced = false
    ended?.()
  }

  hear(bytes: Uint8Array): void {
    const decoder = decoding.createDecoder(bytes)
    const type = decoding.readVarUint(decoder)
    if (type === MESSAGE.authors) {
      const { clients } = JSON.parse(decoding.readVarString(decoder)) as Authors
      this.authors = this.hasHeardAuthors ? { ...this.authors, ...clients } : clients
      this.hasHeardAuthors = true
      return
    }
    if (type === MESSAGE.saved) {
      const { n } = JSON.parse(decoding.readVarString(decoder)) as { n: number }
      if (n > 0) this.savedCount = Math.max(this.savedCount, this.sentBy[n - 1] ?? 0)
      return
    }
    if (type !== MESSAGE.sync) return
    const step = decoding.readVarUint(decoder)
    const payload = decoding.readVarUint8Array(decoder)
    if (step === 0) {
      this.tell(1, Y.encodeStateAsUpdate(this.doc, payload))
      return
    }
    Y.applyUpdate(this.doc, payload, 'server')
    if (step === 1) this.isSynced = true
  }

  /** One edit of somebody's evening: a card set, one of one's own taken away, a word written or struck out. */
  edit(): void {
    const cards = this.doc.getMap<number>('cards')
    const notes = this.doc.getText('notes')
    const act = this.draw()
    const own = [...cards.keys()].filter((key) => key.startsWith(`${this.number}-`))
    if (act < 0.5 || own.length === 0) {
      const key = `${this.number}-${++this.made}`
      this.edits.push({ kind: 'set', key })
      cards.set(key, this.made)
    } else if (act < 0.65) {
      const key = own[Math.floor(this.draw() * own.length)] as string
      this.edits.push({ kind: 'delete', key })
      cards.delete(key)
    } else if (act < 0.9 || notes.length === 0) {
      notes.insert(Math.floor(this.draw() * (notes.length + 1)), String.fromCharCode(97 + Math.floor(this.draw() * 26)))
    } else notes.delete(Math.floor(this.draw() * notes.length), 1)
  }

  /** Cards that must be there, and that must not, by what this device was told. */
  promised(): { readonly there: readonly string[]; readonly gone: readonly string[] } {
    const saved = this.edits.slice(0, this.savedCount)
    const gone = saved.filter(({ kind }) => kind === 'delete').map(({ key }) => key)
    // A key whose deletion was made but not yet called saved may be there or not.
    const leaving = new Set(this.edits.filter(({ kind }) => kind === 'delete').map(({ key }) => key))
    return { there: saved.filter(({ kind, key }) => kind === 'set' && !leaving.has(key)).map(({ key }) => key), gone }
  }

  private tell(step: 1 | 2, update: Uint8Array): void {
    if (!this.send) return
    // An edit sent before the step 2 of this connection is that edit alone; what was made earlier comes with the step 2.
    this.hasToldAll ||= step === 1
    this.sentBy.push(this.hasToldAll ? this.edits.length : 0)
    this.send(syncBytes(step, update))
  }
}
