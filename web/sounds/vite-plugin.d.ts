import type { Plugin } from 'vite'
/** `root` is the folder of the pages' package. */
export declare function sounds(root: string): Plugin
//# sourceMappingURL=vite-plugin.d.ts.map
