/** Which recorded sounds there are, where each comes from in the bank, and how loud it stands in the band. Balance: common practice, then by measurement. */
import type { Kit } from '../src/audio/zone-table.js'
import type { PresetName } from './bank.js'
export interface PitchedRecipe {
  readonly name: string
  readonly preset: PresetName
  /** Keys it must cover; zones outside are left out. */
  readonly keys: readonly [low: number, high: number]
  /** Loudness of its held notes at velocity 80, in LUFS, over the middle of its keys. */
  readonly loudness: number
  readonly vibratoCents?: number
  /** Darker by so many cents of low-pass corner. */
  readonly darkerCents?: number
}
/** Programs: General MIDI System Level 1 sound set (MIDI Manufacturers Association), counted from 0. */
export declare const PITCHED: readonly PitchedRecipe[]
export interface KitRecipe {
  readonly kit: Kit
  readonly preset: PresetName
}
/** Kits share every stroke they have in common. */
export declare const KITS: readonly KitRecipe[]
export interface Stroke {
  /** Key the grooves play: General MIDI percussion map, brushes as in the GM2 brush kit. */
  readonly key: number
  /** Key of the bank, where another one sounds more like what is meant. */
  readonly from?: number
  /** Its loudest 400 ms at velocity 80, in LUFS. */
  readonly loudness: number
  /** Where it stands, −1 left to 1 right, as the drummer's audience sees it. */
  readonly pan?: number
  /** Only in this kit, where it is another stroke there. */
  readonly kit?: Kit
}
export declare const STROKES: readonly Stroke[]
//# sourceMappingURL=recipes.d.ts.map
