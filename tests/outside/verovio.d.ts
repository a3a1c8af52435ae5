/** The parts of Verovio the outside checks use; the package brings no types of its own. */
declare module 'verovio/wasm' {
  export interface VerovioModule {
    readonly asm: unknown
  }
  const createVerovioModule: () => Promise<VerovioModule>
  export default createVerovioModule
}

declare module 'verovio/esm' {
  import type { VerovioModule } from 'verovio/wasm'
  export class VerovioToolkit {
    constructor(module: VerovioModule)
    loadData(text: string): boolean
    getMEI(options: object): string
    renderToSVG(page: number): string
    renderToTimemap(options: object): { readonly qstamp: number; readonly on?: readonly string[] }[]
    getMIDIValuesForElement(id: string): { readonly pitch: number; readonly time: number }
    getPageCount(): number
    destroy(): void
  }
}
