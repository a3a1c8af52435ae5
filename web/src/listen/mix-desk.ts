/** The faders of one listener: changes to their own mix. */
import { Cell } from '../state/cell.js'
import { type Hearing, type MyMix, plainMix } from './mix.js'

export class MixDesk extends Cell<MyMix> {
  constructor(myPart: string | undefined) {
    super(plainMix(myPart))
  }

  hear(hearing: Hearing): void {
    this.#change({ hearing })
  }

  setMyPart(myPart: string | undefined): void {
    this.#change({ myPart })
  }

  setLevel(partId: string, levelDb: number): void {
    this.#change({ levelsDb: { ...this.value.levelsDb, [partId]: levelDb } })
  }

  setSilent(partId: string, isSilent: boolean): void {
    const silent = this.value.silent.filter((id) => id !== partId)
    this.#change({ silent: isSilent ? [...silent, partId] : silent })
  }

  setPan(partId: string, pan: number): void {
    this.#change({ pans: { ...this.value.pans, [partId]: pan } })
  }

  /** Everybody as the band is mixed; who I hear stays. */
  toPlain(): void {
    const { hearing, myPart } = this.value
    this.set({ ...plainMix(myPart), hearing })
  }

  #change(part: Partial<MyMix>): void {
    this.set({ ...this.value, ...part })
  }
}
