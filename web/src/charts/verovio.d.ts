/** What we use of the engraver, which ships no types. */
declare module 'verovio/wasm' {
  const createModule: () => Promise<unknown>
  // reason: the package's only export is a default one
  export default createModule
}
declare module 'verovio/esm' {
  export class VerovioToolkit {
    constructor(module: unknown)
    setOptions(options: { readonly [name: string]: string | number | boolean }): void
    loadData(data: string): boolean
    getMEI(options: object): string
    getPageCount(): number
    getPageWithElement(id: string): number
    renderToSVG(page: number): string
    getLog(): string
  }
}
