/** Made by the build (`sounds/vite-plugin.ts`): sound name → address of its zone table. */
declare module 'virtual:sounds' {
  export const SOUNDS: { readonly [name: string]: string }
}
