export interface MadeFile {
  /** As the pages ask for it, without a leading slash. */
  readonly path: string
  readonly content: Uint8Array
}
export interface MadeSounds {
  /** Sound name → address of its zone table. */
  readonly tables: {
    readonly [name: string]: string
  }
  readonly files: readonly MadeFile[]
}
/** From the cache where neither bank nor recipes have changed. */
export declare function makeSounds(sources: readonly string[]): Promise<MadeSounds>
/** What the cache depends on besides the bank. */
export declare function recipeSources(root: string): readonly string[]
//# sourceMappingURL=make-sounds.d.ts.map
